//! How long a session lives, judged by a clock that may jump.

use jiff::Timestamp;

use super::user::{Role, User};

/// How long a session lives from sign-in at most, in hours.
///
/// # Source
/// NIST SP 800-63B-4, 2.2.3: at assurance level 2 a session should end after 24 hours at most, and after
/// one hour without activity. A working day in the lab with a conference fits into 12.
pub const SESSION_HOURS: i64 = 12;
/// How long a session lives without a request, in minutes.
pub const IDLE_MINUTES: i64 = 60;
/// How far the clock may be put back, in minutes, as a time server does, without anybody noticing.
const PUT_BACK_MINUTES: i64 = 5;
/// How old the note of the last use may get, in seconds, before it is written again.
const NOTE_SECONDS: i64 = 60;

/// Whether `now` lies within so many minutes after `began`. A beginning that lies ahead of the clock is
/// trusted for a few minutes only: when the clock was put back further, what began under the wrong time is
/// over, rather than living on for as long as the clock was wrong.
#[must_use]
pub fn is_within(began: Timestamp, now: Timestamp, minutes: i64) -> bool {
    let age = now.as_second() - began.as_second();
    (-PUT_BACK_MINUTES * 60..minutes * 60).contains(&age)
}

/// When a session began and was last used.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Life {
    /// When it began.
    pub began: Timestamp,
    /// When it was last used, up to a minute behind.
    pub last_used: Timestamp,
}

impl Life {
    /// Whether it has neither lived too long nor lain idle too long.
    #[must_use]
    pub fn is_open(self, now: Timestamp) -> bool {
        is_within(self.began, now, SESSION_HOURS * 60) && is_within(self.last_used, now, IDLE_MINUTES)
    }

    /// Whether its last use is to be written down again: not at each request.
    #[must_use]
    pub fn is_to_be_noted(self, now: Timestamp) -> bool {
        (now.as_second() - self.last_used.as_second()).abs() >= NOTE_SECONDS
    }
}

/// An open session.
#[derive(Debug, Clone)]
pub struct Session {
    /// What it is called on pages: the first quarter of its secret's digest, with which nobody can sign in.
    pub handle: String,
    /// Whose it is.
    pub user: User,
    /// When it began and was last used.
    pub life: Life,
    /// The role that the account had when the session's secret was given out.
    pub role_then: Option<Role>,
    /// The browser in rough words; empty when it did not say.
    pub browser: String,
}

#[cfg(test)]
mod tests {
    use super::*;

    fn after(minutes: i64) -> Timestamp {
        Timestamp::from_second(1_700_000_000 + minutes * 60).unwrap()
    }

    fn life(last_used: i64) -> Life {
        Life { began: after(0), last_used: after(last_used) }
    }

    #[test]
    fn an_hour_without_a_request_ends_it() {
        assert!(life(0).is_open(after(59)));
        assert!(!life(0).is_open(after(60)));
        assert!(life(59).is_open(after(118)));
    }

    #[test]
    fn twelve_hours_end_it_however_busy_it_is() {
        assert!(life(719).is_open(after(719)));
        assert!(!life(719).is_open(after(720)));
    }

    #[test]
    fn a_clock_that_jumps_ahead_ends_it_and_one_that_is_put_back_a_little_does_not() {
        assert!(!life(0).is_open(after(60 * 24 * 365)));
        assert!(life(10).is_open(after(5)));
        assert!(life(3).is_open(after(-2)));
    }

    /// Else a session that began while the clock was a year ahead would live for a year.
    #[test]
    fn a_session_of_a_time_that_is_not_yet_does_not_outlive_its_limits() {
        assert!(!life(0).is_open(after(-6)));
        assert!(!life(0).is_open(after(-60 * 24 * 365)));
        assert!(!life(20).is_open(after(14)), "last used 6 minutes ahead of the clock");
    }

    #[test]
    fn its_use_is_noted_once_a_minute_whichever_way_the_clock_went() {
        let noted = |seconds: i64| {
            let now = Timestamp::from_second(1_700_000_000 + seconds).unwrap();
            life(0).is_to_be_noted(now)
        };
        assert_eq!([-61, -60, -59, 0, 59, 60].map(noted), [true, true, false, false, false, true]);
    }
}
