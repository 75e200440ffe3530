//! Which backups of the data folder stay: of the last 7 days, 4 weeks and 12 months that have one, the
//! last of each. Pure, and a function of what is there and of the time alone.
//!
//! A clock that jumps does no harm. A backup dated after now is neither counted nor taken away; a clock
//! that runs ahead takes nothing away but what a day of that date would. Days are days of UTC, so that
//! summer time makes none longer.

use std::collections::BTreeSet;

use jiff::Timestamp;
use jiff::civil::Date;
use jiff::tz::TimeZone;

use super::name::{BackupName, Kind};

/// Days whose last backup stays.
pub const DAYS: usize = 7;
/// Weeks (Monday to Sunday) whose last backup stays.
pub const WEEKS: usize = 4;
/// Months whose last backup stays.
pub const MONTHS: usize = 12;
/// Backups that somebody asked for, of which the last stay.
pub const ASKED: usize = 7;

fn date(at: Timestamp) -> Date {
    at.to_zoned(TimeZone::UTC).date()
}

/// Whether the backup of the day is still to be taken.
#[must_use]
pub fn is_due(there: &[BackupName], now: Timestamp) -> bool {
    !there.iter().any(|name| name.kind == Kind::Daily && date(name.at) == date(now))
}

/// The backups that have served their time, oldest first. What was taken before a step of the schema
/// always stays.
#[must_use]
pub fn served(there: &[BackupName], now: Timestamp) -> Vec<BackupName> {
    let of = |kind: Kind| {
        let mut names: Vec<BackupName> =
            there.iter().filter(|name| name.kind == kind && name.at <= now).copied().collect();
        names.sort_by_key(|name| std::cmp::Reverse(name.at));
        names
    };
    let daily = of(Kind::Daily);
    let mut staying = BTreeSet::new();
    staying.extend(last_of_each(&daily, DAYS, |date| (date.year(), date.day_of_year())));
    staying.extend(last_of_each(&daily, WEEKS, |date| {
        let week = date.iso_week_date();
        (week.year(), i16::from(week.week()))
    }));
    staying.extend(last_of_each(&daily, MONTHS, |date| (date.year(), i16::from(date.month()))));
    let mut gone: Vec<BackupName> = daily.into_iter().filter(|name| !staying.contains(&name.at)).collect();
    gone.extend(of(Kind::Asked).into_iter().skip(ASKED));
    gone.sort_by_key(|name| name.at);
    gone
}

/// The times of the last backup of each of the last `many` spans of time that have one.
fn last_of_each(newest_first: &[BackupName], many: usize, span: fn(Date) -> (i16, i16)) -> Vec<Timestamp> {
    let mut seen = BTreeSet::new();
    newest_first
        .iter()
        .filter(|name| seen.len() <= many && seen.insert(span(date(name.at))) && seen.len() <= many)
        .map(|name| name.at)
        .collect()
}

#[cfg(test)]
mod tests {
    use jiff::{SignedDuration, ToSpan as _};
    use proptest::prelude::*;

    use super::*;

    fn at(text: &str) -> Timestamp {
        text.parse().unwrap()
    }

    fn daily(text: &str) -> BackupName {
        BackupName::new(at(text), Kind::Daily)
    }

    /// What a server that is never stopped has after so many days.
    fn after_days(days: i64, start: Timestamp) -> (Vec<BackupName>, Timestamp) {
        let mut there = Vec::new();
        let mut now = start;
        for _ in 0..days {
            now += 24.hours();
            if is_due(&there, now) {
                there.push(BackupName::new(now, Kind::Daily));
            }
            let gone = served(&there, now);
            there.retain(|name| !gone.contains(name));
        }
        (there, now)
    }

    #[test]
    fn after_two_years_there_are_seven_days_four_weeks_and_twelve_months() {
        // 31 December 2026 is a Thursday, so its week ends later.
        let (there, now) = after_days(730, at("2024-12-31T03:00:00Z"));
        assert_eq!(date(now).to_string(), "2026-12-31");
        let dates: Vec<String> = there.iter().map(|name| date(name.at).to_string()).collect();
        assert_eq!(
            dates,
            [
                "2026-01-31",
                "2026-02-28",
                "2026-03-31",
                "2026-04-30",
                "2026-05-31",
                "2026-06-30",
                "2026-07-31",
                "2026-08-31",
                "2026-09-30",
                "2026-10-31",
                "2026-11-30", // months
                "2026-12-13",
                "2026-12-20", // weeks
                "2026-12-25",
                "2026-12-26",
                "2026-12-27",
                "2026-12-28",
                "2026-12-29",
                "2026-12-30",
                "2026-12-31", // days
            ]
        );
    }

