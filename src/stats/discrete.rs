//! Exact distributions over whole numbers, from the ratios of neighbouring probabilities.
//!
//! A binomial, Poisson or hypergeometric distribution is known up to a factor by how each
//! probability relates to the one before. Starting at the most probable number with weight 1 and
//! walking to both sides, every weight keeps its digits: no factorials, whose logarithms would cost
//! digits where counts are large. The walk ends where nothing is left to add, so that it takes a few
//! dozen standard deviations and not the whole range.

use std::ops::RangeInclusive;

/// Weights below this share of the largest are left out where limits are sought.
pub(super) const FOR_LIMITS: f64 = 1e-30;

/// Weights below this share of the largest are left out where small probabilities are wanted.
pub(super) const FOR_TAILS: f64 = 1e-300;

/// A distribution over consecutive whole numbers with one peak.
pub(super) struct Discrete {
    first: u32,
    weights: Vec<f64>,
    total: f64,
}

/// The margins of a table of two by two, for the number in its first cell.
#[derive(Clone, Copy)]
pub(super) struct Margins {
    /// All in the first row.
    pub(super) first_row: u32,
    /// All in the second row.
    pub(super) second_row: u32,
    /// All in the first column; not above both rows together.
    pub(super) first_column: u32,
}

impl Margins {
    /// What the first cell can be.
    pub(super) fn range(self) -> RangeInclusive<u32> {
        self.first_column.saturating_sub(self.second_row)..=self.first_column.min(self.first_row)
    }
}

impl Discrete {
    /// `ratio(x)` is P(x+1)/P(x), and falls as `x` rises. `least` is the share of the largest
    /// weight below which a walk ends.
    fn new(range: RangeInclusive<u32>, least: f64, ratio: impl Fn(u32) -> f64) -> Self {
        let mode = mode(range.clone(), &ratio);
        let (mut first, mut weights) = (mode, Vec::new());
        let mut weight = 1.0;
        for x in (*range.start()..mode).rev() {
            weight /= ratio(x);
            if weight < least {
                break;
            }
            weights.push(weight);
            first = x;
        }
        weights.reverse();
        weights.push(1.0);
        weight = 1.0;
        for x in mode..*range.end() {
            weight *= ratio(x);
            if weight < least {
                break;
            }
            weights.push(weight);
        }
        let total = weights.iter().sum();
        Self { first, weights, total }
    }

    /// How many of `n` trials succeed, each with these odds (probability by its complement).
    pub(super) fn binomial(n: u32, odds: f64, least: f64) -> Self {
        Self::new(0..=n, least, |x| odds * f64::from(n - x) / (f64::from(x) + 1.0))
    }

    /// How many events happen where so many are expected.
    pub(super) fn poisson(mean: f64, least: f64) -> Self {
        Self::new(0..=u32::MAX, least, |x| mean / (f64::from(x) + 1.0))
    }

    /// The first cell of a table with these margins and this odds ratio: Fisher's noncentral
    /// hypergeometric distribution; at odds ratio 1 the hypergeometric one.
    pub(super) fn first_cell(margins: Margins, odds_ratio: f64, least: f64) -> Self {
        let [row, column] = [margins.first_row, margins.first_column];
        let rest = f64::from(margins.second_row) - f64::from(column);
        Self::new(margins.range(), least, |x| {
            let next = f64::from(x) + 1.0;
            odds_ratio * (f64::from(column - x) / next) * (f64::from(row - x) / (rest + next))
        })
    }

    fn weight(&self, k: u32) -> f64 {
        let place = k.checked_sub(self.first).and_then(|place| usize::try_from(place).ok());
        place.and_then(|place| self.weights.get(place)).copied().unwrap_or(0.0)
    }

    /// The probabilities with their numbers, in order.
    pub(super) fn iter(&self) -> impl DoubleEndedIterator<Item = (u32, f64)> {
        let share = self.weights.iter().map(|weight| weight / self.total);
        (self.first..=u32::MAX).zip(share).collect::<Vec<_>>().into_iter()
    }

    /// The probability of `k`.
    pub(super) fn probability(&self, k: u32) -> f64 {
        self.weight(k) / self.total
    }

    /// The probability of `k` or less, added from the small end.
    pub(super) fn at_most(&self, k: u32) -> f64 {
        let numbers = self.first..=u32::MAX;
        let sum: f64 = numbers.zip(&self.weights).take_while(|(x, _)| *x <= k).map(|(_, w)| w).sum();
        sum / self.total
    }

    /// The probability of `k` or more, added from the small end.
    pub(super) fn at_least(&self, k: u32) -> f64 {
        let skipped = usize::try_from(k.saturating_sub(self.first)).unwrap_or(usize::MAX);
        let sum: f64 = self.weights.iter().skip(skipped).rev().sum();
        sum / self.total
    }

    /// The mean.
    pub(super) fn mean(&self) -> f64 {
        // From the first number on: the digits go to what differs.
        let above: f64 = (0_u32..).zip(&self.weights).map(|(place, weight)| f64::from(place) * weight).sum();
        f64::from(self.first) + above / self.total
    }

