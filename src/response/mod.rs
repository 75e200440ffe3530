//! Response prompts: after a complication, the observable steps that common practice expects, matched
//! to the events of the case.
//!
//! A [`PromptList`] is data: a file with its source, read by [`PromptList::parse`]. [`follow`] lays the
//! events of a case beside it and tells for every step whether it was done and by which event, was
//! done before, is not recorded, does not apply, or belongs to another branch. [`answers`] tells which
//! branch the case takes. What a person set wins over every match.
//!
//! Matching is careful: an event counts only when its kind, device, place and order show the step.
//! What merely may show it is offered as "perhaps" and counts when a person says so. Places in the
//! order of the case are all that this core knows of time; the caller turns them into times.
//!
//! Print [`CAUTION`] wherever prompts are shown.

mod branch;
mod follow;
mod list;
mod matching;
mod read;
mod slug;
mod standard;
mod write;

#[cfg(test)]
mod tests;

pub use branch::{QuestionResult, QuestionState, SettledBy, answers};
pub use follow::{Course, Near, Occurrence, Said, Set, StepResult, StepState, follow};
pub use list::{Answer, Condition, Place, PromptList, Question, Sign, Since, Step};
pub use read::{Allowed, LIST_AT_MOST, ListProblem};
pub use slug::{Slug, SlugError};
pub use standard::{LISTS, StandardListError, standard_lists};

/// What is printed wherever prompts are shown.
pub const CAUTION: &str =
    "Common practice; a teaching aid, not a protocol. Local protocol and licensed judgement rule.";
