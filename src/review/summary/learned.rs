//! Why it happened, what could be otherwise, and what the department does about it.

use super::Writing;
use crate::case::reading::words::{count, join, lower_first, sentence, shorten, upper_first};
use crate::case::{Action, Cause, Decision, EventKind, Lesson, Weight};
use crate::document::{Document, Phrase};
use crate::quantity::Certainty;

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
        let weight = match cause.weight {
            Weight::Contributing => String::new(),
            told => format!(" ({})", told.label().to_lowercase()),
        };
        let label = match class {
            Some(class) => format!("{}: {}{weight}. ", class.label, lower_first(&label)),
            None => format!("{label}{weight}. "),
        };
        let phrase = Phrase::new().strong(label).text(sentence(cause.statement.as_str())).text(" ");
        match self.shown_by(&cause.shown_by) {
            numbers if numbers.is_empty() => phrase.missing("No event is linked that shows it."),
            numbers => phrase.quiet(format!("{numbers}.")),
        }
    }

    /// The decision points with their options, what was chosen and what followed; before any is written,
    /// the events that are decisions stand for them.
    pub(super) fn what_could_be_otherwise(&self, document: &mut Document) {
        document.section("What could be otherwise");
        if self.case.decisions.is_empty() {
            self.decisions_on_the_timeline(document);
        } else {
            document.bullets(self.case.decisions.iter().map(|row| decision_words(&row.value)));
        }
    }

    /// The question of each event that is a decision, without the answer that the table gives.
    fn decisions_on_the_timeline(&self, document: &mut Document) {
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
            document.missing("a decision point");
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
        if let Some(reference) = &lesson.reference {
            phrase = phrase.text(" ").link(reference.to_string(), &reference.address()).text(".");
        }
        if lesson.recurring.is_some() {
            phrase = phrase.quiet(" It recurs in other cases.");
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

/// The question, what was chosen of how many options by which role, and what followed. The other options
/// stand on the page of the decision: on paper they would cost the summary a page.
#[must_use]
pub fn decision_words(decision: &Decision) -> Phrase {
    let phrase = Phrase::new()
        .time(decision.at, Certainty::Exact)
        .text(" ")
        .strong(sentence(decision.question.as_str()));
    let phrase = match decision.chosen_option() {
        Some(option) => {
            let by = decision.chosen_by.as_ref().map(|role| format!(" by the {role}")).unwrap_or_default();
            let of = match decision.options.len() {
                0 | 1 => String::new(),
                several => format!(", of {} options", lower_first(&count(several))),
            };
            let text = lower_first(option.text.as_str().trim_end_matches('.'));
            phrase.text(format!(" Chosen{by}{of}: {text}."))
        }
        None => phrase.text(" ").missing("What was chosen is not recorded."),
    };
    match &decision.followed {
        Some(followed) => phrase.text(format!(" {}", first_sentence(followed.as_str()))),
        None => phrase,
    }
}

/// The first sentence of a text; the table of events tells the rest.
fn first_sentence(text: &str) -> String {
    let end = text.match_indices(". ").map(|(at, _)| at).find(|&at| {
        // `3.0 mm. Then` ends a sentence, `approx. 3` does not.
        text[at + 2..].chars().next().is_some_and(char::is_uppercase)
    });
    sentence(end.map_or(text, |end| &text[..end]))
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
        Some(measure) => {
            let target =
                action.target.as_ref().map(|target| format!(" Target: {target}.")).unwrap_or_default();
            phrase.text(format!("Measure: {}{target}", sentence(&lower_first(measure.as_str()))))
        }
        None => phrase.missing("Measure not recorded."),
    };
    let (strength, state) = (action.strength.label(), action.state.label().to_lowercase());
    let kind = action.kind.map(|kind| format!(" ({})", lower_first(kind.label()))).unwrap_or_default();
    phrase.quiet(format!(" {strength} action{kind}, {state}."))
}
