//! Everything as open files: what leaves of each table, and the page that says what each file is.
//!
//! A table leaves only when it is named here. One that nobody has thought about stays, and a test fails
//! until somebody has.

use serde_json::{Map, Value};

use super::csv::{Cell, csv_file};
use crate::database::tables_sqlite::Rows;

/// What leaves of a table.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Leaves {
    /// All of it; what it is, in words.
    Whole(&'static str),
    /// These columns; what they are, in words, and what stays.
    Columns(&'static [&'static str], &'static str),
    /// Nothing, for this reason.
    Nothing(&'static str),
}

use Leaves::{Columns, Nothing, Whole};

const OF_A_CASE: &str = "Part of a case, row by row, with the rows that were taken out (removed_at).";
const JUDGED: &str = "Closed: what a reviewer judged is shown to who has judged as well, and never leaves for anybody else. It is in every backup.";
const HISTORY: &str = "Holds closed judgements among the rest. The history of a case is on its page; all of it is in every backup.";
const SECRET: &str = "Opens an account. It leaves in no form.";
const INDEX: &str = "An index that the program makes anew from the record.";

/// Every table of the record, and what leaves of it.
pub const TABLES: &[(&str, Leaves)] = &[
    (
        "users",
        Columns(
            &["id", "name", "role", "created_at", "ended_at"],
            "Accounts: names and roles. What opens an account stays.",
        ),
    ),
    ("sessions", Nothing(SECRET)),
    ("sign_in_links", Nothing(SECRET)),
    ("sign_in_steps", Nothing(SECRET)),
    ("second_factors", Nothing(SECRET)),
    ("recovery_codes", Nothing(SECRET)),
    ("strata", Whole("Kinds of procedures at risk.")),
    ("mechanism_branches", Whole("Branches of the mechanism tree.")),
    ("mechanisms", Whole("Leaves of the mechanism tree, the department’s own too.")),
    ("cause_branches", Whole("Branches of the tree of causes.")),
    ("cause_leaves", Whole("Leaves of the tree of causes, the department’s own too.")),
    ("case_records", Whole("The head of each case, of withdrawn ones too, with the reason.")),
    ("purged_cases", Whole("The codes of cases that were purged.")),
    ("case_history_terms", Whole(OF_A_CASE)),
    ("case_accesses", Whole(OF_A_CASE)),
    ("lesions", Whole(OF_A_CASE)),
    ("events", Whole(OF_A_CASE)),
    ("complications", Whole(OF_A_CASE)),
    ("causes", Whole(OF_A_CASE)),
    ("cause_events", Whole(OF_A_CASE)),
    ("lessons", Whole("Lessons, with who signed them and when.")),
    ("lesson_versions", Whole("Earlier signed versions of lessons.")),
    ("booklet_left_out", Whole("Signed lessons that somebody left out of the booklet of their year.")),
    ("recurring_lessons", Whole("Lessons that recur, which the lessons of cases point to.")),
    ("actions", Whole("Actions, with owner, due day, strength and measure.")),
    ("action_states", Whole("What became of each action, step by step.")),
    ("action_remarks", Whole("What a meeting said of an open action.")),
    ("labs", Whole(OF_A_CASE)),
    ("observations", Whole(OF_A_CASE)),
    ("observation_answers", Whole(OF_A_CASE)),
    ("prompt_remarks", Whole(OF_A_CASE)),
    (
        "pictures",
        Whole("What is said of the pictures of cases. The pictures are PNG files beside the cases."),
    ),
    ("picture_bytes", Nothing("Pixels. They leave as PNG files, a picture each.")),
    ("decisions", Whole(OF_A_CASE)),
    ("decision_options", Whole(OF_A_CASE)),
    ("decision_reasons", Whole(OF_A_CASE)),
    ("option_judgements", Nothing(JUDGED)),
    ("case_judgements", Nothing(JUDGED)),
    ("deck_screens", Whole("What a presenter wrote beside the screens of a case, and which are hidden.")),
    ("walks", Nothing("Which cases somebody walked through: it is theirs alone. It is in every backup.")),
    (
        "walk_answers",
        Nothing("What somebody answered in practice: it is theirs alone. It is in every backup."),
    ),
    ("procedures_at_risk", Whole("Procedures at risk by month and kind: what the rates are divided by.")),
    ("kept_counts", Whole("Cases by month, subject and feature: what the rates are made of.")),
    ("baselines", Whole("Stretches of months that a chart is judged by, with who set them and why.")),
    ("operators", Whole("Operators by pseudonym. Whose pseudonym it is stands nowhere in the record.")),
    ("operator_procedures", Whole("Procedures by month and pseudonym.")),
    ("case_operators", Whole("The pseudonym of a case’s operator.")),
    ("conferences", Whole("Conferences, with their notes.")),
    ("conference_cases", Whole("Agendas.")),
    ("conference_attendance", Whole("How many of each profession came.")),
    ("conference_lessons", Whole("Which lessons a meeting agreed on.")),
    ("conference_actions", Whole("Which actions a meeting agreed on.")),
    (
        "polls",
        Columns(
            &["id", "case_id", "decision_key", "phase", "question", "opened_at", "closed_at"],
            "Questions put to the room. The code that phones open stays.",
        ),
    ),
    ("poll_options", Whole("The options of a question, with the hands that were counted.")),
    (
        "poll_votes",
        Columns(&["poll_id", "position"], "A row for each vote by phone. Which phone it was stays."),
    ),
    ("prompt_lists", Whole("The department’s own lists of response prompts.")),
    ("settings", Whole("What the department has set.")),
    ("case_traits", Nothing("Read off each case by the program, and read again after an import.")),
    ("complication_times", Nothing("Worked out from each case by the program, and again after an import.")),
    ("case_findings", Nothing("Read off each case by the program, and read again after an import.")),
    ("case_findings_read", Nothing("Says with which finders a case was last looked through.")),
    (
        "dismissed_identifiers",
        Whole(
            "Words of a case that look like an identifier and are none: the reason, and a digest in place of the words.",
        ),
    ),
    (
        "own_words",
        Nothing("Digests of the department’s own names. They are shown nowhere and leave in no form."),
    ),
    ("own_words_salt", Nothing("What makes those digests the department’s own.")),
    ("case_search", Nothing(INDEX)),
    ("lesson_search", Nothing(INDEX)),
    ("rates_version", Nothing("A counter by which the program knows that its rates are stale.")),
    ("history_revisions", Nothing(HISTORY)),
    ("history_changes", Nothing(HISTORY)),
    ("drafts", Nothing("What somebody typed and has not saved: it is theirs alone. It is in every backup.")),
    (
        "slides_template",
        Nothing("How slides look. The page of settings gives it back as a file; it is in every backup."),
    ),
    ("_sqlx_migrations", Nothing("Which steps of the schema this database has taken.")),
];

/// A table as CSV, for people and spreadsheets.
#[must_use]
pub fn as_csv(table: &Rows) -> String {
    let cell = |value: &Value| match value {
        Value::Null => Cell::Empty,
        Value::String(text) => Cell::text(text.clone()),
        Value::Number(number) => number.as_u64().map_or_else(|| Cell::maybe(number.as_f64()), Cell::Whole),
        other => Cell::text(other.to_string()),
    };
    let rows: Vec<Vec<Cell>> = table.rows.iter().map(|row| row.iter().map(cell).collect()).collect();
    csv_file(&table.columns, &rows)
}

/// A table as JSON, exact: an array of objects.
#[must_use]
pub fn as_json(table: &Rows) -> String {
    let objects = table.rows.iter().map(|row| {
        let fields = table.columns.iter().cloned().zip(row.iter().cloned());
        Value::Object(fields.collect::<Map<_, _>>())
    });
    format!("{:#}\n", Value::Array(objects.collect()))
}

/// What an export holds, for its first page.
#[derive(Debug, Clone, Copy)]
pub struct Told<'a> {
    /// The day on which it was made.
    pub day: &'a str,
    /// How many cases it holds.
    pub cases: usize,
    /// How many conferences it holds.
    pub conferences: usize,
    /// The tables of the database.
    pub tables: &'a [String],
}

