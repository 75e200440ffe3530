//! Two proportions: by how much one rate differs from another, and whether chance explains it.

mod risk_ratio;

pub use risk_ratio::{NoRiskRatio, RiskRatio, risk_ratio};

use super::association::Table;
use super::proportion::{Count, Interval, Level, wilson};

/// The first proportion minus the second, −1 to 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Difference {
    estimate: f64,
    interval: Interval,
}

impl Difference {
    /// First minus second.
    #[must_use]
    pub const fn estimate(self) -> f64 {
        self.estimate
    }

    /// The limits of the difference.
    #[must_use]
    pub const fn interval(self) -> Interval {
        self.interval
    }

    /// Whether the limits leave out "no difference".
    #[must_use]
    pub fn excludes_zero(self) -> bool {
        !self.interval.contains(0.0)
    }
}

/// The hybrid score interval of a difference of independent proportions (method 10): each side is
/// as wide as the score limits of both proportions, taken on the sides that make it, allow.
///
/// Defined for every pair of counts, also without events; never outside −1 to 1.
///
/// # Formula
/// ```text
/// d − √((p₁−l₁)² + (u₂−p₂)²) to d + √((u₁−p₁)² + (p₂−l₂)²), with l, u the Wilson limits
/// ```
/// # Source
/// Newcombe, Stat Med 1998;17:873 (from memory).
#[must_use]
pub fn newcombe(first: Count, second: Count, level: Level) -> Difference {
    let (p1, p2) = (first.proportion(), second.proportion());
    let (one, two) = (wilson(first, level), wilson(second, level));
    let estimate = p1 - p2;
    let below = (p1 - one.lower()).hypot(two.upper() - p2);
    let above = (one.upper() - p1).hypot(p2 - two.lower());
    Difference { estimate, interval: Interval::new(estimate - below, estimate + above) }
}

/// Fisher's exact test that two proportions are the same, two-sided, 0 to 1: see
/// [`Table::fisher_exact`].
#[must_use]
pub fn fisher_exact(first: Count, second: Count) -> f64 {
    Table::of(first, second).fisher_exact()
}

#[cfg(test)]
mod tests;
