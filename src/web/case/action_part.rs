//! The form of an action.

use std::collections::BTreeSet;

use super::part::{Context, Part, RowPart};
use crate::case::store::{Part as List, RowValue};
use crate::case::{Action, ActionKind, ActionState, Case, Row, StoredCase, Strength};
use crate::choices;
use crate::vocabulary::{CauseSlug, MechanismSlug};
use crate::web::form::{Choice, ChoiceGroup, Control, Field, FieldError, Reader, Values};

/// An action.
pub(super) struct ActionPart;

/// The kinds of change under their strengths; an action that is none of them has the strength alone.
fn kinds() -> Vec<ChoiceGroup> {
    Strength::ALL
        .iter()
        .map(|strength| {
            let kinds = ActionKind::ALL.iter().filter(|kind| kind.strength() == *strength);
            let other = Choice::new(strength, format!("Another {} change", strength.label().to_lowercase()));
            ChoiceGroup {
                label: strength.label().to_owned(),
                choices: kinds.map(|kind| Choice::new(kind, kind.label())).chain([other]).collect(),
            }
        })
        .collect()
}

/// Reads the kind of change, or a strength without one.
fn read_sort(reader: &mut Reader, values: &Values) -> Option<(Strength, Option<ActionKind>)> {
    if let Ok(strength) = values.get("kind").parse() {
        return Some((strength, None));
    }
    let kind: ActionKind = reader.required("kind", "Say what sort of change it is.")?;
    Some((kind.strength(), Some(kind)))
}

/// The causes of the case, each once, and the one that the form holds.
fn own_causes(context: &Context, values: &Values) -> Vec<Choice> {
    let mut slugs: BTreeSet<CauseSlug> =
        context.case.causes.iter().map(|row| row.value.cause.clone()).collect();
    slugs.extend(values.get("for_cause").parse().ok());
    slugs.into_iter().map(|slug| Choice::new(&slug, context.vocabulary.cause_label(&slug))).collect()
}

/// The mechanisms of the case, each once, and the one that the form holds.
fn own_mechanisms(context: &Context, values: &Values) -> Vec<Choice> {
    let mut slugs: BTreeSet<MechanismSlug> =
        context.case.complications.iter().map(|row| row.value.mechanism.clone()).collect();
    slugs.extend(values.get("for_mechanism").parse().ok());
    slugs.into_iter().map(|slug| Choice::new(&slug, context.vocabulary.mechanism_label(&slug))).collect()
}

impl Part for ActionPart {
    type Value = Action;
    const TITLE: &'static str = "Action";
    const LEAD: &'static str =
        "A change with an owner, a due date and a measure. Prefer what does not rest on memory.";

    fn values(value: &Action) -> Values {
        Values::new()
            .with("what", &value.what)
            .with("owner", &value.owner)
            .with("due", value.due)
            .with("kind", value.kind.map_or_else(|| value.strength.slug(), |kind| kind.slug()))
            .with_opt("for_cause", value.for_cause.as_ref())
            .with_opt("for_mechanism", value.for_mechanism.as_ref())
            .with_opt("measure", value.measure.as_ref())
            .with_opt("target", value.target.as_ref())
            .with("state", value.state)
            .with_opt("done-on", value.done_on)
    }

    fn fields(context: &Context, values: &Values) -> Vec<Field> {
        vec![
            Field::lines("what", "What will be different", 3),
            Field::words("for_cause", "The cause that it answers", "No cause in particular", own_causes(context, values)),
            Field::words(
                "for_mechanism",
                "The mechanism that it is to make rarer",
                "Every mechanism of this case",
                own_mechanisms(context, values),
            )
            .hint("Its rate before and after is compared once the action is in place."),
            Field::new(
                "kind",
                "What sort of change it is",
                Control::Select { empty: Some("Choose"), groups: kinds(), by_typing: true },
            )
            .hint(
                "By the action hierarchy of RCA² (National Patient Safety Foundation, 2015; from memory): stronger changes work without anybody remembering them.",
            ),
            Field::line("owner", "Owner's role", "w-mid").hint("A role, never a name: cath-lab lead nurse."),
            Field::new("due", "Due", Control::Line { kind: "date", width: "w-mid", unit: "" }),
            Field::lines("measure", "Measure", 2)
                .hint("One number and the period over which it is counted: sets opened in a month that hold one.")
                .optional(),
            Field::line("target", "Target", "w-mid").hint("What the number has to come to: 20 of 20.").optional(),
            Field::new("state", "State", Control::Radios(choices!(ActionState))),
            Field::new("done-on", "In place since", Control::Line { kind: "date", width: "w-mid", unit: "" })
                .hint("When it is done: the day from which it was in place. The rates before and after are told apart by its month.")
                .optional(),
        ]
    }

    fn read(values: &Values, _: &Context, _: Option<&Action>) -> Result<Action, Vec<FieldError>> {
        let mut reader = Reader::new(values);
        let what = reader.required("what", "Say what will be different.");
        let owner = reader.required("owner", "Say which role owns it.");
        let due = reader.required("due", "Say when it is due.");
        let sort = read_sort(&mut reader, values);
        let (for_cause, for_mechanism) = (reader.optional("for_cause"), reader.optional("for_mechanism"));
        let (measure, target) = (reader.optional("measure"), reader.optional("target"));
        let state = reader.optional("state").unwrap_or(ActionState::Open);
        let done_on = reader.optional("done-on");
        if done_on.is_some() && state != ActionState::Done {
            reader.mark(
                "done-on",
                "Only an action that is done has such a day. Mark it done, or leave this empty.",
            );
        }
        let value =
            what.zip(owner).zip(due.zip(sort)).map(|((what, owner), (due, (strength, kind)))| Action {
                what,
                owner,
                due,
                strength,
                kind,
                for_cause,
                for_mechanism,
                measure,
                target,
                state,
                done_on,
            });
        reader.finish(value)
    }
}

impl RowPart for ActionPart {
    const LIST: List = List::Action;
    const NOUN: &'static str = "action";
    fn rows(case: &StoredCase) -> &[Row<Action>] {
        &case.actions
    }
    fn rows_mut(case: &mut Case) -> &mut Vec<Action> {
        &mut case.actions
    }
    fn row_value(value: Action) -> RowValue {
        RowValue::Action(value)
    }
}
