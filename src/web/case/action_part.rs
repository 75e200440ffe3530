//! The form of an action.

use super::part::{Context, Part, RowPart};
use crate::case::store::{Part as List, RowValue};
use crate::case::{Action, ActionState, Case, Row, StoredCase, Strength};
use crate::choices;
use crate::web::form::{Choice, Control, Field, FieldError, Reader, Values};

/// An action.
pub(super) struct ActionPart;

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
            .with("strength", value.strength)
            .with_opt("measure", value.measure.as_ref())
            .with("state", value.state)
            .with_opt("done-on", value.done_on)
    }

    fn fields(_: &Context, _: &Values) -> Vec<Field> {
        let strengths = Strength::ALL
            .iter()
            .zip([
                "equipment or place makes the error hard; a forcing function; one standard; leadership takes part",
                "a checklist, redundancy, software, fewer distractions, simulation with refreshers",
                "a double check, a warning, a new policy, training once",
            ])
            .map(|(word, meaning)| Choice::new(word, word.label()).explained(meaning))
            .collect();
        vec![
            Field::lines("what", "What will be different", 3),
            Field::line("owner", "Owner's role", "w-mid").hint("A role, never a name: cath-lab lead nurse."),
            Field::new("due", "Due", Control::Line { kind: "date", width: "w-mid", unit: "" }),
            Field::new("strength", "Strength", Control::Radios(strengths)).hint(
                "The action hierarchy of RCA² (National Patient Safety Foundation, 2015; from memory).",
            ),
            Field::lines("measure", "Measure", 2).hint("One number, a period and a target.").optional(),
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
        let strength = reader.required("strength", "Say how strong it is.");
        let measure = reader.optional("measure");
        let state = reader.optional("state").unwrap_or(ActionState::Open);
        let done_on = reader.optional("done-on");
        if done_on.is_some() && state != ActionState::Done {
            reader.mark(
                "done-on",
                "Only an action that is done has such a day. Mark it done, or leave this empty.",
            );
        }
        let value = what.zip(owner).zip(due.zip(strength)).map(|((what, owner), (due, strength))| Action {
            what,
            owner,
            due,
            strength,
            measure,
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
