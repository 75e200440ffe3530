//! The words of the history: what tables, columns and values are called.

use serde_json::Value;

use crate::case::lab::LabTest;
use crate::case::words::{
    Access, ActionKind, ActionState, Device, DissectionType, EventKind, Extent, Harm, LessonKind,
    PerforationGrade, Presentation, Segment, Sex, Stage, Strength, Urgency, Weight,
};
use crate::history::{RowName, State};
use crate::quantity::Offset;
use crate::vocabulary::Vocabulary;

/// What rows of a table are called.
pub(super) const NOUNS: &[(&str, &str)] = &[
    ("case_records", "Case"),
    ("case_history_terms", "The patient’s history"),
    ("case_accesses", "Access"),
    ("lesions", "Lesion"),
    ("events", "Event"),
    ("complications", "Complication"),
    ("labs", "Laboratory value"),
    ("observations", "Observation"),
    ("observation_answers", "Answer of an observation"),
    ("prompt_remarks", "Response to a prompt"),
    ("decisions", "Decision point"),
    ("decision_options", "Option of a decision point"),
    ("decision_reasons", "Reason for or against an option"),
    ("causes", "Cause"),
    ("cause_events", "Event that shows a cause"),
    ("lessons", "Lesson"),
    ("lesson_versions", "Earlier version of a lesson"),
    ("booklet_left_out", "Lesson left out of the booklet"),
    ("actions", "Action"),
    ("pictures", "Picture"),
    ("action_states", "State of an action"),
    ("deck_screens", "Screen of the presentation"),
    ("dismissed_identifiers", "Words that identify nobody"),
    ("conference_cases", "Place on an agenda"),
    ("action_remarks", "What a meeting said of an action"),
    ("conference_lessons", "Lesson written in a meeting"),
    ("conference_actions", "Action written in a meeting"),
    ("polls", "Question to the room"),
    ("poll_options", "Hands counted in the room"),
];

/// Columns that say nothing to a person: numbers of rows, places in a list, times of writing.
pub(super) const SILENT: &[&str] = &[
    "id",
    "case_id",
    "words_digest",
    "dismissed_at",
    "position",
    "option_position",
    "created_at",
    "updated_at",
    "removed_at",
    "recorded_by",
    "code_year",
    "code_number",
    "withdrawn_at",
    "signed_by_user",
    "recurring_id",
    "conference_id",
    "observation_id",
    "action_id",
    "lesson_id",
    "poll_id",
    "code",
];

/// Columns that name a row of another table: the column, and that table.
const POINTERS: &[(&str, &str)] = &[
    ("began_event", "events"),
    ("recognised_event", "events"),
    ("responded_event", "events"),
    ("controlled_event", "events"),
    ("event_id", "events"),
    ("complication_id", "complications"),
    ("consequence_of", "complications"),
    ("decision_id", "decisions"),
    ("cause_id", "causes"),
];

/// Columns whose name is not what people call them.
const LABELS: &[(&str, &str)] = &[
    ("offset_seconds", "time"),
    ("drawn_seconds", "drawn"),
    ("returned_seconds", "came back"),
    ("within_minutes", "within minutes"),
    ("length_hundredths_mm", "length"),
    ("reference_hundredths_mm", "reference diameter"),
    ("flow", "TIMI flow after it"),
    ("worst_flow", "worst TIMI flow"),
    ("procedure_month", "month"),
    ("patient_age", "age"),
    ("egfr", "eGFR"),
    ("weight_kg", "weight (kg)"),
    ("cto", "CTO"),
    ("medina", "Medina"),
    ("dismissed_by", "said by"),
    ("withdrawn_because", "withdrawn because"),
    ("withdrawn_by", "withdrawn by"),
    ("for_cause", "answers the cause"),
    ("for_mechanism", "to make rarer"),
    ("due_before", "due before"),
    ("due_after", "due since"),
    ("box_minutes", "minutes"),
    ("digest", "pixels"),
    ("confirmed_by", "looked at by"),
    ("confirmed_on", "looked at on"),
    ("rotation", "degrees to the left"),
    ("tilt", "degrees to the head"),
];

