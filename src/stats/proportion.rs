//! One proportion: how often a mechanism struck among the procedures at risk, and how sure that is.

use super::special::{beta_quantile, normal_quantile};

/// Events among the procedures at risk of them; at least one procedure, and no more events than
/// procedures, because a procedure counts once for a mechanism.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Count {
    events: u32,
    procedures: u32,
}

/// Why two numbers are no count.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum CountError {
    /// A rate without a denominator does not exist; it is not zero.
    #[error("no procedures at risk")]
    NoProceduresAtRisk,
    /// A procedure counts once for a mechanism.
    #[error("{events} events among {procedures} procedures: there cannot be more events than procedures")]
    MoreEventsThanProcedures {
        /// Events that were given.
        events: u64,
        /// Procedures that were given.
        procedures: u64,
    },
    /// More procedures than the arithmetic is good for ([`Count::MOST_PROCEDURES`]).
    #[error("{0} procedures are more than can be counted here")]
    TooManyProcedures(u64),
}

impl Count {
    /// The most procedures that a count can hold: ten million, more than any network's history.
    /// Up to a million the exact intervals are checked against references; above, they lose digits.
    pub const MOST_PROCEDURES: u64 = 10_000_000;

    /// So many events among so many procedures.
    ///
    /// # Errors
    /// [`CountError::NoProceduresAtRisk`] when `procedures` is 0;
    /// [`CountError::MoreEventsThanProcedures`]; [`CountError::TooManyProcedures`].
    pub fn new(events: u64, procedures: u64) -> Result<Self, CountError> {
        if procedures == 0 {
            return Err(CountError::NoProceduresAtRisk);
        }
        if events > procedures {
            return Err(CountError::MoreEventsThanProcedures { events, procedures });
        }
        match (u32::try_from(events), u32::try_from(procedures)) {
            (Ok(events), Ok(few)) if procedures <= Self::MOST_PROCEDURES => {
                Ok(Self { events, procedures: few })
            }
            _ => Err(CountError::TooManyProcedures(procedures)),
        }
    }

    /// How many procedures had the event.
    #[must_use]
    pub fn events(self) -> u64 {
        u64::from(self.events)
    }

    /// How many procedures were at risk; at least 1.
    #[must_use]
    pub fn procedures(self) -> u64 {
        u64::from(self.procedures)
    }

    /// Events by procedures, 0 to 1.
    #[must_use]
    pub fn proportion(self) -> f64 {
        f64::from(self.events) / f64::from(self.procedures)
    }

    /// The procedures without the event, among the same procedures.
    #[must_use]
    pub const fn complement(self) -> Self {
        Self { events: self.procedures - self.events, procedures: self.procedures }
    }

    /// What no event at all still allows; `None` when there was an event.
    #[must_use]
    pub fn zero_events(self, level: Level) -> Option<ZeroEvents> {
        (self.events == 0).then_some(ZeroEvents { procedures: self.procedures, level })
    }

    pub(super) fn both(self) -> (f64, f64) {
        (f64::from(self.events), f64::from(self.procedures))
    }

    /// Procedures with the event, and those without.
    pub(super) const fn split(self) -> (u32, u32) {
        (self.events, self.procedures - self.events)
    }

    const fn has_none(self) -> bool {
        self.events == 0
    }

    pub(super) const fn has_all(self) -> bool {
        self.events == self.procedures
    }
}

/// How much confidence an interval carries: at least a half, below 1; 0.95 is 95 %.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct Level(f64);

/// Not a level of confidence.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
#[error("a level of confidence is at least 0.5 and below 1")]
pub struct LevelError;

impl Level {
    /// 90 %.
    pub const NINETY: Self = Self(0.9);
    /// 95 %, the level of every interval that does not name another.
    pub const NINETY_FIVE: Self = Self(0.95);
    /// 99.8 %, the outer limits of a funnel.
    pub const NINETY_NINE_EIGHT: Self = Self(0.998);

    /// A level of confidence.
    ///
    /// # Errors
    /// When `level` is below 0.5, 1 or more, or no number.
    pub fn new(level: f64) -> Result<Self, LevelError> {
        if (0.5..1.0).contains(&level) { Ok(Self(level)) } else { Err(LevelError) }
    }

    /// The level as a share of 1.
    #[must_use]
    pub const fn get(self) -> f64 {
        self.0
    }

    /// The share that an interval leaves out at each end.
    pub(super) fn tail(self) -> f64 {
        (1.0 - self.0) / 2.0
    }

    /// How many standard errors an interval reaches to each side.
    pub(super) fn z(self) -> f64 {
        -normal_quantile(self.tail())
    }
}

/// Two limits, the lower first.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Interval {
    lower: f64,
    upper: f64,
}

impl Interval {
    pub(super) const fn new(lower: f64, upper: f64) -> Self {
        Self { lower, upper }
    }

    /// The lower limit.
    #[must_use]
    pub const fn lower(self) -> f64 {
        self.lower
    }

    /// The upper limit.
    #[must_use]
    pub const fn upper(self) -> f64 {
        self.upper
    }

