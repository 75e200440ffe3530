//! What a department sets for its rates.

use super::effect::FewestCompared;
use super::suppress::SmallestCount;
use super::watch::FalseAlarmYears;

/// What a department sets for its rates; each has a value where nobody set one.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Settings {
    /// The smallest count that leaves the department.
    pub smallest: SmallestCount,
    /// The fewest procedures on each side of a comparison before and after.
    pub fewest_compared: FewestCompared,
    /// How long a false alarm of a watch should take.
    pub false_alarm: FalseAlarmYears,
}

impl Default for Settings {
    fn default() -> Self {
        Self {
            smallest: SmallestCount::default(),
            fewest_compared: FewestCompared::USUAL,
            false_alarm: FalseAlarmYears::USUAL,
        }
    }
}
