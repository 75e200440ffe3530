//! Statistics for a department's complication rates: counts in, numbers out.
//!
//! - [`proportion`]: one rate with its interval;
//! - [`comparison`]: two rates, their difference, their ratio, and whether chance explains it;
//! - [`poisson`]: events that can strike a procedure more than once, and the ratio of their rates;
//! - [`association`]: whether a feature goes with a mechanism, also over strata;
//! - [`many`]: p-values of many mechanisms, adjusted for their number;
//! - [`fell`]: how probable it is that a rate fell;
//! - [`shrinkage`]: rates of many small units, drawn together;
//! - [`funnel`]: how far units stray from a target by chance;
//! - [`ratio`]: limits that may have no upper end;
//! - [`chart`]: rates over time against limits, and which chart suits;
//! - [`runs`]: run rules about a median;
//! - [`cusum`]: the sum that finds a changed rate soonest;
//! - [`agreement`]: whether reviewers agree beyond chance;
//! - [`times`]: medians and quartiles of times;
//! - `discrete`: exact distributions over whole numbers, and their tails;
//! - `special`: the functions behind them, the one place that touches the numerical library.
//!
//! A rate is a proportion, in which a procedure counts at most once for a mechanism however often the
//! mechanism struck in it, everywhere but in [`poisson`].

pub mod agreement;
pub mod association;
pub mod chart;
pub mod comparison;
pub mod cusum;
mod discrete;
pub mod fell;
pub mod funnel;
pub mod many;
pub mod poisson;
pub mod proportion;
pub mod ratio;
pub mod runs;
pub mod shrinkage;
mod special;
pub mod times;