/// The first page: `README.md`.
#[must_use]
pub fn index(told: &Told<'_>) -> String {
    let Told { day, cases, conferences, tables } = told;
    let mut page = format!(
        "# The record of a department, as open files\n\n\
         Written by Relook on {day}: {cases} cases, {conferences} conferences, of one moment.\n\n\
         For peer review and teaching; not for the care of an individual patient. Local law on peer-review \
         protection decides who may have these files.\n\n\
         | file | what it is |\n|---|---|\n\
         | `cases/CODE.json` | a case, for programs; its form is `cases/case.schema.json` (JSON Schema) |\n\
         | `cases/CODE.toml` | the same case, for people; `relook import` reads either |\n\
         | `cases/CODE-summary.md` | its teaching summary (Markdown) |\n\
         | `cases/CODE-picture-N.png` | a picture of it; N is its id in `tables/pictures` |\n\
         | `conferences/DAY-N-minutes.md` | the minutes of a conference (Markdown) |\n\
         | `rates.csv` | the rates of the usual period, with their limits |\n\
         | `procedures-at-risk.csv` | the table that `relook import --at-risk` reads |\n\
         | `tables/NAME.json` | a table of the record, exact |\n\
         | `tables/NAME.csv` | the same for a spreadsheet; an apostrophe stands before a text that a spreadsheet would run as a formula |\n\n\
         A file of a case holds what its page shows. What was taken out of a case is in the tables, with the time \
         at which it was taken out.\n\n## The tables\n\n| table | what it is |\n|---|---|\n"
    );
    let known = |name: &String| TABLES.iter().find(|(table, _)| table == name).map(|(_, leaves)| *leaves);
    for name in *tables {
        if let Some(Whole(about) | Columns(_, about)) = known(name) {
            page.push_str(&format!("| `{name}` | {about} |\n"));
        }
    }
    page.push_str("\n## What stays, and why\n\n| table | why |\n|---|---|\n");
    for name in *tables {
        let why = match known(name) {
            Some(Nothing(why)) => why,
            Some(_) => continue,
            None => "Nobody has decided yet that it may leave.",
        };
        page.push_str(&format!("| `{name}` | {why} |\n"));
    }
    page
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    #[test]
    fn a_table_leaves_exactly_and_safely() {
        let table = Rows {
            columns: vec!["id".to_owned(), "text".to_owned()],
            rows: vec![vec![json!(1), json!("=1+1, \"x\"")], vec![json!(-2), Value::Null]],
        };
        assert_eq!(as_csv(&table), "id,text\r\n1,\"'=1+1, \"\"x\"\"\"\r\n-2,\r\n");
        let read: Value = serde_json::from_str(&as_json(&table)).unwrap();
        assert_eq!(read, json!([{"id": 1, "text": "=1+1, \"x\""}, {"id": -2, "text": null}]));
    }

    #[test]
    fn the_first_page_tells_of_each_table_once() {
        let tables: Vec<String> =
            ["users", "sessions", "case_judgements", "brand_new"].map(str::to_owned).to_vec();
        let page = index(&Told { day: "2026-11-29", cases: 2, conferences: 1, tables: &tables });
        for table in &tables {
            assert_eq!(page.matches(&format!("| `{table}` |")).count(), 1, "{table}");
        }
        let stays = page.split("## What stays").nth(1).unwrap();
        for table in ["sessions", "case_judgements", "brand_new"] {
            assert!(stays.contains(&format!("`{table}`")), "{table}");
        }
    }
}
