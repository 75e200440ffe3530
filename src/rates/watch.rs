//! The watch over a rate: two CUSUMs, one for a rate that doubled and one for a rate that halved.

use super::period::Period;
use super::settings::FalseAlarmYears;
use super::words::{float, whole_number};
use crate::case::Month;
use crate::case::reading::words::upper_first;
use crate::stats::chart::Baseline;
use crate::stats::cusum::{AfterSignal, Cusum, Lattice};
use crate::stats::proportion::Count;

/// How much a changed rate's odds differ from the acceptable ones: double, and half.
const CHANGE: f64 = 2.0;

/// One side of the watch.
#[derive(Debug, Clone, PartialEq)]
pub struct Side {
    /// S at the end of each month; at a signal, before it began anew.
    pub sums: Vec<f64>,
    /// The limit.
    pub limit: f64,
    /// The places of the months with a signal.
    pub signals: Vec<usize>,
    /// The odds ratio that it watches for.
    pub odds_ratio: f64,
    /// Procedures until a false alarm at the acceptable rate, on average.
    pub false_alarm: f64,
    /// Procedures until the change is seen when it is there, on average.
    pub detection: f64,
}

/// Both sides over the counted months.
#[derive(Debug, Clone, PartialEq)]
pub struct Watched {
    /// The months, those that were not counted left out.
    pub months: Vec<Month>,
    /// Events and procedures of each.
    pub counts: Vec<Count>,
    /// The rate that counts as acceptable: that of the baseline.
    pub acceptable: Count,
    /// The months of the baseline.
    pub baseline: Period,
    /// Procedures a month, on average over the last year.
    pub per_month: f64,
    /// For a higher rate.
    pub worse: Side,
    /// For a lower rate.
    pub better: Side,
}

/// Why there is no watch.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NoWatch {
    /// No month has procedures at risk.
    #[error("No month of the period has procedures at risk, so there is nothing to follow.")]
    NothingCounted,
    /// No counted month of the baseline is among those shown.
    #[error(
        "No counted month of the baseline ({0}) lies in the period shown, so there is nothing to watch against. Show a period that holds it."
    )]
    Outside(Period),
    /// The baseline has no event to start from.
    #[error(
        "The baseline ({0}) has no event, so there is no rate to watch against. Set a longer baseline, or wait for the first."
    )]
    NoEvents(Period),
    /// The statistics refuse it.
    #[error("{0}")]
    Refused(String),
}

impl Watched {
    /// The months that fix the acceptable rate when nobody set them: the first 20 that were counted,
    /// or all when there are fewer. Taken by the calendar and never by events, which would bend it.
    #[must_use]
    pub fn usual_baseline(months: &[(Month, Count)]) -> Option<Period> {
        let length = Baseline::standard(months.len()).positions().end;
        Period::new(months.first()?.0, months.get(length.checked_sub(1)?)?.0).ok()
    }

    /// Follows months against the rate of a baseline.
    ///
    /// # Errors
    /// [`NoWatch`].
    pub fn of(
        months: &[(Month, Count)],
        baseline: Period,
        false_alarm: FalseAlarmYears,
    ) -> Result<Self, NoWatch> {
        if months.is_empty() {
            return Err(NoWatch::NothingCounted);
        }
        let inside = |month: &Month| baseline.from() <= *month && *month <= baseline.to();
        let (events, procedures) = sum(months.iter().filter(|(month, _)| inside(month)));
        if procedures == 0 {
            return Err(NoWatch::Outside(baseline));
        }
        let acceptable = Count::new(events, procedures)
            .ok()
            .filter(|count| count.events() > 0)
            .ok_or(NoWatch::NoEvents(baseline))?;
        let year = &months[months.len().saturating_sub(12)..];
        let per_month = float(sum(year.iter()).1) / float(year.len() as u64);
        let wanted = (per_month * 12.0 * f64::from(false_alarm.get())).clamp(1.0, Cusum::LONGEST_RUN);
        let counts: Vec<Count> = months.iter().map(|(_, count)| *count).collect();
        let side = |odds_ratio| side(acceptable, odds_ratio, wanted, &counts);
        Ok(Self {
            worse: side(CHANGE)?,
            better: side(1.0 / CHANGE)?,
            months: months.iter().map(|(month, _)| *month).collect(),
            counts,
            acceptable,
            baseline,
            per_month,
        })
    }

    /// What the watch finds, in a sentence for each signal, in order of time.
    #[must_use]
    pub fn signals(&self) -> Vec<(usize, bool, String)> {
        let mut all: Vec<(usize, bool)> = [(&self.worse, true), (&self.better, false)]
            .into_iter()
            .flat_map(|(side, worse)| side.signals.iter().map(move |&at| (at, worse)))
            .collect();
        all.sort_by_key(|&(at, worse)| (at, !worse));
        let mut told = Vec::new();
        all.into_iter()
            .map(|(at, worse)| {
                let again = told.contains(&worse);
                told.push(worse);
                (at, worse, self.sentence(at, worse, again))
            })
            .collect()
    }