pub(super) fn noun(table: &str) -> &str {
    NOUNS.iter().find(|(name, _)| *name == table).map_or(table, |(_, noun)| noun)
}

pub(super) fn label(column: &str) -> String {
    let named = LABELS.iter().find(|(name, _)| *name == column).map(|(_, label)| (*label).to_owned());
    named.unwrap_or_else(|| {
        let plain = column.strip_suffix("_event").unwrap_or(column);
        plain.strip_suffix("_id").unwrap_or(plain).replace('_', " ")
    })
}

/// The key of a row, such as `e3`, or its number.
fn key_of(rows: &State, table: &str, id: &Value) -> String {
    let name = RowName { table: table.to_owned(), key: format!("[{id}]") };
    rows.get(&name)
        .and_then(|row| row.get("key").or_else(|| row.get("cause")))
        .and_then(Value::as_str)
        .map_or_else(|| id.to_string(), ToOwned::to_owned)
}

/// A slug as the trade says it; none when the column holds no slug.
fn word(table: &str, column: &str, slug: &str, vocabulary: &Vocabulary) -> Option<String> {
    macro_rules! label {
        ($list:ty) => {
            slug.parse::<$list>().ok().map(|word| word.label().to_owned())
        };
    }
    match (table, column) {
        (_, "segment") => label!(Segment),
        (_, "mechanism" | "for_mechanism") => slug.parse().ok().map(|slug| vocabulary.mechanism_label(&slug)),
        ("causes", "cause") | (_, "for_cause") => slug.parse().ok().map(|slug| vocabulary.cause_label(&slug)),
        ("case_records", "stage") => label!(Stage),
        ("case_records", "sex") => label!(Sex),
        ("case_records", "presentation") => label!(Presentation),
        ("case_records", "urgency") => label!(Urgency),
        ("case_records", "harm") => label!(Harm),
        ("case_accesses", "access") => label!(Access),
        ("lesions", "calcification" | "tortuosity") => label!(Extent),
        ("events", "kind") => label!(EventKind),
        ("events", "device") => label!(Device),
        ("complications", "dissection") => label!(DissectionType),
        ("complications", "perforation") => label!(PerforationGrade),
        ("labs", "test") => label!(LabTest),
        ("causes", "weight") => label!(Weight),
        ("lessons" | "lesson_versions", "kind") => label!(LessonKind),
        ("actions", "strength") => label!(Strength),
        ("actions", "kind") => label!(ActionKind),
        ("actions" | "action_states", "state") => label!(ActionState),
        _ => None,
    }
}

/// A value as a person reads it; empty for nothing.
pub(super) fn in_words(
    (table, column): (&str, &str),
    value: &Value,
    rows: &State,
    vocabulary: &Vocabulary,
) -> String {
    if let Some(text) = value.as_str() {
        return word(table, column, text, vocabulary).unwrap_or_else(|| text.to_owned());
    }
    if value.is_null() {
        return String::new();
    }
    if let Some((_, table)) = POINTERS.iter().find(|(name, _)| *name == column) {
        return key_of(rows, table, value);
    }
    match (column, value.as_i64()) {
        ("offset_seconds" | "drawn_seconds" | "returned_seconds", Some(seconds)) => {
            Offset::from_seconds(seconds).map_or_else(|_| seconds.to_string(), |at| at.to_string())
        }
        ("length_hundredths_mm" | "reference_hundredths_mm", Some(hundredths)) => {
            format!("{}.{:02} mm", hundredths / 100, hundredths % 100)
        }
        ("cto" | "ostial" | "hidden", Some(number)) => if number == 0 { "no" } else { "yes" }.to_owned(),
        _ => value.to_string(),
    }
}
