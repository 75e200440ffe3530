//! Quantities of a case: months, age, lengths, pressure, Medina class, dates of follow-up.

mod age;
mod day;
mod length;
mod medina;
mod month;
mod pressure;
mod whole_number;

pub use age::Age;
pub use day::Day;
pub use length::Millimetres;
pub use medina::Medina;
pub use month::Month;
pub use pressure::Pressure;
pub use whole_number::{Egfr, HeartRate, WeightKg};

/// Why a text or number is not one of the quantities of a case.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{0}")]
pub struct MeasureError(pub &'static str);
