//! Reasoning about the times of a case: what an interval may have been, and how long a vessel
//! went without flow.
//!
//! Sights and moments go in, intervals come out; nothing here knows a case, a page or a clock.
//!
//! - [`interval`]: moments that may be uncertain, and the time between two of them;
//! - [`flow_window`]: a vessel's flow over time, and its episodes of lost flow.

pub mod flow_window;
pub mod interval;

pub use flow_window::{Episode, FlowHistory, FlowSight, FlowStep, TotalLoss};
pub use interval::{Elapsed, Moment, Span, SpanError, moments};
