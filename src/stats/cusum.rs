//! The CUSUM of a complication: the chart that finds a doubled rate soonest when events are few.
//!
//! Each procedure moves a sum S by its log-likelihood score: how much better a changed rate explains
//! it than the acceptable one. S never falls below 0, and a signal is S at its limit. Two watches:
//! [`Watch::Worsening`] and the mirrored [`Watch::Improvement`].
//!
//! The odds ratio is chosen so that all scores are whole multiples of one step ([`Lattice`]). S is
//! therefore an integer: no rounding, the same after any recomputation, and the run length has an
//! exact solution ([`Cusum::run_length`]).
//!
//! There is no risk adjustment: every procedure has the same acceptable probability.

mod follow;
mod run_length;

pub use follow::{AfterSignal, Lot, Signal, Track};
pub use run_length::run_length_of_scores;

/// Which change a CUSUM watches for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Watch {
    /// The odds of an event are higher than acceptable.
    Worsening,
    /// The odds of an event are lower than acceptable.
    Improvement,
}

/// Why there is no such CUSUM.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum CusumError {
    /// Not a rate that a CUSUM can start from.
    #[error("an acceptable rate is above 0 and at most 25 %; below 0.001 % there is too little to follow")]
    AcceptableRate,
    /// No change to watch for.
    #[error("the odds ratio to watch for is between 1.2 and 10, or between 0.1 and 0.8 for an improvement")]
    OddsRatio,
    /// No whole number of steps gives an odds ratio on this side of 1.
    #[error("an event of {0} steps fits no odds ratio at this acceptable rate")]
    Steps(u32),
    /// A limit of 0.
    #[error("the limit of a CUSUM is at least 1 step")]
    Limit,
    /// Not a run length that can be reached.
    #[error("the run length until a false signal is at least 1 procedure and at most a thousand million")]
    RunLength,
    /// Not a probability of an event.
    #[error("the probability of an event is above 0 and below 1")]
    Probability,
}

/// Scores of a procedure, in natural logarithms, of any acceptable rate and odds ratio.
///
/// # Formula
/// ```text
/// no event: −ln(1 − p₀ + R p₀);   event: ln R − ln(1 − p₀ + R p₀)
/// ```
/// # Source
/// Steiner, Cook, Farewell & Treasure, Biostatistics 2000;1:441 (from memory), with one p₀.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scores {
    none: f64,
    event: f64,
}

impl Scores {
    /// The scores for an acceptable probability `acceptable` and an odds ratio.
    ///
    /// # Errors
    /// [`CusumError::AcceptableRate`], [`CusumError::OddsRatio`].
    pub fn new(acceptable: f64, odds_ratio: f64) -> Result<Self, CusumError> {
        check_acceptable(acceptable)?;
        check_odds_ratio(odds_ratio)?;
        let none = -(acceptable * (odds_ratio - 1.0)).ln_1p();
        Ok(Self { none, event: odds_ratio.ln() + none })
    }

    /// What a procedure without the event adds.
    #[must_use]
    pub const fn none(self) -> f64 {
        self.none
    }

    /// What a procedure with the event adds.
    #[must_use]
    pub const fn event(self) -> f64 {
        self.event
    }

    /// S after one more procedure.
    #[must_use]
    pub fn next(self, s: f64, event: bool) -> f64 {
        (s + if event { self.event } else { self.none }).max(0.0)
    }
}

fn check_acceptable(acceptable: f64) -> Result<(), CusumError> {
    if (1e-5..=0.25).contains(&acceptable) { Ok(()) } else { Err(CusumError::AcceptableRate) }
}

fn check_odds_ratio(odds_ratio: f64) -> Result<(), CusumError> {
    let watched = (1.2..=10.0).contains(&odds_ratio) || (0.1..=0.8).contains(&odds_ratio);
    if watched { Ok(()) } else { Err(CusumError::OddsRatio) }
}

/// Scores in whole steps. For a worsening an event adds `m − 1` steps and a procedure without it
/// takes 1; for an improvement the other way round.
///
/// # Formula
/// ```text
/// ln R = m ln(1 − p₀ + R p₀): the event's score is m−1 times that of no event, with the other sign
/// ```
/// The root R lies above 1 for m below 1/p₀, and below 1 for m above it.
///
/// # Source
/// Reynolds & Stoumbos, J Qual Technol 1999;31:87 (from memory).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lattice {
    acceptable: f64,
    odds_ratio: f64,
    m: u32,
}

impl Lattice {
    /// The lattice whose odds ratio is nearest to a wanted one (as a ratio). It is not quite the
    /// wanted one; a page shows [`Lattice::odds_ratio`].
    ///
    /// # Errors
    /// [`CusumError::AcceptableRate`], [`CusumError::OddsRatio`]; [`CusumError::Steps`] when no
    /// whole number of steps serves, at high acceptable rates.
    pub fn near(acceptable: f64, odds_ratio: f64) -> Result<Self, CusumError> {
        check_acceptable(acceptable)?;
        check_odds_ratio(odds_ratio)?;
        // At most about 2.6e5 steps, at an acceptable rate of 1e-5.
        let below = steps(acceptable, odds_ratio).floor() as u32;
        let distance = |lattice: &Self| (lattice.odds_ratio / odds_ratio).ln().abs();
        let same_side = |lattice: &Self| (lattice.odds_ratio > 1.0) == (odds_ratio > 1.0);
        let candidates = [below, below + 1].into_iter().filter_map(|m| Self::with_steps(acceptable, m).ok());
        candidates
            .filter(same_side)
            .min_by(|one, other| distance(one).total_cmp(&distance(other)))
            .ok_or(CusumError::Steps(below))
    }

