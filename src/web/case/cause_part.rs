//! The form of a cause.

use super::leaf_choices::causes;
use super::part::{Context, Part, RowPart, events};
use crate::case::reading::words::lower_first;
use crate::case::store::{Part as List, RowValue};
use crate::case::{Case, Cause, Line, Paragraph, Row, StoredCase, TextError, Weight};
use crate::web::form::{Choice, Control, Field, FieldError, Reader, Values};

/// A cause.
pub(super) struct CausePart;

fn weights() -> Vec<Choice> {
    Weight::ALL
        .iter()
        .zip([
            "without it, this would probably not have happened",
            "it made it likelier or worse",
            "it was there, and changed little",
        ])
        .map(|(word, meaning)| Choice::new(word, word.label()).explained(meaning))
        .collect()
}

const BECAUSE: &str = "because";
const EFFECT: &str = "effect";
const EVENT: &str = "event";
const PARTS: [&str; 3] = [BECAUSE, EFFECT, EVENT];

/// Reads the statement, as a whole or from its three parts.
fn read_statement(reader: &mut Reader, values: &Values) -> Option<Paragraph> {
    let parts = PARTS.map(|name| reader.optional::<Line>(name));
    let typed = PARTS.map(|name| !values.get(name).trim().is_empty());
    match (values.get("statement").trim().is_empty(), typed) {
        (false, [false, false, false]) | (true, [false, false, false]) => {
            reader.required("statement", "Say in a sentence how it led to what happened.")
        }
        (false, _) => {
            reader.mark("statement", "There is a statement and parts of one. Leave the one that says it better, and empty the other.");
            None
        }
        (true, _) => {
            for (name, _) in PARTS.iter().zip(typed).filter(|(_, typed)| !typed) {
                reader.mark(
                    name,
                    "A statement has all three parts: the cause, its effect, and the event that it led to.",
                );
            }
            let [Some(because), Some(effect), Some(event)] = parts else {
                return None;
            };
            put_together(&because, &effect, &event).map_err(|error| reader.mark("statement", error)).ok()
        }
    }
}

/// `Because the tip was out of view, its exit was not visible, so advancing it lengthened the dissection.`
fn put_together(because: &Line, effect: &Line, event: &Line) -> Result<Paragraph, TextError> {
    let part = |text: &Line, openings: &[&str]| {
        let text = text.as_str().trim_matches(['.', ',', '…', ' ']);
        let bare = openings.iter().find_map(|opening| {
            text.get(..opening.len())
                .filter(|head| head.eq_ignore_ascii_case(opening))
                .map(|_| &text[opening.len()..])
        });
        lower_first(bare.unwrap_or(text).trim())
    };
    let because = part(because, &["because "]);
    let (effect, event) = (part(effect, &[]), part(event, &["so that ", "so "]));
    format!("Because {because}, {effect}, so {event}.").parse()
}

impl Part for CausePart {
    type Value = Cause;
    const TITLE: &'static str = "Cause";
    const LEAD: &'static str = "Something that can be acted on, not somebody.";

    fn values(value: &Cause) -> Values {
        Values::new()
            .with("cause", &value.cause)
            .with("statement", &value.statement)
            .with("weight", value.weight)
            .with_all("shown_by", &value.shown_by)
    }

    fn fields(context: &Context, values: &Values) -> Vec<Field> {
        let mut fields = vec![
            Field::new(
                "cause",
                "Contributing factor",
                Control::Select { empty: Some("Choose"), groups: causes(context), by_typing: true },
            )
            .hint("Type two or three letters of the everyday word: tired, alarm, plan."),
        ];
        // A statement is put together once; after that it is a text like any other.
        let parts = values.get("statement").trim().is_empty() || PARTS.iter().any(|part| values.ticked(part));
        if parts {
            fields.extend([
                Field::line(BECAUSE, "Because …", "")
                    .hint("The cause, as a condition: the tip was out of view in the single projection used.")
                    .optional(),
                Field::line(EFFECT, "… this followed", "")
                    .hint("The effect: the wire's exit was not visible.")
                    .optional(),
                Field::line(EVENT, "… so that this happened", "")
                    .hint("The event: advancing it lengthened the dissection.")
                    .optional(),
            ]);
        }
        let whole = if parts { "Or the causal statement as a whole" } else { "Causal statement" };
        fields.extend([
            Field::lines("statement", whole, 4).hint(
                "Cause, then effect, then event: “Because the tip was out of view in the single projection used, the wire's exit was not visible, so advancing it lengthened the dissection.”",
            ),
            Field::new("weight", "How much it carried", Control::Radios(weights())),
            Field::new("shown_by", "Events that show it", Control::Checks(events(context.case))).optional(),
        ]);
        fields
    }

    fn read(values: &Values, _: &Context, _: Option<&Cause>) -> Result<Cause, Vec<FieldError>> {
        let mut reader = Reader::new(values);
        let cause = reader.required("cause", "Choose a contributing factor.");
        let statement = read_statement(&mut reader, values);
        let weight = reader.optional("weight").unwrap_or_default();
        let shown_by = reader.many("shown_by");
        let value =
            cause.zip(statement).map(|(cause, statement)| Cause { cause, statement, weight, shown_by });
        reader.finish(value)
    }
}

impl RowPart for CausePart {
    const LIST: List = List::Cause;
    const NOUN: &'static str = "cause";
    fn rows(case: &StoredCase) -> &[Row<Cause>] {
        &case.causes
    }
    fn rows_mut(case: &mut Case) -> &mut Vec<Cause> {
        &mut case.causes
    }
    fn fresh(_: &Context, values: Values) -> Values {
        if values.ticked("weight") { values } else { values.with("weight", Weight::default()) }
    }
    fn row_value(value: Cause) -> RowValue {
        RowValue::Cause(value)
    }
}
