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
    fn iter(&self) -> impl DoubleEndedIterator<Item = (u32, f64)> {
        let share = self.weights.iter().map(|weight| weight / self.total);
        (self.first..=u32::MAX).zip(share).collect::<Vec<_>>().into_iter()
    }

    /// The probability of `k`.
    pub(super) fn probability(&self, k: u32) -> f64 {
        self.weight(k) / self.total
    }

    /// The probability of `k` or less, added from the small end.
    pub(super) fn at_most(&self, k: u32) -> f64 {
        let Some(place) = k.checked_sub(self.first) else { return 0.0 };
        let kept = usize::try_from(place).unwrap_or(usize::MAX).saturating_add(1);
        let sum: f64 = self.weights.iter().take(kept).sum();
        sum / self.total
    }

    /// The probability of `k` or more, added from the small end; exactly 1 where that is all there is.
    pub(super) fn at_least(&self, k: u32) -> f64 {
        let skipped = usize::try_from(k.saturating_sub(self.first)).unwrap_or(usize::MAX);
        if skipped == 0 {
            return 1.0;
        }
        if skipped >= self.weights.len() {
            return 0.0;
        }
        let sum: f64 = self.weights.iter().skip(skipped).rev().sum();
        // Added from the other end than the total, it may exceed it in the last digit.
        (sum / self.total).min(1.0)
    }

    /// The smallest number with at least `tail` at or below it, and by which share of its own
    /// probability it overshoots.
    pub(super) fn quantile_from_below(&self, tail: f64) -> (u32, f64) {
        let mut sum = 0.0;
        let mut last = (0, 0.0);
        for (number, probability) in self.iter() {
            sum += probability;
            last = (number, (sum - tail) / probability);
            if sum >= tail {
                break;
            }
        }
        last
    }

    /// The smallest number with at most `tail` above it, and by which share of its own probability the
    /// rest falls short of the tail. Summed from above, because 1 − tail has lost the tail's digits.
    pub(super) fn quantile_from_above(&self, tail: f64) -> (u32, f64) {
        let mut above = 0.0;
        let mut last = (0, 0.0);
        for (number, probability) in self.iter().rev() {
            last = (number, (tail - above) / probability);
            above += probability;
            if above > tail {
                break;
            }
        }
        last
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
mod tests;