    fn sentence(&self, at: usize, worse: bool, again: bool) -> String {
        let month = self.months[at].in_words();
        let (side, what) = if worse { (&self.worse, "a rise") } else { (&self.better, "a fall") };
        if again {
            return format!("{month}: the sum for {what} reached its limit again.");
        }
        format!(
            "{month}: the sum for {what} reached its limit: odds {:.1} times those of the baseline explain what was seen better \
             than the baseline does. The sum then began anew.",
            side.odds_ratio
        )
    }

    /// How the limits were set, in procedures and in months at the present volume.
    #[must_use]
    pub fn rule(&self) -> String {
        let months = |procedures: f64| procedures / self.per_month.max(1.0);
        let one = |side: &Side, what: &str, odds: String| {
            format!(
                "The {what} sum watches for odds {odds} times those of the baseline; at the baseline's rate a false alarm comes \
                 after {} procedures or more on average (about {:.0} months at the present volume), and it sees such a change after {} \
                 (about {:.0} months).",
                rounded(side.false_alarm),
                months(side.false_alarm),
                rounded(side.detection),
                months(side.detection),
            )
        };
        format!(
            "{} {} The order of the procedures within a month is not known, so each month counts as one step: a change may \
             be seen up to a month later. There is no adjustment for risk.",
            one(&self.worse, "upper", format!("{:.1}", self.worse.odds_ratio)),
            one(&self.better, "lower", format!("{:.2}", self.better.odds_ratio)),
        )
    }
}

/// A number of procedures to three digits.
fn rounded(procedures: f64) -> String {
    let step = 10_f64.powf((procedures.max(1.0).log10().floor() - 2.0).max(0.0));
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "at most 10⁹, above 0")]
    let whole = ((procedures / step).round() * step) as u64;
    whole_number(whole)
}

fn side(acceptable: Count, odds_ratio: f64, wanted: f64, counts: &[Count]) -> Result<Side, NoWatch> {
    let refused = |error: crate::stats::cusum::CusumError| {
        NoWatch::Refused(format!("{}.", upper_first(&error.to_string())))
    };
    let lattice = Lattice::near(acceptable.proportion(), odds_ratio).map_err(refused)?;
    let cusum = Cusum::with_run_length(lattice, wanted).map_err(refused)?;
    let track = cusum.follow(counts, AfterSignal::Restart);
    Ok(Side {
        sums: track.lots.iter().map(|lot| float(lot.s) * lattice.step()).collect(),
        limit: cusum.limit_in_logarithms(),
        signals: track.signals.iter().map(|signal| signal.lot).collect(),
        odds_ratio: lattice.odds_ratio(),
        false_alarm: cusum.run_length_in_control(),
        detection: cusum.run_length_at_odds_ratio(),
    })
}

fn sum<'a>(months: impl Iterator<Item = &'a (Month, Count)>) -> (u64, u64) {
    months.fold((0, 0), |(events, procedures), (_, count)| {
        (events + count.events(), procedures + count.procedures())
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::rates::samples::{month, period};

    fn months(counts: &[(u64, u64)]) -> Vec<(Month, Count)> {
        (0..)
            .zip(counts)
            .map(|(at, (events, procedures))| {
                (month("2022-01").plus(at), Count::new(*events, *procedures).unwrap())
            })
            .collect()
    }

    #[test]
    fn a_rate_that_trebles_is_seen_and_the_months_before_are_not_blamed() {
        let counts: Vec<(u64, u64)> = (0..36).map(|at| (if at < 24 { 2 } else { 6 }, 100)).collect();
        let found =
            Watched::of(&months(&counts), period("2022-01", "2023-12"), FalseAlarmYears::USUAL).unwrap();
        let signals = found.signals();
        assert!(signals.iter().all(|(at, worse, _)| *worse && *at >= 24), "{signals:?}");
        assert!(signals[0].0 <= 28, "{signals:?}");
        assert!(signals[0].2.contains("2024: the sum for a rise reached its limit"), "{}", signals[0].2);
        assert!(found.worse.false_alarm >= 6_000.0);
        assert!(found.worse.detection < 800.0, "{}", found.worse.detection);
    }

    #[test]
    fn a_rate_that_falls_to_nothing_is_seen_by_the_lower_sum() {
        let counts: Vec<(u64, u64)> = (0..48).map(|at| (if at < 24 { 3 } else { 0 }, 100)).collect();
        let found =
            Watched::of(&months(&counts), period("2022-01", "2023-12"), FalseAlarmYears::USUAL).unwrap();
        assert!(found.worse.signals.is_empty());
        assert!(!found.better.signals.is_empty());
    }

    #[test]
    fn without_an_event_in_the_baseline_there_is_nothing_to_watch_against() {
        let error =
            Watched::of(&months(&[(0, 100), (1, 100)]), period("2022-01", "2022-01"), FalseAlarmYears::USUAL);
        assert_eq!(error, Err(NoWatch::NoEvents(period("2022-01", "2022-01"))));
        assert_eq!(
            Watched::of(&months(&[(1, 100)]), period("2020-01", "2020-12"), FalseAlarmYears::USUAL),
            Err(NoWatch::Outside(period("2020-01", "2020-12")))
        );
        assert_eq!(
            Watched::of(&[], period("2022-01", "2022-01"), FalseAlarmYears::USUAL),
            Err(NoWatch::NothingCounted)
        );
    }
}
