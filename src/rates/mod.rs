//! Rates: how often a mechanism struck among the procedures at risk of it, and whether that moved.
//!
//! Every case counts from the moment it is recorded, whatever its stage. A case counts once for a
//! mechanism, so a rate is a proportion of procedures.

mod at_risk;
mod counts;
mod line;
mod moved;
mod period;
mod table;
mod tally;
mod words;

pub mod store;

pub use at_risk::{ALL_PCI, AtRisk, Denominators};
pub use counts::{ByMonth, Counts};
pub use line::{RateLine, Subject};
pub use moved::{Moved, Movements, moved};
pub use period::{Period, PeriodError};
pub use table::{Inputs, RatesTable};
pub use tally::{MonthCount, NoRate, Rate, Tally};
pub use words::{per_1000, whole_number};

#[cfg(test)]
mod samples;
