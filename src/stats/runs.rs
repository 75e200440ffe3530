//! Rules for a run chart: whether points that lie within every limit still do not fall by chance.
//!
//! - [`anhoej`]: the longest run on one side of the median and the crossings of it, with limits that
//!   follow the number of points. The one to prefer;
//! - [`shift`] and [`trend`]: six on one side, five in one direction;
//! - [`number_of_runs`]: too few runs or too many.
//!
//! Each rule raises its own false alarms, and several together raise more: a page names the ones
//! that are on. Points are in time order; the median comes from the caller, so that it can be that
//! of a frozen baseline. Values are rates or gaps, 0 or more.

mod number;

pub use number::{NumberOfRuns, RunsLimits, number_of_runs};

use super::discrete::{Discrete, FOR_LIMITS};

/// How many consecutive points on one side of the median make a shift.
pub const SHIFT: usize = 6;
/// How many consecutive points, all rising or all falling, make a trend.
pub const TREND: usize = 5;
/// From how many useful points the number of runs says anything.
pub const FEWEST_FOR_RUNS: usize = 10;
/// The probability of fewer crossings than the limit allows.
const CROSSINGS_TAIL: f64 = 0.05;

/// A rule by which points are a signal.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum RunRule {
    /// A run longer than so many points allow.
    LongRun,
    /// Fewer crossings of the median than so many points allow.
    FewCrossings,
    /// Six or more on one side.
    Shift,
    /// Five or more in one direction.
    Trend,
    /// Fewer runs than so many points allow.
    TooFewRuns,
    /// More runs than so many points allow.
    TooManyRuns,
}

/// A signal: the rule, and the positions of the points that make it, rising.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RunSignal {
    /// Which rule.
    pub rule: RunRule,
    /// The points to ring: those of the run; for a rule about the whole series, every useful point.
    /// Points on the median belong to no run.
    pub points: Vec<usize>,
}

/// Why a series cannot be judged.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum RunsError {
    /// Nothing to judge, or every point on the median.
    #[error("no point lies off the median, so there are no runs")]
    NoUsefulPoints,
    /// A value or the median is no number, or below 0.
    #[error("a value is below 0 or not a number")]
    BadValue,
    /// At least half of the points are 0, so none can lie below the median, and the runs would
    /// signal whatever happens.
    #[error("the median is 0, so no point can lie below it: chart the procedures between events")]
    MedianIsZero,
}

fn check(values: &[f64]) -> Result<(), RunsError> {
    if values.iter().all(|value| *value >= 0.0) { Ok(()) } else { Err(RunsError::BadValue) }
}

/// The runs of a series about its median.
struct Runs {
    /// The positions of each run's points, points on the median left out.
    runs: Vec<Vec<usize>>,
    useful: usize,
}

impl Runs {
    fn of(values: &[f64], median: f64) -> Result<Self, RunsError> {
        check(values)?;
        check(&[median])?;
        if median == 0.0 {
            return Err(RunsError::MedianIsZero);
        }
        let (mut runs, mut last): (Vec<Vec<usize>>, _) = (Vec::new(), None);
        for (at, value) in values.iter().enumerate().filter(|(_, value)| **value != median) {
            let above = *value > median;
            match runs.last_mut() {
                Some(run) if last == Some(above) => run.push(at),
                _ => runs.push(vec![at]),
            }
            last = Some(above);
        }
        let useful = runs.iter().map(Vec::len).sum();
        if useful == 0 { Err(RunsError::NoUsefulPoints) } else { Ok(Self { runs, useful }) }
    }

    fn longest(&self) -> usize {
        self.runs.iter().map(Vec::len).max().unwrap_or(0)
    }

    fn all_points(&self) -> Vec<usize> {
        self.runs.concat()
    }

    /// A signal for each run that is longer than `ordinary`.
    fn longer_than(self, ordinary: usize, rule: RunRule) -> impl Iterator<Item = RunSignal> {
        self.runs
            .into_iter()
            .filter(move |run| run.len() > ordinary)
            .map(move |points| RunSignal { rule, points })
    }
}

/// A series judged by its longest run and its crossings.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Anhoej {
    /// Points that are not on the median.
    pub useful: usize,
    /// The most consecutive useful points on one side of the median.
    pub longest_run: usize,
    /// The longest run that is still ordinary.
    pub longest_limit: usize,
    /// How often the line between useful points crosses the median.
    pub crossings: usize,
    /// The fewest crossings that are still ordinary.
    pub crossings_limit: usize,
    /// Each run that is too long, and the whole series when it crosses too seldom.
    pub signals: Vec<RunSignal>,
}

