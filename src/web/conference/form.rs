//! The form of a new conference, and what the forms of conferences share.

use crate::case::{Day, Title};
use crate::web::form::{Control, Field, FieldError, FormView, Reader, Values};

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
        FormView {
            action: "/conferences".to_owned(),
            cancel: "/conferences".to_owned(),
            save: "Set the conference",
            fields: vec![
                day_field("held_on", "Day", &values)
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

/// What is wrong when a day has a conference already.
pub(super) fn day_is_taken(day: Day) -> FieldError {
    FieldError {
        name: "held_on".to_owned(),
        message: format!("There is a conference on {} already. Choose another day.", day.in_words()),
    }
}

/// A field for a day. A browser empties a date input whose value is no date, and what was typed would be
/// lost, so such a value gets a field of text.
pub(super) fn day_field(name: &'static str, label: &'static str, values: &Values) -> Field {
    let typed = values.get(name);
    let kind = if typed.is_empty() || typed.parse::<Day>().is_ok() { "date" } else { "text" };
    Field::new(name, label, Control::Line { kind, width: "w-mid", unit: "" })
}
