//! Control charts: whether a rate, followed over time, varies more than chance lets it.
//!
//! - [`p_chart`], [`exact_p_chart`], [`laney`]: events among procedures, by subgroup (a month);
//! - [`u_chart`]: events over an exposure, where one procedure can hold several;
//! - [`g_chart`]: procedures between two events; [`t_chart`]: days between two events;
//! - [`choose`]: which of them suits.
//!
//! All give the same [`Chart`]. Its centre and limits come from a frozen [`Baseline`], so a later
//! point moves neither. A subgroup without procedures is left out by the caller and breaks the
//! line; it is no zero. Points are in time order.

mod between;
mod choose;
mod counts;

pub use between::{GLimits, NELSON_POWER, SHORT_GAP_CAN_SIGNAL_FROM, TLimits, g_chart, t_chart};
pub use choose::{Choice, ENOUGH_FOR_NORMAL_LIMITS, OVERDISPERSED, RARE_BELOW, Why, choose};
pub use counts::{ExactLimits, Exposed, LaneyLimits, exact_p_chart, laney, p_chart, u_chart};

/// The probability that a probability limit leaves at its side: what 3 standard errors leave of a
/// normal distribution.
pub const TAIL: f64 = 0.00135;

/// How many moving ranges of two make one standard deviation: the mean range of two normal values,
/// as textbooks print it (the exact value is 2/√π = 1.128379).
pub const RANGE_OF_TWO: f64 = 1.128;

/// How many standard errors a limit lies from the centre.
pub(super) const SIGMAS: f64 = 3.0;

/// Which subgroups fix the centre and the limits: those at `start` and on, before `end`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Baseline {
    start: usize,
    end: usize,
}

impl Baseline {
    /// How many subgroups a baseline has unless someone says otherwise (common practice).
    pub const STANDARD: usize = 20;

    /// The subgroups of a range of positions.
    #[must_use]
    pub const fn of(positions: std::ops::Range<usize>) -> Self {
        Self { start: positions.start, end: positions.end }
    }

    /// The first so many subgroups.
    #[must_use]
    pub const fn leading(subgroups: usize) -> Self {
        Self { start: 0, end: subgroups }
    }

    /// The first 20 of `subgroups`, or all when there are fewer.
    #[must_use]
    pub const fn standard(subgroups: usize) -> Self {
        Self::leading(if subgroups < Self::STANDARD { subgroups } else { Self::STANDARD })
    }

    /// The positions of its subgroups.
    #[must_use]
    pub const fn positions(self) -> std::ops::Range<usize> {
        self.start..self.end
    }

    /// Its part of a series.
    fn part<T>(self, series: &[T]) -> Result<&[T], ChartError> {
        if series.is_empty() {
            return Err(ChartError::NoPoints);
        }
        if self.start >= self.end {
            return Err(ChartError::EmptyBaseline);
        }
        series
            .get(self.positions())
            .ok_or(ChartError::BaselineOutside { end: self.end, points: series.len() })
    }
}

/// Why there is no chart, with what to do about it.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum ChartError {
    /// Nothing to draw.
    #[error("there is nothing to chart yet")]
    NoPoints,
    /// No subgroup fixes the limits.
    #[error("the baseline holds no points: choose a period that has some")]
    EmptyBaseline,
    /// The baseline names points that are not there.
    #[error("the baseline ends at point {end}, but there are only {points}: choose an earlier end")]
    BaselineOutside {
        /// One past the last position of the baseline.
        end: usize,
        /// How many points there are.
        points: usize,
    },
    /// The centre would be 0, and any event a signal.
    #[error(
        "the baseline holds no event, so it fixes no limits: choose a longer baseline, or chart the \
         procedures between events"
    )]
    NoEventsInBaseline,
    /// The centre would be 1, or every gap 0.
    #[error("every procedure of the baseline has the event, so it fixes no limits: check the denominator")]
    EventInEveryProcedure,
    /// A spread between neighbours needs two.
    #[error("these limits need at least 2 points in the baseline, and there is {0}")]
    TooFewPoints(usize),
    /// Neighbouring points do not differ at all.
    #[error("all points of the baseline are alike, so it shows no variation to set limits by")]
    NoVariation,
    /// An exposure or a time of 0, below 0, or no number.
    #[error("an exposure is above 0")]
    BadExposure,
    /// Two events at the same time.
    #[error(
        "{0} days between two events: a time between events is above 0. Add the clock time, or chart the \
         procedures between events"
    )]
    BadTime(f64),
}

/// What a chart shows and how its limits are found.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ChartKind {
    /// Proportions, limits at 3 standard errors.
    P,
    /// Proportions, exact binomial limits.
    ExactP,
    /// Proportions, limits widened by what varies beyond chance (p′).
    Laney,
    /// Events by exposure, limits at 3 standard errors.
    U,
    /// Procedures between events, exact limits of a geometric distribution.
    G,
    /// Days between events, transformed.
    T,
}

