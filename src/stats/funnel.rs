//! A funnel: how far units of different size stray from a target by chance.
//!
//! For comparison with a target, never for ranking. Look at [`overdispersion`] first: where units
//! differ for reasons of their own, the limits are too narrow and mark too many.

use super::discrete::{Discrete, FOR_LIMITS};
use super::proportion::{Count, Level};
use super::special::chi_square_above;

/// The proportion that units are held against: above 0, below 1.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Target(f64);

/// Why a funnel has no limits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum FunnelError {
    /// At 0 and at 1 nothing could stray.
    #[error("a target is a proportion above 0 and below 1")]
    NoTarget,
    /// No limits where there is no rate.
    #[error("no procedures at risk")]
    NoProceduresAtRisk,
    /// More than [`Count::MOST_PROCEDURES`].
    #[error("{0} procedures are more than can be counted here")]
    TooManyProcedures(u64),
}

impl Target {
    /// A target.
    ///
    /// # Errors
    /// [`FunnelError::NoTarget`] unless above 0 and below 1.
    pub fn new(proportion: f64) -> Result<Self, FunnelError> {
        if proportion > 0.0 && proportion < 1.0 { Ok(Self(proportion)) } else { Err(FunnelError::NoTarget) }
    }

    /// The target as a share of 1.
    #[must_use]
    pub const fn get(self) -> f64 {
        self.0
    }
}

/// One limit of a funnel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FunnelLimit {
    quantile: u32,
    interpolated: f64,
}

impl FunnelLimit {
    /// The events at the limit: the fewest that so much probability lies at or below.
    #[must_use]
    pub fn quantile(self) -> u64 {
        u64::from(self.quantile)
    }

    /// The limit between two whole numbers of events, as a proportion: below 0 where even no event
    /// at all is no signal.
    #[must_use]
    pub const fn interpolated(self) -> f64 {
        self.interpolated
    }

    /// The limit to draw: [`Self::interpolated`], but within 0 to 1.
    #[must_use]
    pub const fn clipped(self) -> f64 {
        self.interpolated.clamp(0.0, 1.0)
    }
}

/// The limits of a funnel for one number of procedures.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FunnelLimits {
    lower: FunnelLimit,
    upper: FunnelLimit,
}

impl FunnelLimits {
    /// Below it a unit has fewer events than chance explains.
    #[must_use]
    pub const fn lower(self) -> FunnelLimit {
        self.lower
    }

    /// Above it a unit has more events than chance explains.
    #[must_use]
    pub const fn upper(self) -> FunnelLimit {
        self.upper
    }
}

/// The exact limits for so many procedures, around a target. Takes a few dozen standard deviations
/// of steps, about √(procedures): not worth keeping for later.
///
/// # Formula
/// ```text
/// R binomial(n, target), q = α/2 or 1−α/2:  r the smallest with P(R ≤ r) ≥ q;
/// share = (P(R ≤ r) − q)/P(R = r);   limit = (r − share)/n
/// ```
/// # Source
/// Spiegelhalter, Stat Med 2005;24:1185 (from memory).
/// # Errors
/// [`FunnelError::NoProceduresAtRisk`]; [`FunnelError::TooManyProcedures`].
pub fn limits(procedures: u64, target: Target, level: Level) -> Result<FunnelLimits, FunnelError> {
    if procedures == 0 {
        return Err(FunnelError::NoProceduresAtRisk);
    }
    let n = match u32::try_from(procedures) {
        Ok(n) if procedures <= Count::MOST_PROCEDURES => n,
        _ => return Err(FunnelError::TooManyProcedures(procedures)),
    };
    let events = Discrete::binomial(n, target.0 / (1.0 - target.0), FOR_LIMITS);
    let (share, tail) = (f64::from(n), level.tail());
    let limit = |(quantile, left_over): (u32, f64)| FunnelLimit {
        quantile,
        interpolated: (f64::from(quantile) - left_over) / share,
    };
    Ok(FunnelLimits {
        lower: limit(events.quantile_from_below(tail)),
        upper: limit(events.quantile_from_above(tail)),
    })
}

/// How much units stray from a target, compared with chance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Overdispersion {
    mean_z_squared: f64,
    units: u32,
}

impl Overdispersion {
    /// About 1 when only chance is at work; well above, when units differ for other reasons.
    #[must_use]
    pub const fn mean_z_squared(self) -> f64 {
        self.mean_z_squared
    }

    /// How many units it is a mean of; at least 1.
    #[must_use]
    pub const fn units(self) -> u32 {
        self.units
    }

    /// The probability of straying so much or more by chance alone, from the χ² distribution. Rough
    /// where a unit expects fewer than about five events.
    #[must_use]
    pub fn p_value(self) -> f64 {
        chi_square_above(self.mean_z_squared * f64::from(self.units), self.units)
    }
}

/// The mean of z² over units; `None` without units.
///
/// # Formula
/// ```text
/// z = (k − n·target)/√(n·target·(1 − target))
/// ```
/// # Source
/// Spiegelhalter, Stat Med 2005;24:1185 (from memory).
#[must_use]
pub fn overdispersion(units: &[Count], target: Target) -> Option<Overdispersion> {
    let number = u32::try_from(units.len()).ok().filter(|number| *number > 0)?;
    let sum: f64 = units.iter().map(|unit| z_squared(*unit, target)).sum();
    Some(Overdispersion { mean_z_squared: sum / f64::from(number), units: number })
}

fn z_squared(unit: Count, Target(target): Target) -> f64 {
    let (k, n) = unit.both();
    (k - n * target).powi(2) / (n * target * (1.0 - target))
}

#[cfg(test)]
mod tests;
