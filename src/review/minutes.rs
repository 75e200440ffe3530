//! The minutes of a conference: the document that its meeting becomes, made from the record alone.
//!
//! When and who, by role; what became of carried-over actions; each case with what was said, its lessons
//! and its actions; what comes next; cautions. A name stands nowhere in it: who signed a lesson is read in
//! the case.

mod carried;
mod cases;
mod opening;

pub mod store;

use crate::case::{Day, Title};
use crate::conference::Confidentiality;
use crate::conference::meeting::Meeting;
use crate::document::Document;
use crate::review::summary::CAUTION;
use crate::vocabulary::Vocabulary;

/// What minutes are made from.
#[derive(Debug, Clone)]
pub struct Inputs {
    /// The meeting.
    pub meeting: Meeting,
    /// The department's confidentiality line.
    pub line: Confidentiality,
    /// The conference after it, when one is set.
    pub next: Option<(Day, Title)>,
}

/// Minutes being written: what every section needs.
struct Writing<'a> {
    vocabulary: &'a Vocabulary,
    meeting: &'a Meeting,
    next: Option<&'a (Day, Title)>,
}

const AS_IT_STANDS: &str = "Made from the record: stages, lessons and actions read as they stand there now, also when they were changed after the meeting.";
const NO_NAMES: &str = "People are counted and named by role alone. Minutes tell what was said of processes and conditions, and judge nobody.";

/// The minutes of a conference.
#[must_use]
pub fn minutes(inputs: &Inputs, vocabulary: &Vocabulary) -> Document {
    let writing = Writing { vocabulary, meeting: &inputs.meeting, next: inputs.next.as_ref() };
    let plan = &inputs.meeting.conference.plan;
    let mut document = Document::new(format!("Minutes: {}, {}", plan.title, plan.held_on.in_words()));
    let draft = if inputs.meeting.conference.is_ended() { "" } else { " Draft: the meeting is not ended." };
    document.stands_as(format!("{}{draft}", inputs.line));
    writing.opening(&mut document);
    writing.attendance(&mut document);
    writing.carried(&mut document);
    writing.cases(&mut document);
    writing.notes(&mut document);
    writing.next(&mut document);
    document.section("Cautions");
    document.bullets([AS_IT_STANDS, NO_NAMES]);
    document.caution(CAUTION);
    document
}

#[cfg(test)]
mod tests;
