//! Whether there are too few runs, or too many.

use super::{FEWEST_FOR_RUNS, RunRule, RunSignal, Runs, RunsError};
use crate::stats::binomial::ln_choose;

/// The probability that each limit of the number of runs leaves outside.
const RUNS_TAIL: f64 = 0.025;

/// How many runs so many useful points may have.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct RunsLimits {
    /// Fewer are too few.
    pub fewest: usize,
    /// More are too many.
    pub most: usize,
}

impl RunsLimits {
    /// The exact limits, 2.5 % a tail, for `useful` points of which half lie on each side, as they
    /// do about their own median; `None` below [`FEWEST_FOR_RUNS`].
    ///
    /// # Formula
    /// ```text
    /// a = ⌊n/2⌋, b = ⌈n/2⌉; P(2h runs) = 2 C(a−1,h−1) C(b−1,h−1) / C(n,a);
    /// P(2h+1 runs) = [C(a−1,h) C(b−1,h−1) + C(a−1,h−1) C(b−1,h)] / C(n,a)
    /// ```
    /// # Source
    /// Wald & Wolfowitz, Ann Math Stat 1940;11:147 (from memory). Computed here, not copied from a
    /// printed table of run-chart rules, whose limits differ by one run here and there.
    #[must_use]
    pub fn of(useful: usize) -> Option<Self> {
        if useful < FEWEST_FOR_RUNS {
            return None;
        }
        let within = |tail: f64| tail <= RUNS_TAIL;
        let (mut fewest, mut sum) = (2, probability_of_runs(useful, 2));
        while within(sum) {
            fewest += 1;
            sum += probability_of_runs(useful, fewest);
        }
        let (mut most, mut sum) = (useful, probability_of_runs(useful, useful));
        while within(sum) {
            most -= 1;
            sum += probability_of_runs(useful, most);
        }
        Some(Self { fewest, most })
    }
}

/// The probability of exactly `runs` runs, 2 or more.
fn probability_of_runs(useful: usize, runs: usize) -> f64 {
    let (a, b, h) = ((useful / 2) as u64, useful.div_ceil(2) as u64, (runs / 2) as u64);
    let all = ln_choose(a + b, a);
    let ways = |i: u64, j: u64| {
        if i >= a || j >= b { 0.0 } else { (ln_choose(a - 1, i) + ln_choose(b - 1, j) - all).exp() }
    };
    if runs.is_multiple_of(2) { 2.0 * ways(h - 1, h - 1) } else { ways(h, h - 1) + ways(h - 1, h) }
}

/// A series judged by how many runs it has.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NumberOfRuns {
    /// Points that are not on the median.
    pub useful: usize,
    /// Stretches of useful points on one side.
    pub runs: usize,
    /// What is ordinary; `None` with fewer than [`FEWEST_FOR_RUNS`] useful points.
    pub limits: Option<RunsLimits>,
    /// Too few or too many: all useful points.
    pub signal: Option<RunSignal>,
}

/// Whether there are too few runs (a slow drift, a shift) or too many (two streams mixed in one
/// line, or a series that is corrected too eagerly).
///
/// # Errors
/// [`RunsError`].
pub fn number_of_runs(values: &[f64], median: f64) -> Result<NumberOfRuns, RunsError> {
    let runs = Runs::of(values, median)?;
    let (useful, number) = (runs.useful, runs.runs.len());
    let limits = RunsLimits::of(useful);
    let rule = match limits {
        Some(limits) if number < limits.fewest => Some(RunRule::TooFewRuns),
        Some(limits) if number > limits.most => Some(RunRule::TooManyRuns),
        _ => None,
    };
    let signal = rule.map(|rule| RunSignal { rule, points: runs.all_points() });
    Ok(NumberOfRuns { useful, runs: number, limits, signal })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn probabilities_of_runs_add_up_to_1() {
        for useful in [10, 11, 37, 200] {
            let sum: f64 = (2..=useful).map(|runs| probability_of_runs(useful, runs)).sum();
            assert!((sum - 1.0).abs() < 1e-10, "{useful}: {sum}");
        }
    }
}