impl ChartKind {
    /// The side on which a signal is bad news: a high rate, but a short gap.
    #[must_use]
    pub const fn worse(self) -> Beyond {
        match self {
            Self::P | Self::ExactP | Self::Laney | Self::U => Beyond::Above,
            Self::G | Self::T => Beyond::Below,
        }
    }

    /// What a value counts.
    #[must_use]
    pub const fn unit(self) -> Unit {
        match self {
            Self::P | Self::ExactP | Self::Laney => Unit::Proportion,
            Self::U => Unit::EventsByExposure,
            Self::G => Unit::ProceduresBetween,
            Self::T => Unit::Days,
        }
    }
}

/// The unit of a chart's values, centre and limits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Unit {
    /// Events by procedures, 0 to 1.
    Proportion,
    /// Events by one unit of exposure.
    EventsByExposure,
    /// Procedures without the event between two with it.
    ProceduresBetween,
    /// Days between two events.
    Days,
}

/// On which side of the limits a point lies.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Beyond {
    /// Above the upper limit.
    Above,
    /// Below the lower limit.
    Below,
}

/// One point with its own limits, in the unit of the chart.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Point {
    /// What was seen.
    pub value: f64,
    /// The lowest ordinary value; `None` when no value is low enough to be a signal.
    pub lower: Option<f64>,
    /// The highest ordinary value; `None` when no value is high enough to be a signal.
    pub upper: Option<f64>,
    /// The side on which the point is a signal. A point on a limit is none.
    pub beyond: Option<Beyond>,
}

impl Point {
    fn judged(value: f64, lower: Option<f64>, upper: Option<f64>) -> Self {
        let beyond = if upper.is_some_and(|limit| value > limit) {
            Some(Beyond::Above)
        } else if lower.is_some_and(|limit| value < limit) {
            Some(Beyond::Below)
        } else {
            None
        };
        Self { value, lower, upper, beyond }
    }

    /// A point with the same distance to both limits; a limit at the end of the range or past it is none.
    fn around(value: f64, centre: f64, reach: f64, most: f64) -> Self {
        let (lower, upper) = (centre - reach, centre + reach);
        Self::judged(value, (lower > 0.0).then_some(lower), (upper < most).then_some(upper))
    }
}

/// A control chart, of whatever kind.
#[derive(Debug, Clone, PartialEq)]
pub struct Chart {
    kind: ChartKind,
    baseline: Baseline,
    centre: f64,
    points: Vec<Point>,
    detail: Detail,
}

/// What only one kind of chart has.
#[derive(Debug, Clone, PartialEq)]
pub enum Detail {
    /// Nothing more (p, u).
    None,
    /// Tails and counts of each point.
    Exact(Vec<ExactLimits>),
    /// How much more than chance varies.
    Laney(LaneyLimits),
    /// Limits of the gap.
    G(GLimits),
    /// Limits of the time.
    T(TLimits),
}

impl Chart {
    /// Which kind.
    #[must_use]
    pub const fn kind(&self) -> ChartKind {
        self.kind
    }

    /// The points that fix centre and limits.
    #[must_use]
    pub const fn baseline(&self) -> Baseline {
        self.baseline
    }

    /// The centre line, in the unit of the chart.
    #[must_use]
    pub const fn centre(&self) -> f64 {
        self.centre
    }

    /// The points, in the order they were given.
    #[must_use]
    pub fn points(&self) -> &[Point] {
        &self.points
    }

    /// What only this kind has.
    #[must_use]
    pub const fn detail(&self) -> &Detail {
        &self.detail
    }

    /// The positions of the points beyond a limit, with the side.
    pub fn signals(&self) -> impl Iterator<Item = (usize, Beyond)> + '_ {
        self.points.iter().enumerate().filter_map(|(at, point)| point.beyond.map(|side| (at, side)))
    }

    /// Whether any point of the baseline itself is a signal: then the baseline was not stable, and
    /// what follows is judged against a mixture.
    #[must_use]
    pub fn baseline_has_signal(&self) -> bool {
        self.signals().any(|(at, _)| self.baseline.positions().contains(&at))
    }
}

/// The mean distance between neighbours, as a standard deviation.
fn sigma_of_moving_ranges(values: &[f64]) -> Result<f64, ChartError> {
    if values.len() < 2 {
        return Err(ChartError::TooFewPoints(values.len()));
    }
    let ranges: f64 = values.windows(2).map(|pair| (pair[1] - pair[0]).abs()).sum();
    let sigma = ranges / (values.len() - 1) as f64 / RANGE_OF_TWO;
    if sigma > 0.0 { Ok(sigma) } else { Err(ChartError::NoVariation) }
}

#[cfg(test)]
mod tests;
