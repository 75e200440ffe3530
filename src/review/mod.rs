//! The review of a case: what is still missing, which stage comes next, and the document that the
//! case becomes.
//!
//! - [`findings`]: what the trade's definitions say about it;
//! - [`minutes`]: the minutes of a conference;
//! - [`readiness`]: the checks before a case is ready to be presented;
//! - [`report`]: the quarterly report of the department;
//! - [`response`]: what the events show of the steps that common practice expects;
//! - [`stage`]: the moves between stages, and the one thing to do next;
//! - [`summary`]: the teaching summary.

pub mod findings;
pub mod minutes;
pub mod readiness;
pub mod report;
pub mod response;
pub mod stage;
pub mod summary;
