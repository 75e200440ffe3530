//! The prior that explains a set of units best.

use super::Prior;
use crate::stats::proportion::{Count, CountError};
use crate::stats::special::{digamma_rise, ln_gamma_rise};

/// Below so many units, limits from a fitted prior are too narrow, because they take the fit as
/// certain; a page says so.
pub const FEW_UNITS: usize = 20;

/// How units differ.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Fit {
    /// They differ more than chance explains: shrink each with this prior.
    Differ(Prior),
    /// No difference between units beyond chance: everyone at the pooled rate.
    NoDifferenceBeyondChance {
        /// All units together.
        pooled: Count,
    },
}

/// Why nothing can be fitted.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum FitError {
    /// How units differ cannot be seen in one.
    #[error("fewer than two units, so it cannot be seen how they differ")]
    FewerThanTwoUnits,
    /// All units together are more than can be counted.
    #[error(transparent)]
    TooMany(#[from] CountError),
}

/// The prior of greatest marginal likelihood over units.
///
/// Where units differ no more than chance, the likelihood keeps rising as the prior narrows and has
/// no greatest value: when it still rises at a weight a+b of a million, or the pooled rate alone
/// explains the units as well, the answer is [`Fit::NoDifferenceBeyondChance`]. A weight is not
/// sought below 0.01, where units keep their own rates. Whether the difference is a signal is
/// another question: a fit differs as soon as the units differ a little more than expected.
///
/// # Formula
/// ```text
/// maximum over a, b of Σ ln B(kᵢ+a, nᵢ−kᵢ+b) − ln B(a, b)
/// ```
/// As mean m = a/(a+b) and weight w = a+b: for each w the likelihood has one peak in m, found where
/// its slope is 0; of the peaks along w, found likewise between the points of a grid, the highest
/// counts. The surface is flat: expect the mean to 1e-6, the shapes to 1e-5. The time
/// grows with the number of units.
/// # Source
/// Common practice (empirical Bayes with a beta-binomial).
/// # Errors
/// [`FitError::FewerThanTwoUnits`]; [`FitError::TooMany`] when all procedures together are more than
/// [`Count::MOST_PROCEDURES`].
pub fn fit(units: &[Count]) -> Result<Fit, FitError> {
    if units.len() < 2 {
        return Err(FitError::FewerThanTwoUnits);
    }
    let sum = |part: fn(Count) -> u64| units.iter().map(|unit| part(*unit)).sum::<u64>();
    let pooled = Count::new(sum(Count::events), sum(Count::procedures))?;
    let nobody_differs = Fit::NoDifferenceBeyondChance { pooled };
    let (events, procedures) = pooled.both();
    if events <= 0.0 || events >= procedures {
        return Ok(nobody_differs);
    }
    let units = Units(units.iter().map(|unit| unit.split()).collect());
    let chance = events * (events / procedures).ln() + (procedures - events) * (-events / procedures).ln_1p();
    let best = units
        .peaks()
        .into_iter()
        .max_by(|one, other| units.log_likelihood(*one).total_cmp(&units.log_likelihood(*other)));
    Ok(match best {
        Some(prior) if units.log_likelihood(prior) > chance => Fit::Differ(prior),
        _ => nobody_differs,
    })
}

/// Procedures with the event and without, unit by unit; some of each over all units.
struct Units(Vec<(u32, u32)>);

/// Weights between which peaks are sought: 0.01 to [`Prior::MOST`], four to a power of ten.
const WEIGHTS: u32 = 32;

impl Units {
    /// The priors at which the likelihood is higher than on both sides.
    fn peaks(&self) -> Vec<Prior> {
        let weight = |step: u32| 10_f64.powf(f64::from(step) / 4.0 - 2.0);
        let mut peaks = Vec::new();
        let mut rising = self.rises_at(weight(0));
        if !rising {
            peaks.push(self.best_at(weight(0)));
        }
        for step in 1..=WEIGHTS {
            let still = self.rises_at(weight(step));
            if rising && !still {
                let root = halve(weight(step - 1).ln(), weight(step).ln(), |w| self.rises_at(w.exp()));
                peaks.push(self.best_at(root.exp()));
            }
            rising = still;
        }
        peaks
    }

    /// The best prior of this weight.
    fn best_at(&self, weight: f64) -> Prior {
        let slope_is_positive = |mean: f64| {
            let (a, b) = (weight * mean, weight * (1.0 - mean));
            let slope = |(with, without): &(u32, u32)| digamma_rise(a, *with) - digamma_rise(b, *without);
            self.0.iter().map(slope).sum::<f64>() > 0.0
        };
        let mean = halve(0.0, 1.0, slope_is_positive);
        Prior { a: weight * mean, b: weight * (1.0 - mean) }
    }

    /// Whether more weight makes the units more likely, each weight with its best mean.
    fn rises_at(&self, weight: f64) -> bool {
        let prior = self.best_at(weight);
        let mean = prior.mean();
        let slope = |(with, without): &(u32, u32)| {
            mean * digamma_rise(prior.a, *with) + (1.0 - mean) * digamma_rise(prior.b, *without)
                - digamma_rise(weight, with + without)
        };
        self.0.iter().map(slope).sum::<f64>() > 0.0
    }

    fn log_likelihood(&self, prior: Prior) -> f64 {
        let part = |(with, without): &(u32, u32)| {
            ln_gamma_rise(prior.a, *with) + ln_gamma_rise(prior.b, *without)
                - ln_gamma_rise(prior.a + prior.b, with + without)
        };
        self.0.iter().map(part).sum()
    }
}

/// The point between two numbers where `is_below` turns from true to false, to 1e-13 of the larger.
fn halve(mut low: f64, mut high: f64, is_below: impl Fn(f64) -> bool) -> f64 {
    for _ in 0..44 {
        let middle = f64::midpoint(low, high);
        if is_below(middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
    f64::midpoint(low, high)
}