/// Longest run and crossings, with limits for so many points.
///
/// # Formula
/// ```text
/// n useful points; signal when the longest run > round(log₂ n + 3)
/// or the crossings < the 5 % quantile of a binomial with n−1 and ½
/// ```
/// # Source
/// Anhøj & Olesen, PLoS One 2014;9:e113825 (the formulas from memory).
///
/// # Errors
/// [`RunsError`].
pub fn anhoej(values: &[f64], median: f64) -> Result<Anhoej, RunsError> {
    let runs = Runs::of(values, median)?;
    let (useful, longest_run, crossings) = (runs.useful, runs.longest(), runs.runs.len() - 1);
    // Between 3 and about 70, so the cast is exact.
    let longest_limit = ((useful as f64).log2() + 3.0).round() as usize;
    let crossings_limit = crossings_limit(useful);
    let mut signals = Vec::new();
    if crossings < crossings_limit {
        signals.push(RunSignal { rule: RunRule::FewCrossings, points: runs.all_points() });
    }
    signals.extend(runs.longer_than(longest_limit, RunRule::LongRun));
    Ok(Anhoej { useful, longest_run, longest_limit, crossings, crossings_limit, signals })
}

fn crossings_limit(useful: usize) -> usize {
    let gaps = u32::try_from(useful.saturating_sub(1)).unwrap_or(u32::MAX);
    let limit = Discrete::binomial(gaps, 1.0, FOR_LIMITS).quantile_from_below(CROSSINGS_TAIL).0;
    // At most `gaps`, which was a usize.
    usize::try_from(limit).unwrap_or(0)
}

/// Each run of [`SHIFT`] or more points on one side of the median. Points on it are passed over:
/// they neither add to a run nor end it.
///
/// # Source
/// Perla, Provost & Murray, BMJ Qual Saf 2011;20:46 (from memory).
///
/// # Errors
/// [`RunsError`].
pub fn shift(values: &[f64], median: f64) -> Result<Vec<RunSignal>, RunsError> {
    Ok(Runs::of(values, median)?.longer_than(SHIFT - 1, RunRule::Shift).collect())
}

/// Each stretch of [`TREND`] or more points that all rise or all fall; equal neighbours count
/// once. Of little use for finding a drift (Anhøj & Olesen, PLoS One 2014;9:e113825), so a page
/// leaves it off until someone asks for it.
///
/// # Source
/// Perla, Provost & Murray, BMJ Qual Saf 2011;20:46 (from memory).
///
/// # Errors
/// [`RunsError::BadValue`]. A series without a trend gives none.
pub fn trend(values: &[f64]) -> Result<Vec<RunSignal>, RunsError> {
    check(values)?;
    let signals = stretches(values)
        .into_iter()
        .filter(|stretch| stretch.distinct >= TREND)
        .map(|stretch| RunSignal { rule: RunRule::Trend, points: (stretch.first..=stretch.last).collect() });
    Ok(signals.collect())
}

/// The most points in one direction, equal neighbours counted once; 0 without values.
#[must_use]
pub fn longest_trend(values: &[f64]) -> usize {
    let longest = stretches(values).iter().map(|stretch| stretch.distinct).max();
    longest.unwrap_or(usize::from(!values.is_empty()))
}

/// Points from `first` to `last` that never turn.
struct Stretch {
    first: usize,
    last: usize,
    distinct: usize,
    rising: bool,
}

fn stretches(values: &[f64]) -> Vec<Stretch> {
    let mut found: Vec<Stretch> = Vec::new();
    // Where the present value was first reached: a new stretch begins with all its equals.
    let mut level_from = 0;
    for (before, pair) in values.windows(2).enumerate() {
        let now = before + 1;
        if pair[0] == pair[1] {
            if let Some(stretch) = found.last_mut() {
                stretch.last = now;
            }
            continue;
        }
        let rising = pair[1] > pair[0];
        match found.last_mut() {
            Some(stretch) if stretch.rising == rising => {
                (stretch.last, stretch.distinct) = (now, stretch.distinct + 1);
            }
            _ => found.push(Stretch { first: level_from, last: now, distinct: 2, rising }),
        }
        level_from = now;
    }
    found
}

#[cfg(test)]
mod tests;
