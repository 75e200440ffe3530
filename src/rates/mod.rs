//! Rates: how often a mechanism struck among the procedures at risk of it, and whether that moved.
//!
//! Every case counts from the moment it is recorded, whatever its stage. A case counts once for a
//! mechanism, so a rate is a proportion of procedures.

mod at_risk;
mod counts;
mod course;
mod effect;
mod features;
mod followed;
mod judged;
mod line;
mod moved;
mod period;
mod settings;
mod table;
mod tally;
mod took;
mod watch;
mod words;

pub mod benchmark;
pub mod combination;
pub mod drawing;
pub mod leaving;
pub mod operators;
pub mod store;
pub mod suppress;

pub use at_risk::{ALL_PCI, AtRisk, Denominators};
pub use counts::{ByMonth, Counts};
pub use course::{Course, Every, Impossible, Step};
pub use effect::{Effect, NoEffect};
pub use features::{FEWEST_ON_A_SIDE, Feature, FeatureRates, STANDS_BELOW, Split, features};
pub use followed::followed;
pub use judged::{Chosen, FEW_POINTS, Found, Gap, Judged, Points, Rules};
pub use line::{CountedOver, RateLine, Subject};
pub use moved::{Moved, Movements, moved};
pub use period::{Period, PeriodError};
pub use settings::{FalseAlarmYears, FewestByOperator, FewestCompared, Settings, SmallestGroup};
pub use table::{Inputs, RatesTable, Within};
pub use tally::{MonthCount, NoRate, Rate, Tally};
pub use took::{Times, Took};
pub use watch::{NoWatch, Watched};
pub use words::{counted, per_1000, signed, whole_number};

#[cfg(test)]
mod samples;
