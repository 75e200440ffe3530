//! Reasoning about the times of a case: what an interval may have been, how long a vessel went
//! without flow, what was known and what had been given by a moment.
//!
//! Sights, readings and moments go in, intervals come out; nothing here knows a case, a page or a
//! clock.
//!
//! - [`interval`]: moments that may be uncertain, and the time between two of them;
//! - [`span`]: when a complication began, was recognised, was responded to and was controlled;
//! - [`flow_window`]: a vessel's flow over time, its windows and its episodes of lost flow;
//! - [`known`]: which events and results were known by a moment;
//! - [`dose`]: contrast and radiation by a moment.

pub mod dose;
pub mod flow_window;
pub mod interval;
pub mod known;
pub mod span;

pub use dose::{DoseError, DoseHistory, DoseReading, Given};
pub use flow_window::{Episode, FlowHistory, FlowSight, FlowStep, TotalLoss, WindowTotal};
pub use interval::{Elapsed, Moment, moments};
pub use known::{Known, ResultTimes};
pub use span::{Span, SpanError};

#[cfg(test)]
mod testing;
#[cfg(test)]
mod tests;
