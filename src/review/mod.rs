//! The review of a case: what is still missing, which stage comes next, and the document that the
//! case becomes.
//!
//! - [`booklet`]: the lessons of a year as a document for new fellows;
//! - [`deck`]: the case as a sequence of screens, with stop points;
//! - [`findings`]: what the trade's definitions say about it;
//! - [`judgement`]: what each reviewer thinks of a case and of a decision, closed until one's own is given;
//! - [`minutes`]: the minutes of a conference;
//! - [`outgoing`]: the last look at a document before it leaves;
//! - [`question`]: what a reader would ask about its causes and actions;
//! - [`readiness`]: the checks before a case is ready to be presented;
//! - [`report`]: the quarterly report of the department;
//! - [`response`]: what the events show of the steps that common practice expects;
//! - [`stage`]: the moves between stages, and the one thing to do next;
//! - [`summary`]: the teaching summary;
//! - [`walk`]: one reader alone goes through a case, and chooses before they learn what followed.

pub mod booklet;
pub mod deck;
pub mod findings;
pub mod judgement;
pub mod minutes;
pub mod outgoing;
pub mod question;
pub mod readiness;
pub mod report;
pub mod response;
pub mod stage;
pub mod summary;
pub mod walk;
