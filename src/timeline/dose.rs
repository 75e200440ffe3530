//! A dose so far: contrast or radiation, read off now and then as all that was given up to there.
//!
//! Readings are cumulative, in whatever unit; between two of them the dose lies between their
//! amounts. They stand in the order of their events ([`Moment::place`]).

use super::interval::Moment;

/// Why an amount is no reading.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("A dose so far is 0 or more.")]
pub struct DoseError;

/// All that was given up to an event, as read off there.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct DoseReading {
    moment: Moment,
    amount: i64,
}

impl DoseReading {
    /// A reading at an event.
    ///
    /// # Errors
    /// When the amount is below 0.
    pub fn new(moment: Moment, amount: i64) -> Result<Self, DoseError> {
        if amount < 0 { Err(DoseError) } else { Ok(Self { moment, amount }) }
    }

    /// The event at which it was read.
    #[must_use]
    pub const fn moment(self) -> Moment {
        self.moment
    }

    /// The amount, 0 or more.
    #[must_use]
    pub const fn amount(self) -> i64 {
        self.amount
    }
}

/// What was given by a moment.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Given {
    /// At least so much, 0 or more.
    pub at_least: i64,
    /// At most so much; `None` when no reading says.
    pub at_most: Option<i64>,
}

impl Given {
    /// The amount, where the readings leave no doubt.
    #[must_use]
    pub fn exactly(self) -> Option<i64> {
        self.at_most.filter(|&most| most == self.at_least)
    }
}

/// The readings of one dose in one case.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct DoseHistory {
    /// In order of their places, one for each.
    readings: Vec<DoseReading>,
}

impl DoseHistory {
    /// The history that these readings make, in any order. Of two at the same event the higher
    /// holds: so much had been given by its end.
    #[must_use]
    pub fn new(mut readings: Vec<DoseReading>) -> Self {
        readings.sort_by_key(|reading| (reading.moment.place(), std::cmp::Reverse(reading.amount)));
        readings.dedup_by_key(|reading| reading.moment.place());
        Self { readings }
    }

    /// The readings in order.
    #[must_use]
    pub fn readings(&self) -> &[DoseReading] {
        &self.readings
    }

    /// What had been given by a moment, its own event included: at least the highest reading up to
    /// there, at most the lowest from there on.
    ///
    /// So a reading at that very event gives both; before the first reading it is at least 0, after
    /// the last nothing says how much at most. Where readings fall ([`DoseHistory::falls`]) the two
    /// can cross; then the higher one stands as the least, and nothing is said of the most.
    #[must_use]
    pub fn by(&self, moment: Moment) -> Given {
        let amounts = |reading: &DoseReading| reading.amount;
        let (until, from) = (
            self.readings.partition_point(|reading| reading.moment.place() <= moment.place()),
            self.readings.partition_point(|reading| reading.moment.place() < moment.place()),
        );
        let at_least = self.readings[..until].iter().map(amounts).max().unwrap_or(0);
        let at_most = self.readings[from..].iter().map(amounts).min();
        Given { at_least, at_most: at_most.filter(|&most| most >= at_least) }
    }

    /// The highest reading; `None` without one.
    #[must_use]
    pub fn total(&self) -> Option<i64> {
        self.readings.iter().map(|reading| reading.amount).max()
    }

    /// Each reading that is lower than one before it, which a sum cannot be: the place of the highest
    /// before it (the last of these), and its own. Never corrected here; somebody has to look.
    #[must_use]
    pub fn falls(&self) -> Vec<(usize, usize)> {
        let mut found = Vec::new();
        let mut highest: Option<DoseReading> = None;
        for &reading in &self.readings {
            match highest {
                Some(before) if reading.amount < before.amount => {
                    found.push((before.moment.place(), reading.moment.place()));
                }
                _ => highest = Some(reading),
            }
        }
        found
    }
}

#[cfg(test)]
mod tests;