    #[test]
    fn one_a_day_is_due_and_the_last_of_a_day_stays() {
        let there = [daily("2026-11-29T00:00:01Z")];
        assert!(!is_due(&there, at("2026-11-29T23:59:59Z")));
        assert!(is_due(&there, at("2026-11-30T00:00:00Z")));
        let two = [daily("2026-11-29T00:00:01Z"), daily("2026-11-29T12:00:00Z")];
        assert_eq!(served(&two, at("2026-11-29T13:00:00Z")), [two[0]]);
    }

    #[test]
    fn what_was_asked_for_does_not_stand_for_the_day_and_the_last_seven_stay() {
        let asked: Vec<BackupName> = (0..9)
            .map(|hour| BackupName::new(at("2026-11-29T00:00:00Z") + hour.hours(), Kind::Asked))
            .collect();
        let now = at("2026-11-29T12:00:00Z");
        assert!(is_due(&asked, now));
        assert_eq!(served(&asked, now), asked[..2]);
    }

    #[test]
    fn what_was_taken_before_a_step_stays_for_good() {
        let old = BackupName::new(at("2001-01-01T00:00:00Z"), Kind::BeforeStep(4));
        assert_eq!(served(&[old; 40], at("2026-11-29T12:00:00Z")), []);
    }

    #[test]
    fn a_clock_that_ran_ahead_and_came_back_takes_nothing_away_and_a_day_stays_due() {
        let (mut there, now) = after_days(30, at("2026-01-01T03:00:00Z"));
        let ahead = now + 87_600.hours();
        for day in 0..20 {
            there.push(BackupName::new(ahead + (24 * day).hours(), Kind::Daily));
        }
        let before = there.clone();
        let gone = served(&there, now);
        there.retain(|name| !gone.contains(name));
        assert_eq!(there, before, "nothing of the true days, and nothing of the days ahead");
        assert!(is_due(&there, now + 24.hours()));
        there.push(BackupName::new(now + 24.hours(), Kind::Daily));
        assert!(!served(&there, now + 24.hours()).contains(there.last().unwrap()));
    }

    fn names() -> impl Strategy<Value = Vec<BackupName>> {
        let kind = prop_oneof![Just(Kind::Daily), Just(Kind::Asked), (1..20_i64).prop_map(Kind::BeforeStep)];
        let name = (0..100_000_000_i64, kind)
            .prop_map(|(second, kind)| BackupName::new(Timestamp::from_second(second).unwrap(), kind));
        proptest::collection::vec(name, 0..120)
    }

    proptest! {
        #[test]
        fn whatever_is_there_the_newest_stays_the_rest_is_bounded_and_a_second_look_finds_nothing(
            there in names(), now in 0..100_000_000_i64,
        ) {
            let now = Timestamp::from_second(now).unwrap();
            let gone = served(&there, now);
            let left: Vec<BackupName> = there.iter().filter(|name| !gone.contains(name)).copied().collect();
            for kind in [Kind::Daily, Kind::Asked] {
                let past = |names: &[BackupName]| -> Vec<Timestamp> {
                    let mut times: Vec<_> =
                        names.iter().filter(|n| n.kind == kind && n.at <= now).map(|n| n.at).collect();
                    times.sort_unstable();
                    times.dedup();
                    times
                };
                prop_assert_eq!(past(&left).last().copied(), past(&there).last().copied());
                prop_assert!(past(&left).len() <= DAYS + WEEKS + MONTHS);
            }
            prop_assert!(gone.iter().all(|name| name.at <= now && !matches!(name.kind, Kind::BeforeStep(_))));
            prop_assert_eq!(served(&left, now), []);
            let earlier = now - SignedDuration::from_hours(1);
            prop_assert!(served(&there, earlier).iter().all(|name| name.at <= earlier));
        }
    }
}
