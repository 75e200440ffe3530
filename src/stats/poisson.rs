//! Events that can strike a procedure more than once: rates per procedures, and their ratio.

use super::discrete::{Discrete, FOR_LIMITS, FOR_TAILS, positive_root};
use super::proportion::{Count, Interval, Level};
use super::ratio::RatioInterval;
use super::special::beta_odds_quantile;

/// Events over the procedures in which they could happen. Unlike a [`Count`], one procedure can
/// hold several events, so that there may be more events than procedures.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Exposure {
    events: u32,
    procedures: u32,
}

/// Why two numbers are no exposure.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum ExposureError {
    /// A rate without a denominator does not exist; it is not zero.
    #[error("no procedures at risk")]
    NoProceduresAtRisk,
    /// More than the arithmetic is good for ([`Count::MOST_PROCEDURES`], for events too).
    #[error("{0} is more than can be counted here")]
    TooMany(u64),
}

impl Exposure {
    /// So many events over so many procedures.
    ///
    /// # Errors
    /// [`ExposureError::NoProceduresAtRisk`] when `procedures` is 0; [`ExposureError::TooMany`].
    pub fn new(events: u64, procedures: u64) -> Result<Self, ExposureError> {
        if procedures == 0 {
            return Err(ExposureError::NoProceduresAtRisk);
        }
        let counted = |number: u64| match u32::try_from(number) {
            Ok(counted) if number <= Count::MOST_PROCEDURES => Ok(counted),
            _ => Err(ExposureError::TooMany(number)),
        };
        Ok(Self { events: counted(events)?, procedures: counted(procedures)? })
    }

    /// How many events there were.
    #[must_use]
    pub fn events(self) -> u64 {
        u64::from(self.events)
    }

    /// Over how many procedures; at least 1.
    #[must_use]
    pub fn procedures(self) -> u64 {
        u64::from(self.procedures)
    }

    /// Events per procedure: 0 or more, and above 1 where procedures hold several.
    #[must_use]
    pub fn per_procedure(self) -> f64 {
        f64::from(self.events) / f64::from(self.procedures)
    }
}

/// The exact interval of events per procedure: at least its stated confidence for every true rate.
/// [`Interval::times`] with 1,000 gives it per 1,000 procedures.
///
/// Found from the Poisson probabilities themselves; good to 1e-12 relative.
///
/// # Formula
/// ```text
/// χ²Inv(α/2; 2k)/2t to χ²Inv(1−α/2; 2k+2)/2t; the lower limit is 0 when k = 0
/// ```
/// which is the same as: the means at which k or more, and k or fewer, have probability α/2.
/// # Source
/// Garwood, Biometrika 1936;28:437 (from memory).
#[must_use]
pub fn garwood(exposure: Exposure, level: Level) -> Interval {
    let (k, tail) = (exposure.events, level.tail());
    let procedures = f64::from(exposure.procedures);
    if k == 0 {
        return Interval::new(0.0, -tail.ln() / procedures);
    }
    let near = f64::from(k);
    let lower = positive_root(near, |mean| Discrete::poisson(mean, FOR_LIMITS).at_least(k) < tail);
    let upper = positive_root(near, |mean| Discrete::poisson(mean, FOR_LIMITS).at_most(k) > tail);
    Interval::new(lower / procedures, upper / procedures)
}

/// The first rate by the second.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RateRatio {
    estimate: Option<f64>,
    interval: RatioInterval,
    p_exact: f64,
    p_mid: f64,
}

impl RateRatio {
    /// First by second; `None` when the second had no event.
    #[must_use]
    pub const fn estimate(self) -> Option<f64> {
        self.estimate
    }

    /// The exact limits: from 0 when the first had no event, without an upper limit when the second
    /// had none.
    #[must_use]
    pub const fn interval(self) -> RatioInterval {
        self.interval
    }

    /// The exact two-sided p-value of "the same rate": twice the smaller tail, at most 1. It agrees
    /// with [`Self::interval`]; adding up all outcomes as likely or less, another usage, does not.
    #[must_use]
    pub const fn p_exact(self) -> f64 {
        self.p_exact
    }

    /// The mid-P value: twice the smaller tail with half the probability of what was observed.
    /// Less cautious than [`Self::p_exact`], and nearer to its stated error on average.
    #[must_use]
    pub const fn p_mid(self) -> f64 {
        self.p_mid
    }
}

/// No event on either side: nothing to compare.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("no events on either side, so there is no ratio")]
pub struct NoEvents;

/// The ratio of two rates, exact given the number of events on both sides together. The limits are
/// good to 1e-9 relative up to a hundred thousand events, to 1e-8 up to a million.
///
/// # Formula
/// ```text
/// k₁ of k₁+k₂ is binomial with p = t₁ρ/(t₁ρ+t₂): exact limits of p (Clopper–Pearson) as
/// ρ = p/(1−p) · t₂/t₁; p-values at ρ = 1
/// ```
/// # Source
/// Common practice; Clopper & Pearson, Biometrika 1934;26:404 (from memory) for the limits of p.
/// # Errors
/// [`NoEvents`] when neither side had an event.
pub fn rate_ratio(first: Exposure, second: Exposure, level: Level) -> Result<RateRatio, NoEvents> {
    let (k1, k2) = (first.events, second.events);
    if k1 == 0 && k2 == 0 {
        return Err(NoEvents);
    }
    let (events1, events2, tail) = (f64::from(k1), f64::from(k2), level.tail());
    let procedures = f64::from(first.procedures) / f64::from(second.procedures);
    let lower = if k1 == 0 { 0.0 } else { beta_odds_quantile(events1, events2 + 1.0, tail) / procedures };
    let upper = (k2 > 0).then(|| beta_odds_quantile(events1 + 1.0, events2, 1.0 - tail) / procedures);
    let split = Discrete::binomial(k1 + k2, procedures, FOR_TAILS);
    Ok(RateRatio {
        estimate: (k2 > 0).then(|| events1 / events2 / procedures),
        interval: RatioInterval::new(lower, upper),
        p_exact: split.doubled_tail(k1, 1.0),
        p_mid: split.doubled_tail(k1, 0.5),
    })
}

#[cfg(test)]
mod tests;