    /// Whether a value lies within the limits or on them.
    #[must_use]
    pub fn contains(self, value: f64) -> bool {
        (self.lower..=self.upper).contains(&value)
    }

    /// Both limits times a positive factor: 1,000 turns proportions into rates per 1,000.
    #[must_use]
    pub fn times(self, factor: f64) -> Self {
        Self::new(self.lower * factor, self.upper * factor)
    }
}

/// The score interval: the default everywhere.
///
/// Never empty, never outside 0 to 1, near its stated confidence even at few events. Without an
/// event the lower limit is 0; with one in every procedure the upper limit is 1.
///
/// # Formula
/// ```text
/// (k + z²/2)/(n + z²) ± z/(n + z²) · √(k(n−k)/n + z²/4)
/// ```
/// # Source
/// Wilson, J Am Stat Assoc 1927;22:209 (from memory).
#[must_use]
pub fn wilson(count: Count, level: Level) -> Interval {
    let (k, n) = count.both();
    let z = level.z();
    let spread = n + z * z;
    let centre = (k + z * z / 2.0) / spread;
    // k(n−k)/n, not n·p(1−p): the difference n−k is exact, 1−p is not when p is near 1.
    let half = z / spread * (k * (n - k) / n + z * z / 4.0).sqrt();
    Interval::new(
        if count.has_none() { 0.0 } else { centre - half },
        if count.has_all() { 1.0 } else { centre + half },
    )
}

/// The exact interval: at least its stated confidence for every true rate, and therefore wider
/// than the others. Good to 1e-8 relative up to a million procedures.
///
/// # Formula
/// ```text
/// BetaInv(α/2; k, n−k+1) to BetaInv(1−α/2; k+1, n−k); 0 when k = 0, 1 when k = n
/// ```
/// # Source
/// Clopper & Pearson, Biometrika 1934;26:404 (from memory).
#[must_use]
pub fn clopper_pearson(count: Count, level: Level) -> Interval {
    let (k, n) = count.both();
    let tail = level.tail();
    // Where every procedure or none had the event, the quantile has a closed form.
    if count.has_none() {
        return Interval::new(0.0, upper_without_events(n, tail));
    }
    if count.has_all() {
        return Interval::new((tail.ln() / n).exp(), 1.0);
    }
    Interval::new(beta_quantile(k, n - k + 1.0, tail), beta_quantile(k + 1.0, n - k, 1.0 - tail))
}

/// The Jeffreys interval: [`jeffreys_posterior`], but from 0 without an event and to 1 with one in
/// every procedure, so that it covers the rates that explain such counts best.
///
/// # Source
/// Brown, Cai & DasGupta, Stat Sci 2001;16:101 (from memory).
#[must_use]
pub fn jeffreys(count: Count, level: Level) -> Interval {
    let posterior = jeffreys_posterior(count, level);
    Interval::new(
        if count.has_none() { 0.0 } else { posterior.lower },
        if count.has_all() { 1.0 } else { posterior.upper },
    )
}

/// The middle part of the posterior under Jeffreys' prior, with equal tails. Without an event it
/// does not reach 0: see [`jeffreys`]. Good to 1e-8 relative up to a million procedures.
///
/// # Formula
/// ```text
/// BetaInv(α/2; k+½, n−k+½) to BetaInv(1−α/2; k+½, n−k+½)
/// ```
/// # Source
/// Brown, Cai & DasGupta, Stat Sci 2001;16:101 (from memory).
#[must_use]
pub fn jeffreys_posterior(count: Count, level: Level) -> Interval {
    let (k, n) = count.both();
    let quantile = |p| beta_quantile(k + 0.5, n - k + 0.5, p);
    Interval::new(quantile(level.tail()), quantile(1.0 - level.tail()))
}

/// What no event at all still allows. Two bounds are in use and differ by a fifth, so a page says
/// which one it shows.
///
/// # Formula
/// ```text
/// two-sided: 1 − (α/2)^(1/n), the 97.5 % point at 95 %;   one-sided: 1 − α^(1/n), the 95 % bound
/// ```
/// The "rule of three", 3/n, approximates the one-sided bound; it is 1.6 % high at n = 100 and
/// above 1 for n below 3, and is not used.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ZeroEvents {
    procedures: u32,
    level: Level,
}

impl ZeroEvents {
    /// The upper limit of the exact two-sided interval: at level 0.95, the 97.5 % point.
    #[must_use]
    pub fn two_sided_upper(self) -> f64 {
        upper_without_events(f64::from(self.procedures), self.level.tail())
    }

    /// The exact one-sided bound: at level 0.95, the rate is below it with 95 % confidence.
    #[must_use]
    pub fn one_sided_upper(self) -> f64 {
        upper_without_events(f64::from(self.procedures), 1.0 - self.level.0)
    }
}

/// The rate at which `n` procedures without an event have probability `p`.
fn upper_without_events(n: f64, p: f64) -> f64 {
    -(p.ln() / n).exp_m1()
}

#[cfg(test)]
mod tests;
