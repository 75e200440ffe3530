//! Why it happened, what could be otherwise, and what the department does about it.

use super::Writing;
use crate::case::reading::words::{join, lower_first, sentence, shorten, upper_first};
use crate::case::{Action, Cause, EventKind, Lesson};
use crate::document::{Document, Phrase};

/// At most so many characters of a decision that asks no question.
const DECISION_TEXT: usize = 90;

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
        let class = leaf
            .and_then(|leaf| self.vocabulary.cause_branches.iter().find(|branch| branch.slug == leaf.branch));
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

    /// Until decision points are recorded, the events that are decisions stand for them: the
    /// question of each, without the answer that the table gives.
    pub(super) fn what_could_be_otherwise(&self, document: &mut Document) {
        document.section("What could be otherwise");
        let decisions =
            self.case.events.iter().map(|row| &row.value).filter(|event| event.kind == EventKind::Decision);
        let mut phrase = Phrase::new()
            .text("Decisions on the timeline, each made with what stands above it in the table and no more.");
        let mut any = false;
        for event in decisions {
            any = true;
            let number =
                self.reading.number(&event.key).map_or_else(String::new, |number| number.to_string());
            let question = event.text.as_ref().map_or("not described", |text| text.as_str());
            phrase = phrase.strong(format!(" Event {number}: ")).text(question_of(question));
        }
        if any {
            document.paragraph(phrase);
        } else {
            document.missing("a decision on the timeline");
        }
    }

    pub(super) fn lessons(&self, document: &mut Document) {
        document.section("Lessons");
        if self.case.lessons.is_empty() {
            document.missing("a lesson");
        }
        document.numbered(self.case.lessons.iter().map(|row| self.lesson(&row.value)));
        document.paragraph(self.signatures());
    }

    /// Who signed which lessons and when, each signature once, and which nobody signed.
    fn signatures(&self) -> Phrase {
        let mut signed: Vec<(String, Vec<String>)> = Vec::new();
        let mut unsigned: Vec<String> = Vec::new();
        for (number, row) in (1..).zip(&self.case.lessons) {
            let number: u32 = number;
            match signature(&row.value) {
                None => unsigned.push(number.to_string()),
                Some(signature) => match signed.iter_mut().find(|(other, _)| *other == signature) {
                    Some((_, numbers)) => numbers.push(number.to_string()),
                    None => signed.push((signature, vec![number.to_string()])),
                },
            }
        }
        let signed: Vec<String> = signed
            .iter()
            .map(|(signature, numbers)| format!("{} by {signature}", lessons_named(numbers)))
            .collect();
        let mut phrase = Phrase::new();
        if !signed.is_empty() {
            phrase = phrase.signed(format!("Signed: {}. ", signed.join("; ")));
        }
        if !unsigned.is_empty() {
            phrase = phrase.missing(format!("Not signed by an attending: {}.", lessons_named(&unsigned)));
        }
        phrase
    }

    fn lesson(&self, lesson: &Lesson) -> Phrase {
        let kind = lesson.kind.label();
        let mut phrase = Phrase::new().strong(format!("{kind}. ")).text(sentence(lesson.text.as_str()));
        let event = self.shown_by(&lesson.event);
        if !event.is_empty() {
            phrase = phrase.quiet(format!(" {event}."));
        }
        phrase
    }

    pub(super) fn actions(&self, document: &mut Document) {
        document.section("Actions");
        if self.case.actions.is_empty() {
            document.missing("an action");
            return;
        }
        document.bullets(self.case.actions.iter().map(|row| action_words(&row.value)));
    }
}

/// The question that a decision begins with; its first words when it asks none.
fn question_of(text: &str) -> String {
    match text.split_inclusive('?').next() {
        Some(question) if question.ends_with('?') && question.chars().count() <= 2 * DECISION_TEXT => {
            question.split_whitespace().collect::<Vec<_>>().join(" ")
        }
        _ => sentence(&shorten(text, DECISION_TEXT)),
    }
}

fn lessons_named(numbers: &[String]) -> String {
    match numbers {
        [one] => format!("lesson {one}"),
        many => format!("lessons {}", join(many)),
    }
}

fn signature(lesson: &Lesson) -> Option<String> {
    let (by, on) = (lesson.signed_by.as_ref()?, lesson.signed_on?);
    Some(format!("{by}, {}", on.in_words()))
}

/// Who and until when, what, how it is measured, how strong it is and where it stands.
#[must_use]
pub fn action_words(action: &Action) -> Phrase {
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
