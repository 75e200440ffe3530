//! Charts of counts and rates: numbers in, a drawing with its table and its words out.
//!
//! - [`control`]: a quantity over time against its limits, with signals and actions;
//! - [`cusum`]: two sums that rise as evidence gathers, of worse upwards and of better downwards;
//! - [`pareto`]: what was found how often, ranked;
//! - [`funnel`]: rates of several operators or units against what chance allows at their size;
//! - [`odds`]: odds ratios with their intervals on a log scale.
//!
//! Nothing is computed here: rates, limits, intervals and signals come in as plain numbers and
//! sentences. Lengths of time and rates are in whatever unit the caller names.

pub mod control;
pub mod cusum;
mod ends;
mod flags;
pub mod funnel;
mod gaps;
mod notes;
pub mod odds;
pub mod pareto;
mod parts;
mod plot;
mod reach;
mod rings;
mod sheet;
mod slots;
mod values;

pub use parts::{Band, Marker, Signal, SlotName};
