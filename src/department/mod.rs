//! What a department keeps for itself besides its trees: which rule it takes where sources clash,
//! the units that its hospital uses, and its own lists of response prompts.

pub mod store;
mod units;

use crate::clinical::Choices;

pub use units::{UsualUnits, unit_of};

/// A department's settings, as every page reads them.
#[derive(Debug, Clone, Default)]
pub struct Department {
    /// Where sources clash: what it takes.
    pub choices: Choices,
    /// The units that were used last.
    pub units: UsualUnits,
}
