//! Operators, by pseudonym only, for the quality lead alone: what each did among how many procedures,
//! against what chance allows at that number. Never a ranking.

mod compared;
mod funnel;
mod pseudonym;

pub use compared::{Compared, OperatorCount, OperatorTally};
pub use funnel::{Curve, FEWEST_COMPARED, Funnel, NoFunnel, Shrunken, Standing, Unit};
pub use pseudonym::{Pseudonym, PseudonymError};

use super::settings::FewestByOperator;
use crate::case::{CaseCode, Month};
use crate::quantity::words;

words!(
    /// Whether anything about operators is kept and shown; off until the quality lead turns it on.
    OperatorView, "whether operators are shown", {
        Off = "off", "Off";
        On = "on", "On";
    }
);

/// What a department sets for its operators.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct OperatorSettings {
    /// Whether anything about them is shown.
    pub view: OperatorView,
    /// From how many procedures on.
    pub fewest: FewestByOperator,
}

impl OperatorSettings {
    /// Whether anything about operators is shown.
    #[must_use]
    pub fn is_on(self) -> bool {
        self.view == OperatorView::On
    }
}

impl Default for OperatorSettings {
    fn default() -> Self {
        Self { view: OperatorView::Off, fewest: FewestByOperator::USUAL }
    }
}

/// An operator.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Operator {
    /// The id.
    pub id: i64,
    /// What stands for the person.
    pub pseudonym: Pseudonym,
    /// Whether nothing new is recorded for it.
    pub ended: bool,
}

/// A cell of the operators' grid: how many procedures an operator did in a month.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct OperatorProcedures {
    /// The month.
    pub month: Month,
    /// The operator's id.
    pub operator: i64,
    /// Procedures, 0 to [`OperatorProcedures::MOST`]; `None` where they were not counted.
    pub procedures: Option<u32>,
}

impl OperatorProcedures {
    /// The most that a month can hold for one operator.
    pub const MOST: u32 = 10_000;
}

/// A case with its operator.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CaseOperator {
    /// The case's id.
    pub case_id: i64,
    /// Its code.
    pub code: CaseCode,
    /// The month of its procedure.
    pub month: Month,
    /// Its title.
    pub title: String,
    /// The operator's id; `None` where nobody said.
    pub operator: Option<i64>,
}

#[cfg(test)]
mod tests;
