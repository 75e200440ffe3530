//! One subject over one period: its months, and the rate that they give.

use super::counts::ByMonth;
use super::period::{Period, months_in_words};
use super::words::{counted, per_1000, whole_number};
use crate::case::Month;
use crate::stats::proportion::{Count, CountError, Interval, Level, clopper_pearson, wilson};

/// A month of a tally: the inputs behind the rate.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct MonthCount {
    /// The month.
    pub month: Month,
    /// Cases, each once.
    pub events: u32,
    /// Procedures at risk; `None` where they were not counted.
    pub procedures: Option<u32>,
}

/// Every month of a period, with its events and procedures at risk.
///
/// A month whose procedures at risk were not counted is left out of the rate, and so are its
/// events: it is neither zero nor forgotten, it is named.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Tally {
    /// The period.
    pub period: Period,
    /// Its months, in order.
    pub months: Vec<MonthCount>,
}

/// Why there is no rate.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum NoRate {
    /// In no month of the period.
    #[error("no procedures at risk recorded")]
    NotCounted,
    /// Counted, and none was done.
    #[error("no procedures at risk were done")]
    NoProcedures,
    /// Months that cannot be as recorded: a procedure counts once.
    #[error("more events than procedures at risk in {}", contradictions(.0))]
    MoreEventsThanProcedures(Vec<MonthCount>),
    /// Beyond what the arithmetic is good for.
    #[error("more procedures than can be counted here")]
    TooManyProcedures,
}

/// The first three of such months, each with its numbers, and how many more there are.
fn contradictions(months: &[MonthCount]) -> String {
    const SHOWN: usize = 3;
    let mut each: Vec<String> = months
        .iter()
        .take(SHOWN)
        .map(|month| {
            format!(
                "{} ({}, {})",
                month.month.in_words(),
                counted(month.events.into(), "event"),
                counted(month.procedures.unwrap_or(0).into(), "procedure"),
            )
        })
        .collect();
    if months.len() > SHOWN {
        each.push(format!("and {} more", months.len() - SHOWN));
    }
    each.join(", ")
}

impl Tally {
    /// The months of a period from counts by month and a denominator for each.
    pub(super) fn of(period: Period, events: &ByMonth, procedures: impl Fn(Month) -> Option<u32>) -> Self {
        let months = period
            .months()
            .map(|month| MonthCount {
                month,
                events: events.get(&month).copied().unwrap_or(0),
                procedures: procedures(month),
            })
            .collect();
        Self { period, months }
    }

    /// Events in the months that count.
    #[must_use]
    pub fn events(&self) -> u64 {
        self.months.iter().filter(|m| m.procedures.is_some()).map(|m| u64::from(m.events)).sum()
    }

    /// Procedures at risk.
    #[must_use]
    pub fn procedures(&self) -> u64 {
        self.months.iter().filter_map(|m| m.procedures).map(u64::from).sum()
    }

    /// Months whose procedures at risk were not counted.
    #[must_use]
    pub fn not_counted(&self) -> Vec<Month> {
        self.months.iter().filter(|m| m.procedures.is_none()).map(|m| m.month).collect()
    }

    /// Events in those months, left out of the rate.
    #[must_use]
    pub fn events_not_counted(&self) -> u64 {
        self.events_in_all() - self.events()
    }

    /// Events of the whole period.
    #[must_use]
    pub fn events_in_all(&self) -> u64 {
        self.months.iter().map(|m| u64::from(m.events)).sum()
    }

    /// The rate over the months that count.
    ///
    /// # Errors
    /// Why there is none. A single month with more events than procedures is enough: one of its
    /// two numbers is wrong, and a rate over the others would hide it.
    pub fn rate(&self) -> Result<Rate, NoRate> {
        let impossible: Vec<MonthCount> = self
            .months
            .iter()
            .filter(|m| m.procedures.is_some_and(|procedures| m.events > procedures))
            .copied()
            .collect();
        if !impossible.is_empty() {
            return Err(NoRate::MoreEventsThanProcedures(impossible));
        }
        if self.months.iter().all(|m| m.procedures.is_none()) {
            return Err(NoRate::NotCounted);
        }
        match Count::new(self.events(), self.procedures()) {
            Ok(count) => Ok(Rate(count)),
            Err(CountError::NoProceduresAtRisk) => Err(NoRate::NoProcedures),
            // No month has more events than procedures, so neither has their sum.
            Err(CountError::MoreEventsThanProcedures { .. } | CountError::TooManyProcedures(_)) => {
                Err(NoRate::TooManyProcedures)
            }
        }
    }

    /// The months whose procedures were not counted, in words; `None` when all were.
    pub(super) fn not_counted_in_words(&self) -> Option<String> {
        let months = self.not_counted();
        (!months.is_empty()).then(|| months_in_words(&months))
    }
}

/// Events among the procedures at risk, per 1,000, with intervals at 95 %.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Rate(Count);

impl Rate {
    const LEVEL: Level = Level::NINETY_FIVE;

    /// The count behind it.
    #[must_use]
    pub const fn count(self) -> Count {
        self.0
    }

    /// Events.
    #[must_use]
    pub fn events(self) -> u64 {
        self.0.events()
    }

    /// Procedures at risk.
    #[must_use]
    pub fn procedures(self) -> u64 {
        self.0.procedures()
    }

    /// Events per 1,000 procedures at risk.
    #[must_use]
    pub fn per_1000(self) -> f64 {
        self.0.proportion() * 1_000.0
    }

    /// The Wilson interval at 95 %, per 1,000.
    #[must_use]
    pub fn wilson(self) -> Interval {
        wilson(self.0, Self::LEVEL).times(1_000.0)
    }

    /// The exact interval at 95 %, per 1,000.
    #[must_use]
    pub fn exact(self) -> Interval {
        clopper_pearson(self.0, Self::LEVEL).times(1_000.0)
    }

    /// What no event at all still allows, per 1,000: the upper limit of the exact two-sided
    /// interval, its 97.5 % point. `None` when there was an event.
    #[must_use]
    pub fn upper_without_events(self) -> Option<f64> {
        self.0.zero_events(Self::LEVEL).map(|bounds| bounds.two_sided_upper() * 1_000.0)
    }

    /// `21 of 1,840`.
    #[must_use]
    pub fn counts_in_words(self) -> String {
        format!("{} of {}", whole_number(self.events()), whole_number(self.procedures()))
    }

    /// The rate per 1,000: `11.4`; `0` only without an event.
    #[must_use]
    pub fn per_1000_in_words(self) -> String {
        per_1000(self.per_1000())
    }

    /// The Wilson limits per 1,000: `7.5 to 17.4`; without an event `at most 2.0`, which is
    /// [`Rate::upper_without_events`].
    #[must_use]
    pub fn interval_in_words(self) -> String {
        self.upper_without_events()
            .map_or_else(|| interval_in_words(self.wilson()), |upper| format!("at most {}", per_1000(upper)))
    }

    /// The exact limits per 1,000, in words.
    #[must_use]
    pub fn exact_in_words(self) -> String {
        interval_in_words(self.exact())
    }
}

/// Both limits, already per 1,000.
pub(super) fn interval_in_words(interval: Interval) -> String {
    format!("{} to {}", per_1000(interval.lower()), per_1000(interval.upper()))
}

#[cfg(test)]
#[path = "tally_tests.rs"]
mod tests;