    /// The lattice on which an event weighs `m − 1` steps.
    ///
    /// # Errors
    /// [`CusumError::AcceptableRate`]; [`CusumError::Steps`] when no odds ratio from 0.001 to 1,000
    /// but 1 fits.
    pub fn with_steps(acceptable: f64, m: u32) -> Result<Self, CusumError> {
        check_acceptable(acceptable)?;
        let wanted = f64::from(m);
        // `steps` falls all the way as R grows, through 1/p₀ at R = 1.
        let (low, high) = if wanted * acceptable < 1.0 { (1.001_f64, 1e3) } else { (1e-3, 0.999) };
        if m < 2 || steps(acceptable, low) < wanted || steps(acceptable, high) > wanted {
            return Err(CusumError::Steps(m));
        }
        let (mut low, mut high) = (low.ln(), high.ln());
        for _ in 0..200 {
            let middle = f64::midpoint(low, high);
            if middle <= low || middle >= high {
                break;
            }
            if steps(acceptable, middle.exp()) > wanted { low = middle } else { high = middle }
        }
        Ok(Self { acceptable, odds_ratio: high.exp(), m })
    }

    /// Which change its odds ratio stands for.
    #[must_use]
    pub fn watch(self) -> Watch {
        if self.odds_ratio > 1.0 { Watch::Worsening } else { Watch::Improvement }
    }

    /// The acceptable probability of an event.
    #[must_use]
    pub const fn acceptable(self) -> f64 {
        self.acceptable
    }

    /// The odds ratio that it watches for.
    #[must_use]
    pub const fn odds_ratio(self) -> f64 {
        self.odds_ratio
    }

    /// The probability of an event at that odds ratio.
    #[must_use]
    pub fn changed(self) -> f64 {
        let odds = self.odds_ratio * self.acceptable;
        odds / (1.0 - self.acceptable + odds)
    }

    /// The whole number m: an event weighs `m − 1` times as much as a procedure without it.
    #[must_use]
    pub const fn m(self) -> u32 {
        self.m
    }

    /// How many natural logarithms one step is.
    #[must_use]
    pub fn step(self) -> f64 {
        (self.acceptable * (self.odds_ratio - 1.0)).ln_1p().abs()
    }
}

/// The m at which an odds ratio R fits exactly, as a real number.
fn steps(acceptable: f64, odds_ratio: f64) -> f64 {
    odds_ratio.ln() / (acceptable * (odds_ratio - 1.0)).ln_1p()
}

/// A CUSUM: scores and the limit at which S is a signal.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cusum {
    lattice: Lattice,
    limit: u32,
}

impl Cusum {
    /// The longest run length until a false signal that can be asked for, in procedures.
    pub const LONGEST_RUN: f64 = 1e9;

    /// A signal at S ≥ `limit` steps.
    ///
    /// # Errors
    /// [`CusumError::Limit`] when it is 0.
    pub const fn with_limit(lattice: Lattice, limit: u32) -> Result<Self, CusumError> {
        if limit == 0 { Err(CusumError::Limit) } else { Ok(Self { lattice, limit }) }
    }

    /// The lowest limit at which a false signal comes, on average, after `procedures` or more at the
    /// acceptable rate.
    ///
    /// # Errors
    /// [`CusumError::RunLength`] when `procedures` is below 1, above [`Cusum::LONGEST_RUN`] or no
    /// number.
    pub fn with_run_length(lattice: Lattice, procedures: f64) -> Result<Self, CusumError> {
        if !(1.0..=Self::LONGEST_RUN).contains(&procedures) {
            return Err(CusumError::RunLength);
        }
        let limit = run_length::lowest_limit(lattice, procedures);
        Ok(Self { lattice, limit })
    }

    /// Its scores.
    #[must_use]
    pub const fn lattice(self) -> Lattice {
        self.lattice
    }

    /// The limit H, in steps.
    #[must_use]
    pub const fn limit(self) -> u32 {
        self.limit
    }

    /// The limit in natural logarithms, as publications state it.
    #[must_use]
    pub fn limit_in_logarithms(self) -> f64 {
        f64::from(self.limit) * self.lattice.step()
    }

    /// How many procedures, on average, from S = 0 to a signal when each has the event with
    /// probability `p`, one after the other. Exact but for the rounding of its additions.
    ///
    /// # Errors
    /// [`CusumError::Probability`] when `p` is not above 0 and below 1.
    pub fn run_length(self, p: f64) -> Result<f64, CusumError> {
        if p > 0.0 && p < 1.0 {
            Ok(run_length::exact(self.lattice, self.limit, p))
        } else {
            Err(CusumError::Probability)
        }
    }

    /// The run length at the acceptable rate: procedures until a false signal, on average.
    #[must_use]
    pub fn run_length_in_control(self) -> f64 {
        run_length::exact(self.lattice, self.limit, self.lattice.acceptable)
    }

    /// The run length at the odds ratio watched for: procedures until the change is seen.
    #[must_use]
    pub fn run_length_at_odds_ratio(self) -> f64 {
        run_length::exact(self.lattice, self.limit, self.lattice.changed())
    }
}

#[cfg(test)]
mod tests;
