//! The form of a lesson.

use super::part::{Context, Part, RowPart, decisions, events};
use crate::case::store::{Part as List, RowValue};
use crate::case::{Case, Lesson, LessonKind, Row, StoredCase};
use crate::web::form::{Choice, Control, Field, FieldError, Reader, Values};

/// A lesson.
pub(super) struct LessonPart;

/// What a signature stands under: what the lesson says and what it rests on.
fn same_words(one: &Lesson, other: &Lesson) -> bool {
    one.kind == other.kind && one.text == other.text && one.reference == other.reference
}

impl Part for LessonPart {
    type Value = Lesson;
    const TITLE: &'static str = "Lesson";
    const LEAD: &'static str =
        "What the department should do next time. An attending signs it; a change takes the signature off.";

    fn values(value: &Lesson) -> Values {
        Values::new()
            .with("kind", value.kind)
            .with("text", &value.text)
            .with_opt("event", value.event.as_ref())
            .with_opt("decision", value.decision.as_ref())
            .with_opt("reference", value.reference.as_ref())
    }

    fn fields(context: &Context, _: &Values) -> Vec<Field> {
        let kinds = LessonKind::ALL
            .iter()
            .zip([
                "so that it does not happen",
                "so that it is known sooner",
                "so that it does less harm",
                "so that people and things are where they are needed",
            ])
            .map(|(word, meaning)| Choice::new(word, word.label()).explained(meaning))
            .collect();
        vec![
            Field::new("kind", "It helps to", Control::Radios(kinds)),
            Field::lines("text", "Lesson", 4)
                .hint("One thing, said so that a colleague who was not there can do it."),
            Field::words(
                "event",
                "The event that it comes from",
                "No event in particular",
                events(context.case),
            ),
            Field::words(
                "decision",
                "The decision point that it is about",
                "No decision point in particular",
                decisions(context.case),
            ),
            Field::line("reference", "What it rests on in print", "w-long")
                .hint("A DOI or a PubMed number: 10.1161/CIR.0000000000000617, or PMID 12345678.")
                .optional(),
        ]
    }

    fn read(values: &Values, _: &Context, was: Option<&Lesson>) -> Result<Lesson, Vec<FieldError>> {
        let mut reader = Reader::new(values);
        let kind = reader.required("kind", "Say what the lesson helps to do.");
        let text = reader.required("text", "Write the lesson.");
        let event = reader.optional("event");
        let (decision, reference) = (reader.optional("decision"), reader.optional("reference"));
        let value = kind.zip(text).map(|(kind, text)| {
            let lesson = Lesson {
                kind,
                text,
                event,
                decision,
                reference,
                recurring: was.and_then(|was| was.recurring.clone()),
                signed_by: None,
                signed_on: None,
            };
            // A signature stands under the words that were signed, and under no others.
            match was.filter(|was| same_words(was, &lesson)) {
                Some(was) => Lesson { signed_by: was.signed_by.clone(), signed_on: was.signed_on, ..lesson },
                None => lesson,
            }
        });
        reader.finish(value)
    }
}

impl RowPart for LessonPart {
    const LIST: List = List::Lesson;
    const NOUN: &'static str = "lesson";
    fn rows(case: &StoredCase) -> &[Row<Lesson>] {
        &case.lessons
    }
    fn rows_mut(case: &mut Case) -> &mut Vec<Lesson> {
        &mut case.lessons
    }
    fn row_value(value: Lesson) -> RowValue {
        RowValue::Lesson(value)
    }
    fn refuse(value: &Lesson, signs: bool) -> Option<&'static str> {
        (value.signed_by.is_some() && !signs).then_some("This lesson is signed. An attending changes it.")
    }
}
