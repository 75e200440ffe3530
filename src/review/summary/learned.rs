//! Why it happened, what could be otherwise, and what the department does about it.

use super::Writing;
use crate::case::reading::words::{lower_first, sentence, shorten, upper_first};
use crate::case::{Action, Cause, EventKind, Lesson};
use crate::document::{Document, Phrase};

/// The table holds a decision in full; here a line of it recalls which one it was.
const DECISION_TEXT: usize = 120;

impl Writing<'_> {
    pub(super) fn why(&self, document: &mut Document) {
        document.section("Why");
        if self.case.causes.is_empty() {
            document.missing("a cause");
        }
        document.bullets(self.case.causes.iter().map(|row| self.cause(&row.value)));
    }

    fn cause(&self, cause: &Cause) -> Phrase {
        let leaf = self.vocabulary.cause(&cause.cause);
        let class = leaf.and_then(|leaf| self.vocabulary.cause_branches.iter().find(|branch| branch.slug == leaf.branch));
        let label = self.vocabulary.cause_label(&cause.cause);
        let label = match class {
            Some(class) => format!("{}: {}. ", class.label, lower_first(&label)),
            None => format!("{label}. "),
        };
        let phrase = Phrase::new().strong(label).text(sentence(cause.statement.as_str())).text(" ");
        match self.shown_by(&cause.shown_by) {
            numbers if numbers.is_empty() => phrase.missing("No event is linked that shows it."),
            numbers => phrase.quiet(format!("{numbers}.")),
        }
    }

    /// Until decision points are recorded, the events that are decisions stand for them.
    pub(super) fn what_could_be_otherwise(&self, document: &mut Document) {
        document.section("What could be otherwise");
        let decisions = self.case.events.iter().map(|row| &row.value).filter(|event| event.kind == EventKind::Decision);
        let items: Vec<Phrase> = decisions
            .map(|event| {
                let number = self.reading.number(&event.key).map_or_else(String::new, |number| number.to_string());
                let what = event.text.as_ref().map_or("a decision, not described", |text| text.as_str());
                Phrase::new().text(format!("Event {number}. ")).text(shorten(what, DECISION_TEXT))
            })
            .collect();
        if items.is_empty() {
            document.missing("a decision on the timeline");
            return;
        }
        document
            .paragraph("Decisions on the timeline. Each was made with what stands above it in the table, and no more.")
            .bullets(items);
    }

    pub(super) fn lessons(&self, document: &mut Document) {
        document.section("Lessons");
        if self.case.lessons.is_empty() {
            document.missing("a lesson");
        }
        let shared = self.shared_signature();
        document.numbered(self.case.lessons.iter().map(|row| self.lesson(&row.value, shared.is_none())));
        if let Some(signature) = shared {
            document.paragraph(Phrase::new().signed(format!("All signed: {signature}")));
        }
    }

    /// The signature that stands under all of several lessons, so that it is written once.
    fn shared_signature(&self) -> Option<String> {
        let mut signatures = self.case.lessons.iter().map(|row| signature(&row.value));
        let first = signatures.next()??;
        (self.case.lessons.len() > 1 && signatures.all(|other| other.as_ref() == Some(&first))).then_some(first)
    }

    fn lesson(&self, lesson: &Lesson, with_signature: bool) -> Phrase {
        let kind = lesson.kind.label();
        let mut phrase = Phrase::new().strong(format!("{kind}. ")).text(sentence(lesson.text.as_str())).text(" ");
        let event = self.shown_by(&lesson.event);
        if !event.is_empty() {
            phrase = phrase.quiet(format!("{event}. "));
        }
        match signature(lesson) {
            Some(_) if !with_signature => phrase,
            Some(signature) => phrase.signed(format!("Signed: {signature}")),
            None => phrase.missing("Not signed by an attending."),
        }
    }

    pub(super) fn actions(&self, document: &mut Document) {
        document.section("Actions");
        if self.case.actions.is_empty() {
            document.missing("an action");
            return;
        }
        document.bullets(self.case.actions.iter().map(|row| action(&row.value)));
    }
}

fn signature(lesson: &Lesson) -> Option<String> {
    let (by, on) = (lesson.signed_by.as_ref()?, lesson.signed_on?);
    Some(format!("{by}, {}.", on.in_words()))
}

/// Who and until when, what, how it is measured, how strong it is and where it stands.
fn action(action: &Action) -> Phrase {
    let (owner, due) = (upper_first(action.owner.as_str()), action.due.in_words());
    let phrase = Phrase::new()
        .strong(format!("{owner}, by {due}: "))
        .text(sentence(&lower_first(action.what.as_str())))
        .text(" ");
    let phrase = match &action.measure {
        Some(measure) => phrase.text(format!("Measure: {}", sentence(&lower_first(measure.as_str())))),
        None => phrase.missing("Measure not recorded."),
    };
    let (strength, state) = (action.strength.label(), action.state.label().to_lowercase());
    phrase.quiet(format!(" {strength} action, {state}."))
}
