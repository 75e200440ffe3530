//! Statistics for a department's complication rates: counts in, numbers out.
//!
//! - [`proportion`]: one rate with its interval;
//! - [`comparison`]: two rates and their difference;
//! - `special`: the functions behind them, the one place that touches the numerical library.
//!
//! A rate here is a proportion: a procedure counts at most once for a mechanism, however often the
//! mechanism struck in it.

pub mod comparison;
pub mod proportion;
mod special;
