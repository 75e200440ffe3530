//! The form of a cause.

use super::leaf_choices::causes;
use super::part::{Context, Part, RowPart, events};
use crate::case::store::{Part as List, RowValue};
use crate::case::{Case, Cause, Row, StoredCase, Weight};
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

impl Part for CausePart {
    type Value = Cause;
    const TITLE: &'static str = "Cause";
    const LEAD: &'static str = "Something that can be acted on, not somebody.";

    fn values(value: &Cause) -> Values {
        Values::new()
            .with("cause", &value.cause)
            .with("statement", &value.statement)
            .with_opt("weight", value.weight)
            .with_all("shown_by", &value.shown_by)
    }

    fn fields(context: &Context, _: &Values) -> Vec<Field> {
        vec![
            Field::new(
                "cause",
                "Contributing factor",
                Control::Select { empty: Some("Choose"), groups: causes(context), by_typing: true },
            )
            .hint("Type two or three letters of the everyday word: tired, alarm, plan."),
            Field::lines("statement", "Causal statement", 4).hint(
                "Cause, then effect, then event: “Because the tip was out of view in the single projection used, the wire's exit was not visible, so advancing it lengthened the dissection.”",
            ),
            Field::new("weight", "How much it carried", Control::Radios(weights())).optional(),
            Field::new("shown_by", "Events that show it", Control::Checks(events(context.case))).optional(),
        ]
    }

    fn read(values: &Values, _: &Context, _: Option<&Cause>) -> Result<Cause, Vec<FieldError>> {
        let mut reader = Reader::new(values);
        let cause = reader.required("cause", "Choose a contributing factor.");
        let statement = reader.required("statement", "Say in a sentence how it led to what happened.");
        let weight = reader.optional("weight");
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
    fn row_value(value: Cause) -> RowValue {
        RowValue::Cause(value)
    }
}
