//! The forms of conferences: a new one, and a case for an agenda.

use crate::case::list::Listed;
use crate::case::{CaseCode, Day, Title};
use crate::conference::Conference;
use crate::web::form::{Choice, ChoiceGroup, Control, Field, FieldError, FormView, Reader, Values};

/// A conference as it was typed.
pub(super) struct ConferenceForm {
    pub(super) held_on: Day,
    pub(super) title: Title,
}

impl ConferenceForm {
    pub(super) fn read(values: &Values) -> Result<Self, Vec<FieldError>> {
        let mut reader = Reader::new(values);
        let held_on = reader.required::<Day>("held_on", "Give the day of the conference.");
        let title = reader.required::<Title>("title", "Give the conference a name.");
        let typed = held_on.zip(title).map(|(held_on, title)| Self { held_on, title });
        reader.finish(typed)
    }

    /// What the form holds before anything is typed.
    pub(super) fn blank() -> Values {
        Values::new().with("title", "Complication conference")
    }

    pub(super) fn view(values: Values, errors: Vec<FieldError>) -> FormView {
        // A browser empties a date input whose value is no date, and what was typed would be lost.
        let held_on = values.get("held_on");
        let kind = if held_on.is_empty() || held_on.parse::<Day>().is_ok() { "date" } else { "text" };
        FormView {
            action: "/conferences".to_owned(),
            cancel: "/conferences".to_owned(),
            save: "Set the conference",
            fields: vec![
                Field::new("held_on", "Day", Control::Line { kind, width: "w-mid", unit: "" })
                    .hint("Year, month and day, such as 2026-06-30. One conference a day."),
                Field::line("title", "Name", "").hint("What the department calls it. No names of people."),
            ],
            values,
            errors,
            base: String::new(),
            take_out: None,
        }
    }
}

/// Reads which case goes on an agenda: chosen from the list, or by its code.
pub(super) fn read_case(values: &Values) -> Result<CaseCode, Vec<FieldError>> {
    let mut reader = Reader::new(values);
    let (chosen, typed) = (reader.optional::<CaseCode>("case"), reader.optional::<CaseCode>("code"));
    let empty = values.get("case").trim().is_empty() && values.get("code").trim().is_empty();
    if empty {
        reader.mark("case", "Choose a case, or write its code below.");
    }
    if let (Some(chosen), Some(typed)) = (chosen, typed)
        && chosen != typed
    {
        reader.mark("code", format!("Two cases are given: {chosen} above and {typed} here. Leave one."));
    }
    reader.finish(chosen.or(typed))
}

/// The form for a case on an agenda. `waiting` are the cases that are being prepared or are ready,
/// without those that are on it.
pub(super) fn case_view(
    conference: &Conference,
    waiting: &[Listed],
    values: Values,
    errors: Vec<FieldError>,
) -> FormView {
    let path = super::path_of(conference.id);
    let choices = waiting
        .iter()
        .map(|case| {
            Choice::new(case.code, format!("{} · {} · {}", case.code, case.title, case.stage.label()))
        })
        .collect();
    let groups = vec![ChoiceGroup { label: String::new(), choices }];
    let (empty, hint) = if waiting.is_empty() {
        ("no case waits", "No other case is in preparation or ready.")
    } else {
        ("choose a case", "Cases in preparation or ready, the last changed first.")
    };
    FormView {
        action: format!("{path}/cases"),
        cancel: path,
        save: "Put it on the agenda",
        fields: vec![
            Field::new("case", "Case", Control::Select { empty: Some(empty), groups, by_typing: true })
                .hint(hint),
            Field::line("code", "Or its code", "w-short")
                .optional()
                .hint("Any case by its code, such as 2026-014."),
        ],
        values,
        errors,
        base: String::new(),
        take_out: None,
    }
}
