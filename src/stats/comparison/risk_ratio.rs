//! The ratio of two proportions.

use super::{Count, Difference, Interval, Level, newcombe};

/// The first proportion by the second, above 0.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RiskRatio {
    estimate: f64,
    interval: Interval,
}

impl RiskRatio {
    /// First by second.
    #[must_use]
    pub const fn estimate(self) -> f64 {
        self.estimate
    }

    /// The limits of the ratio.
    #[must_use]
    pub const fn interval(self) -> Interval {
        self.interval
    }

    /// Whether the limits leave out "no difference", a ratio of 1.
    #[must_use]
    pub fn excludes_one(self) -> bool {
        !self.interval.contains(1.0)
    }
}

/// Why two proportions have no ratio; each carries the difference, which is always defined.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum NoRiskRatio {
    /// A ratio with 0 has no limits on a logarithmic scale.
    #[error("a ratio needs an event on each side; look at the difference instead")]
    NoEvents(Difference),
    /// The approximate limits would have no width, as if the ratio were certain.
    #[error("every procedure on both sides had the event; look at the difference instead")]
    AllEvents(Difference),
}

impl NoRiskRatio {
    /// What to show instead: first minus second.
    #[must_use]
    pub const fn difference(self) -> Difference {
        match self {
            Self::NoEvents(difference) | Self::AllEvents(difference) => difference,
        }
    }
}

/// The ratio of independent proportions with limits from its logarithm. An approximation that
/// wants a few events on each side.
///
/// # Formula
/// ```text
/// (k₁/n₁)/(k₂/n₂) · exp(± z·√(1/k₁ − 1/n₁ + 1/k₂ − 1/n₂))
/// ```
/// # Source
/// Katz, Baptista, Azen & Pike, Biometrics 1978;34:469 (from memory).
/// # Errors
/// [`NoRiskRatio::NoEvents`] when a side has none; [`NoRiskRatio::AllEvents`] when every procedure
/// on both sides had the event.
pub fn risk_ratio(first: Count, second: Count, level: Level) -> Result<RiskRatio, NoRiskRatio> {
    if first.events() == 0 || second.events() == 0 {
        return Err(NoRiskRatio::NoEvents(newcombe(first, second, level)));
    }
    if first.has_all() && second.has_all() {
        return Err(NoRiskRatio::AllEvents(newcombe(first, second, level)));
    }
    // 1/k − 1/n as (n−k)/(kn): the difference n−k is exact.
    let part = |count: Count| {
        let (k, n) = count.both();
        (n - k) / (k * n)
    };
    let variance = part(first) + part(second);
    let estimate = first.proportion() / second.proportion();
    let factor = (level.z() * variance.sqrt()).exp();
    Ok(RiskRatio { estimate, interval: Interval::new(estimate / factor, estimate * factor) })
}
