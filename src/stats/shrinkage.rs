//! Many units, few events each: rates drawn towards what all units have in common.

mod fit;

pub use fit::{FEW_UNITS, Fit, FitError, fit};

use super::proportion::{Count, Interval, Level};
use super::special::beta_quantile;

/// What is believed about a unit's rate before its own counts: a beta distribution.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Prior {
    a: f64,
    b: f64,
}

/// Not the shapes of a beta distribution.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("both shapes of a prior are above 0, and together at most a million")]
pub struct PriorError;

impl Prior {
    /// The most that the shapes can sum to. A prior that outweighs a million procedures leaves
    /// nothing to a unit's own counts.
    pub const MOST: f64 = 1e6;

    /// A prior that weighs as much as `a + b` procedures of which `a` had the event.
    ///
    /// # Errors
    /// [`PriorError`] when a shape is 0, negative or no number, or both exceed [`Self::MOST`].
    pub fn new(a: f64, b: f64) -> Result<Self, PriorError> {
        if a > 0.0 && b > 0.0 && a + b <= Self::MOST { Ok(Self { a, b }) } else { Err(PriorError) }
    }

    /// The first shape: events it is worth.
    #[must_use]
    pub const fn a(self) -> f64 {
        self.a
    }

    /// The second shape: procedures without the event it is worth.
    #[must_use]
    pub const fn b(self) -> f64 {
        self.b
    }

    /// The rate towards which units are drawn, 0 to 1.
    #[must_use]
    pub fn mean(self) -> f64 {
        self.a / (self.a + self.b)
    }

    /// A unit's rate, drawn towards the prior's mean the more the fewer procedures the unit has. Its
    /// limits take the prior as given.
    ///
    /// # Formula
    /// ```text
    /// Beta(k+a, n−k+b): mean (k+a)/(n+a+b), limits with equal tails
    /// ```
    /// # Source
    /// Common practice (the conjugate prior of a proportion).
    #[must_use]
    pub fn shrink(self, unit: Count, level: Level) -> Shrunk {
        let (k, n) = unit.both();
        let (first, second, tail) = (k + self.a, n - k + self.b, level.tail());
        Shrunk {
            mean: first / (first + second),
            interval: Interval::new(
                beta_quantile(first, second, tail),
                beta_quantile(first, second, 1.0 - tail),
            ),
        }
    }
}

/// A unit's rate after shrinkage.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Shrunk {
    mean: f64,
    interval: Interval,
}

impl Shrunk {
    /// The mean of what is believed about the rate, 0 to 1.
    #[must_use]
    pub const fn mean(self) -> f64 {
        self.mean
    }

    /// Its limits.
    #[must_use]
    pub const fn interval(self) -> Interval {
        self.interval
    }
}

#[cfg(test)]
mod tests;
