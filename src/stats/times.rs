//! Times of cases (minutes without flow, days to discharge): median and quartiles, how sure the
//! median is, and the median when some times are known only as "at least".

use super::discrete::{Discrete, FOR_LIMITS};
use super::proportion::{Interval, Level};

/// Why times give no number.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum TimesError {
    /// Nothing to describe.
    #[error("there are no times")]
    NoTimes,
    /// A value that is no number.
    #[error("a time is not a number")]
    NotANumber,
    /// A time below 0 where it waits for something.
    #[error("a time is 0 or more")]
    Negative,
    /// A share outside 0 to 1.
    #[error("a quantile is between 0 and 1")]
    Share,
}

fn sorted(values: &[f64]) -> Result<Vec<f64>, TimesError> {
    if values.is_empty() {
        return Err(TimesError::NoTimes);
    }
    if values.iter().any(|value| !value.is_finite()) {
        return Err(TimesError::NotANumber);
    }
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    Ok(sorted)
}

/// The value that a `share` of the values lie below, type 7 (the default of most statistics
/// software): between two values, in proportion. The unit is that of the values.
///
/// # Formula
/// ```text
/// h = (n−1) q; x₍⌊h⌋₎ + (h − ⌊h⌋)(x₍⌊h⌋+1₎ − x₍⌊h⌋₎), ranks from 0
/// ```
/// # Source
/// Hyndman & Fan, Am Stat 1996;50:361, definition 7 (from memory).
///
/// # Errors
/// [`TimesError`]: no value, one that is no finite number, or a share outside 0 to 1.
pub fn quantile(values: &[f64], share: f64) -> Result<f64, TimesError> {
    if !(0.0..=1.0).contains(&share) {
        return Err(TimesError::Share);
    }
    Ok(quantile_of_sorted(&sorted(values)?, share))
}

fn quantile_of_sorted(sorted: &[f64], share: f64) -> f64 {
    let place = (sorted.len() - 1) as f64 * share;
    // At most the last rank, because the share is at most 1.
    let rank = place.floor() as usize;
    let above = sorted.get(rank + 1).copied().unwrap_or(sorted[rank]);
    sorted[rank] + (place - place.floor()) * (above - sorted[rank])
}

/// The middle value, or the mean of the two in the middle.
///
/// # Errors
/// [`TimesError`]: no value, or one that is no finite number.
pub fn median(values: &[f64]) -> Result<f64, TimesError> {
    quantile(values, 0.5)
}

/// Median and quartiles, type 7, in the unit of the values.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Quartiles {
    /// A quarter lie below.
    pub first: f64,
    /// Half lie below.
    pub median: f64,
    /// Three quarters lie below.
    pub third: f64,
}

/// Median and quartiles.
///
/// # Errors
/// [`TimesError`]: no value, or one that is no finite number.
pub fn quartiles(values: &[f64]) -> Result<Quartiles, TimesError> {
    let sorted = sorted(values)?;
    let at = |share| quantile_of_sorted(&sorted, share);
    Ok(Quartiles { first: at(0.25), median: at(0.5), third: at(0.75) })
}

/// Two ranks, from 1, between which the median lies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MedianRanks {
    /// The rank of the lower limit.
    pub lower: u64,
    /// The rank of the upper limit.
    pub upper: u64,
    /// How often such limits hold the median: at least the level that was asked for.
    pub coverage: f64,
}

/// The narrowest pair of ranks, as far from both ends, that holds the median with at least the
/// stated confidence whatever the distribution; `None` when even the extremes do not (n below 6 at
/// 95 %), and for more than can be counted here (32 bits).
///
/// # Formula
/// ```text
/// largest j with 1 − 2 P(X ≤ j−1) ≥ level, X binomial with n and ½; ranks j and n+1−j
/// ```
/// # Source
/// Order statistics; any textbook of non-parametric statistics (common practice).
#[must_use]
pub fn median_ranks(number: u64, level: Level) -> Option<MedianRanks> {
    let n = u32::try_from(number).ok()?;
    let chance = Discrete::binomial(n, 1.0, FOR_LIMITS);
    // As many lie below the lower rank as above the number that has at most the tail above it.
    let enough = n - chance.quantile_from_above(level.tail()).0;
    Some(MedianRanks {
        lower: u64::from(enough),
        upper: number + 1 - u64::from(enough),
        coverage: 1.0 - 2.0 * chance.at_most(enough.checked_sub(1)?),
    })
}

/// The limits of the median at the ranks of [`median_ranks`]; `None` when there are too few times.
///
/// # Errors
/// [`TimesError`]: no value, or one that is no finite number.
pub fn median_interval(values: &[f64], level: Level) -> Result<Option<Interval>, TimesError> {
    let sorted = sorted(values)?;
    let at = |rank: u64| usize::try_from(rank).ok().and_then(|rank| sorted.get(rank - 1)).copied();
    Ok(median_ranks(sorted.len() as u64, level)
        .and_then(|ranks| Some(Interval::new(at(ranks.lower)?, at(ranks.upper)?))))
}

/// A time that something took, or that it was waited for in vain.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Waited {
    /// It came after this time.
    Until(f64),
    /// It had not come when the waiting ended (flow never restored; the record breaks off).
    AtLeast(f64),
}

impl Waited {
    const fn time(self) -> f64 {
        match self {
            Self::Until(time) | Self::AtLeast(time) => time,
        }
    }
}

/// The median of times of which some are only "at least": the first time by which the product-limit
/// estimate of those still waiting is a half or less. [`Waited::AtLeast`] the longest time when it
/// never is.
///
/// It takes the waits that broke off to be no different from the others at that moment. A wait that
/// ended because nothing more could be done is not like that; such a page says "never" for it and
/// shows how many.
///
/// # Formula
/// ```text
/// S(t) = Π over times tᵢ ≤ t of (1 − dᵢ/rᵢ): dᵢ came at tᵢ, rᵢ were still waiting just before
/// ```
/// # Source
/// Kaplan & Meier, J Am Stat Assoc 1958;53:457 (from memory).
///
/// # Errors
/// [`TimesError`]: no time, or one below 0 or no finite number.
pub fn median_of_waits(waits: &[Waited]) -> Result<Waited, TimesError> {
    let times: Vec<f64> = waits.iter().map(|wait| wait.time()).collect();
    let sorted = sorted(&times)?;
    if sorted[0] < 0.0 {
        return Err(TimesError::Negative);
    }
    let mut came: Vec<f64> = waits
        .iter()
        .filter_map(|wait| match wait {
            Waited::Until(time) => Some(*time),
            Waited::AtLeast(_) => None,
        })
        .collect();
    came.sort_by(f64::total_cmp);
    let mut waiting = 1.0;
    for at_once in came.chunk_by(|one, other| one == other) {
        // Who stops waiting at the same moment was still waiting just before it.
        let at_risk = sorted.len() - sorted.partition_point(|time| *time < at_once[0]);
        waiting *= 1.0 - at_once.len() as f64 / at_risk as f64;
        // A half that rounding made a little more is a half.
        if waiting <= 0.5 + 1e-12 {
            return Ok(Waited::Until(at_once[0]));
        }
    }
    Ok(Waited::AtLeast(sorted[sorted.len() - 1]))
}

#[cfg(test)]
mod tests;
