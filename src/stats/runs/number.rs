//! Whether there are too few runs, or too many.

use super::{FEWEST_FOR_RUNS, RunRule, RunSignal, Runs, RunsError};
use crate::stats::discrete::{Discrete, FOR_TAILS, Margins};

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
    /// do about their own median; `None` below [`FEWEST_FOR_RUNS`] and for more than can be counted
    /// here (32 bits).
    ///
    /// # Formula
    /// ```text
    /// a = ⌊n/2⌋, b = ⌈n/2⌉; P(2h runs) = 2 C(a−1,h−1) C(b−1,h−1) / C(n,a);
    /// P(2h+1 runs) = [C(a−1,h) C(b−1,h−1) + C(a−1,h−1) C(b−1,h)] / C(n,a)
    /// ```
    /// Each product of two is a hypergeometric probability, up to a factor.
    ///
    /// # Source
    /// Wald & Wolfowitz, Ann Math Stat 1940;11:147 (from memory). Computed here, not copied from a
    /// printed table of run-chart rules, whose limits differ by one run here and there.
    #[must_use]
    pub fn of(useful: usize) -> Option<Self> {
        if useful < FEWEST_FOR_RUNS {
            return None;
        }
        let points = u32::try_from(useful).ok()?;
        let chance = RunsChance::of(points);
        let (mut fewest, mut sum) = (2, chance.probability(2));
        while sum <= RUNS_TAIL {
            fewest += 1;
            sum += chance.probability(fewest);
        }
        let (mut most, mut sum) = (points, chance.probability(points));
        while sum <= RUNS_TAIL {
            most -= 1;
            sum += chance.probability(most);
        }
        Some(Self { fewest: usize::try_from(fewest).ok()?, most: usize::try_from(most).ok()? })
    }
}

/// How many runs so many points make, half of them on each side.
///
/// With H(x; c) the probability of x in the first cell of a table with rows of a−1 and b−1 and a first
/// column of c:
/// ```text
/// P(2h) = 2 H(h−1; b−1) ab/(n(n−1))
/// P(2h+1) = H(h; b) a(a−1)/(n(n−1)) + H′(h; a) b(b−1)/(n(n−1)), H′ with the rows swapped
/// ```
struct RunsChance {
    even: (Discrete, f64),
    odd: [(Discrete, f64); 2],
}

impl RunsChance {
    /// `points` is 4 or more.
    fn of(points: u32) -> Self {
        let (a, b) = (points / 2, points.div_ceil(2));
        let pairs = f64::from(points) * f64::from(points - 1);
        let part = |one: u32, other: u32, first_column: u32, ways: [u32; 2]| {
            let margins = Margins { first_row: one - 1, second_row: other - 1, first_column };
            let factor = f64::from(ways[0]) * f64::from(ways[1]) / pairs;
            (Discrete::first_cell(margins, 1.0, FOR_TAILS), factor)
        };
        Self { even: part(a, b, b - 1, [a, b]), odd: [part(a, b, b, [a, a - 1]), part(b, a, a, [b, b - 1])] }
    }

    /// The probability of exactly `runs` runs, 2 or more.
    fn probability(&self, runs: u32) -> f64 {
        let h = runs / 2;
        if runs.is_multiple_of(2) {
            2.0 * self.even.0.probability(h - 1) * self.even.1
        } else {
            self.odd.iter().map(|(cell, factor)| cell.probability(h) * factor).sum()
        }
    }
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

    /// The number of ways to choose `k` of `n`.
    fn choose(n: u32, k: u32) -> f64 {
        (0..k).map(|j| f64::from(n - j) / f64::from(j + 1)).product()
    }

    #[test]
    fn probabilities_of_runs_are_those_of_the_formula_and_add_up_to_1() {
        for points in [10, 11, 37, 200] {
            let chance = RunsChance::of(points);
            let sum: f64 = (2..=points).map(|runs| chance.probability(runs)).sum();
            assert!((sum - 1.0).abs() < 1e-12, "{points}: {sum}");
        }
        for points in [10_u32, 11, 37] {
            let (a, b, chance) = (points / 2, points.div_ceil(2), RunsChance::of(points));
            for runs in 2..=points {
                let h = runs / 2;
                let ways = |i: u32, j: u32| choose(a - 1, i) * choose(b - 1, j);
                let ways =
                    if runs % 2 == 0 { 2.0 * ways(h - 1, h - 1) } else { ways(h, h - 1) + ways(h - 1, h) };
                let expected = ways / choose(points, a);
                let found = chance.probability(runs);
                assert!((found - expected).abs() <= 1e-12 * expected, "{runs} of {points}: {found:e}");
            }
        }
    }
}