    /// The probability of all numbers that are as likely as `k` or less, where `tolerance` is the
    /// relative difference at which two probabilities still count as equal.
    pub(super) fn as_likely_or_less(&self, k: u32, tolerance: f64) -> f64 {
        let most = self.weight(k) * (1.0 + tolerance);
        let sum: f64 = self.weights.iter().filter(|weight| **weight <= most).sum();
        sum / self.total
    }

    /// Twice the smaller tail at `k`, at most 1: with all of the probability of `k` itself, or with
    /// half of it (mid-P).
    pub(super) fn doubled_tail(&self, k: u32, share_of_k: f64) -> f64 {
        let left_out = (1.0 - share_of_k) * self.probability(k);
        (2.0 * (self.at_most(k).min(self.at_least(k)) - left_out)).clamp(0.0, 1.0)
    }
}

/// The most probable number: the first from which the next is less probable.
fn mode(range: RangeInclusive<u32>, ratio: &impl Fn(u32) -> f64) -> u32 {
    let (mut low, mut high) = range.into_inner();
    // The mode lies from `low` to `high`; each step halves the gap.
    while low < high {
        let middle = low.midpoint(high);
        if ratio(middle) < 1.0 {
            high = middle;
        } else {
            low = middle + 1;
        }
    }
    low
}

/// The positive number at which `is_below` turns from true to false, within a factor of e^800 of
/// `near`; found by its logarithm, to 1e-14.
pub(super) fn positive_root(near: f64, is_below: impl Fn(f64) -> bool) -> f64 {
    let start = if near > 0.0 && near.is_finite() { near.ln() } else { 0.0 };
    let below = |logarithm: f64| is_below(logarithm.exp());
    let (mut low, mut high, mut step) = (start, start, 0.5);
    while !below(low) && step < 800.0 {
        low -= step;
        step *= 2.0;
    }
    step = 0.5;
    while below(high) && step < 800.0 {
        high += step;
        step *= 2.0;
    }
    loop {
        let middle = f64::midpoint(low, high);
        if high - low < 1e-14 || middle <= low || middle >= high {
            return middle.exp();
        }
        if below(middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn close(found: f64, expected: f64) {
        assert!(((found - expected) / expected).abs() < 1e-13, "{found:e}, not {expected:e}");
    }

    #[test]
    fn small_distributions_are_those_written_out_by_hand() {
        let coins = Discrete::binomial(4, 1.0, FOR_TAILS);
        for (k, ways) in [1.0, 4.0, 6.0, 4.0, 1.0].into_iter().enumerate() {
            close(coins.probability(u32::try_from(k).unwrap()), ways / 16.0);
        }
        close(coins.at_most(1), 5.0 / 16.0);
        close(coins.at_least(1), 15.0 / 16.0);
        close(coins.mean(), 2.0);
        close(coins.doubled_tail(1, 1.0), 10.0 / 16.0);
        close(coins.doubled_tail(1, 0.5), 6.0 / 16.0);
        // Fisher's lady and the tea: four cups of eight, all found, 1 in 70.
        let tea = Margins { first_row: 4, second_row: 4, first_column: 4 };
        let tea = Discrete::first_cell(tea, 1.0, FOR_TAILS);
        close(tea.at_least(4), 1.0 / 70.0);
        close(tea.as_likely_or_less(4, 1e-7), 2.0 / 70.0);
        let rare = Discrete::poisson(0.5, FOR_TAILS);
        close(rare.probability(0), (-0.5_f64).exp());
        close(rare.at_least(1), -(-0.5_f64).exp_m1());
    }

    #[test]
    fn numbers_outside_the_range_have_no_probability() {
        let margins = Margins { first_row: 5, second_row: 3, first_column: 6 };
        assert_eq!(margins.range(), 3..=5);
        let cell = Discrete::first_cell(margins, 1.0, FOR_TAILS);
        assert_eq!((cell.probability(2), cell.probability(6)), (0.0, 0.0));
        assert_eq!((cell.at_most(2), cell.at_least(6)), (0.0, 0.0));
        close(cell.at_most(7), 1.0);
        close(cell.at_least(0), 1.0);
    }

    #[test]
    fn a_wide_distribution_keeps_its_digits() {
        // Half of ten million: the largest probability is 1/√(πn/2) · (1 − 1/(4n)), by Stirling.
        let n = 10_000_000;
        let coins = Discrete::binomial(n, 1.0, FOR_LIMITS);
        let width = f64::from(n);
        let expected = (1.0 - 0.25 / width) / (std::f64::consts::PI * width / 2.0).sqrt();
        assert!((coins.probability(n / 2) / expected - 1.0).abs() < 1e-12);
        assert!((coins.mean() - width / 2.0).abs() < 1e-6);
    }

    #[test]
    fn a_root_is_found_far_from_where_the_search_begins() {
        for root in [1e-200, 3e-7, 1.0, 42.0, 1e200] {
            for near in [0.0, 1e-3, 1.0, 1e9, f64::INFINITY] {
                let found = positive_root(near, |x| x < root);
                assert!((found / root - 1.0).abs() < 1e-12, "{root} from {near}: {found}");
            }
        }
    }
}
