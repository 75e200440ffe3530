//! A case file, TOML or JSON, to a case: everything that is wrong with it, or the case.

mod rows;

use std::path::Path;

use super::FileProblem;
use super::field::{Fields, Reading, Rows};
use super::nearest::hint;
use super::source::{Problems, Source};
use super::tree::{Node, Value};
use super::value::FormatNumber;
use super::{from_json, from_toml};
use crate::case::{self, Case, Format, Key, Place, Stage};
use crate::vocabulary::Vocabulary;

/// The language that a case file is written in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Language {
    /// For people.
    Toml,
    /// For programs.
    Json,
}

impl Language {
    /// The language of a file: by the end of its name, or else by how it begins.
    #[must_use]
    pub fn of(name: &Path, bytes: &[u8]) -> Self {
        let end = name.extension().map(|end| end.to_string_lossy().to_lowercase());
        let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
        match end.as_deref() {
            Some("json") => Self::Json,
            Some("toml") => Self::Toml,
            _ if bytes.trim_ascii_start().starts_with(b"{") => Self::Json,
            _ => Self::Toml,
        }
    }
}

/// Reads a case file against the department's trees.
///
/// # Errors
/// Everything that is wrong with it, in the order of the file; never nothing.
pub fn read(bytes: &[u8], language: Language, vocabulary: &Vocabulary) -> Result<Case, Vec<FileProblem>> {
    let source = Source::read(bytes).map_err(|problem| vec![problem])?;
    let mut problems = Problems::default();
    let root = match language {
        Language::Toml => from_toml::read(&source, &mut problems),
        Language::Json => from_json::read(&source, &mut problems),
    };
    let mut in_values = Problems::default();
    let found = of_tree(&root, language, problems.is_broken(), &mut in_values);
    if let (Some(found), false) = (&found, problems.is_broken()) {
        found.check(&root, vocabulary, &mut in_values);
    }
    problems.add_understood(in_values, &source);
    match found {
        Some(found) if problems.is_empty() => Ok(found.case),
        _ if problems.is_empty() => {
            // No part of the reader leaves a case out without saying why; if one did, say so.
            problems.add(0, "", "This file holds no case that can be read.");
            Err(problems.told(&source))
        }
        _ => Err(problems.told(&source)),
    }
}

/// A case as far as it could be read, with the place of its rows in the file.
struct Found {
    case: Case,
    rows: Places,
    events_lost: Lost,
    complications_lost: Lost,
    decisions_lost: Lost,
}

#[derive(Default)]
struct Places {
    lesions: Vec<usize>,
    events: Vec<usize>,
    complications: Vec<usize>,
    labs: Vec<usize>,
    observations: Vec<usize>,
    prompts: Vec<usize>,
    decisions: Vec<usize>,
    causes: Vec<usize>,
    lessons: Vec<usize>,
    actions: Vec<usize>,
}

/// The keys of rows that could not be read: what points to one of them is not told as pointing nowhere.
#[derive(Default)]
struct Lost {
    keys: Vec<Key>,
    /// Rows without a key that can be read; then nothing is known of what points where.
    any: bool,
}

fn split<T>(rows: Rows<T>, places: &mut Vec<usize>) -> (Vec<T>, Lost) {
    let (indices, values) = rows.rows.into_iter().unzip();
    *places = indices;
    (values, Lost { keys: rows.lost_keys, any: rows.lost_without_key })
}

/// Reads the tree field by field. None when too little could be read to look at the rest.
fn of_tree(root: &Node, language: Language, patchy: bool, problems: &mut Problems) -> Option<Found> {
    let Value::Table(entries) = &root.value else {
        return None;
    };
    let mut reading = Reading {
        problems,
        patchy,
        rows_written: match language {
            Language::Toml => {
                |key| format!("Each of the {key} begins with a heading in two brackets: [[{key}]].")
            }
            Language::Json => {
                |key| format!("Write “{key}” as a list in brackets, each item an object in braces.")
            }
        },
    };
    let mut fields = Fields::of_case(&mut reading, entries, root.at);
    let format: Option<FormatNumber> = fields.need("format");
    let Some(FormatNumber(other)) = format.filter(|number| number.0 != 1) else {
        return of_fields(&mut fields);
    };
    // Another format has other keys: to go on would only tell of those.
    let at = root.get("format").map_or(0, |node| node.at);
    let message = format!("This file is written in format {other}. This program reads format 1.");
    reading.problems.add(at, "format", message);
    None
}

/// Reads every key of a case but its format.
fn of_fields(fields: &mut Fields) -> Option<Found> {
    let mut places = Places::default();
    let (code, title, month) = (fields.may("code"), fields.need("title"), fields.need("month"));
    let stage: Option<Stage> = fields.need("stage");
    let (time_zero, situation) = (fields.may("time_zero"), fields.may("situation"));
    let narrative = fields.may("narrative");
    let patient = fields.part("patient", "the patient", rows::patient);
    let procedure = fields.part("procedure", "the procedure", rows::procedure);
    let (lesions, _) = split(fields.rows("lesions", "a lesion", rows::lesion), &mut places.lesions);
    let (events, events_lost) = split(fields.rows("events", "an event", rows::event), &mut places.events);
    let (complications, complications_lost) =
        split(fields.rows("complications", "a complication", rows::complication), &mut places.complications);
    let (labs, _) = split(fields.rows("labs", "a laboratory value", rows::lab), &mut places.labs);
    let (observations, _) =
        split(fields.rows("observations", "an observation", rows::observation), &mut places.observations);
    let (prompts, _) =
        split(fields.rows("prompts", "a remark on a prompt", rows::prompt), &mut places.prompts);
    let (decisions, decisions_lost) =
        split(fields.rows("decisions", "a decision point", rows::decision), &mut places.decisions);
    let (causes, _) = split(fields.rows("causes", "a cause", rows::cause), &mut places.causes);
    let (lessons, _) = split(fields.rows("lessons", "a lesson", rows::lesson), &mut places.lessons);
    let (actions, _) = split(fields.rows("actions", "an action", rows::action), &mut places.actions);
    let outcome = fields.part("outcome", "the outcome", rows::outcome);
    fields.refuse_unknown();
    let case = Case {
        format: Format,
        code,
        // Where one of these is missing or wrong that has been told; the stand-in lets the rest be looked at.
        title: title.or_else(|| "-".parse().ok())?,
        month: month.or_else(|| case::Month::new(2000, 1).ok())?,
        stage: stage.unwrap_or(Stage::Recorded),
        time_zero,
        situation,
        narrative,
        patient,
        procedure,
        lesions,
        events,
        complications,
        labs,
        observations,
        prompts,
        decisions,
        causes,
        lessons,
        actions,
        pictures: Vec::new(),
        outcome,
    };
    Some(Found { case, rows: places, events_lost, complications_lost, decisions_lost })
}

impl Found {
    /// Looks at what must hold across the parts, and ties each problem to its place in the file.
    fn check(&self, root: &Node, vocabulary: &Vocabulary, problems: &mut Problems) {
        let found = case::check(&self.case, vocabulary);
        for (number, problem) in found.iter().enumerate() {
            let place = problem.place;
            let (row, path) = self.row(root, place);
            if place.field == "signed_by" && row.get("signed_by").is_some() && row.get("signed_on").is_some()
            {
                // Both are there and one could not be read: that has been told.
                continue;
            }
            let node = row.get(place.field).unwrap_or(row);
            let path = if place.field.is_empty() { path } else { join(&path, place.field) };
            let Some((keys, lost)) = self.pointed_at(place.field) else {
                problems.add(node.at, path, &problem.message);
                continue;
            };
            // A list of keys has one problem for each that points nowhere, in their order.
            let earlier = found.iter().take(number).filter(|other| other.place == place).count();
            let astray = |text: &str| !keys.iter().any(|key| key.as_str() == text.trim());
            let items = node.items().iter().enumerate();
            let item = items.filter(|(_, item)| item.text().is_some_and(astray)).nth(earlier);
            let (node, path) =
                item.map_or((node, path.clone()), |(index, item)| (item, format!("{path}[{index}]")));
            match node.text() {
                Some(text) if astray(text) => {
                    if !lost.any && !lost.keys.iter().any(|key| key.as_str() == text.trim()) {
                        let near = hint(text, keys.iter().map(|key| key.as_str()));
                        problems.add(node.at, path, format!("{}{near}", problem.message));
                    }
                }
                _ => problems.add(node.at, path, &problem.message),
            }
        }
    }

    /// The row of a place and its path; the case itself when the place is in no list.
    fn row<'n>(&self, root: &'n Node, place: Place) -> (&'n Node, String) {
        let places = match place.list {
            "lesions" => &self.rows.lesions,
            "events" => &self.rows.events,
            "complications" => &self.rows.complications,
            "labs" => &self.rows.labs,
            "observations" => &self.rows.observations,
            "prompts" => &self.rows.prompts,
            "decisions" => &self.rows.decisions,
            "causes" => &self.rows.causes,
            "lessons" => &self.rows.lessons,
            "actions" => &self.rows.actions,
            "" => return (root, String::new()),
            part => return (root.get(part).unwrap_or(root), part.to_owned()),
        };
        let index = places.get(place.index).copied().unwrap_or(place.index);
        let row = root.get(place.list).and_then(|list| list.items().get(index));
        (row.unwrap_or(root), format!("{}[{index}]", place.list))
    }

    /// The keys that a field may point to, when it is one that points.
    fn pointed_at(&self, field: &str) -> Option<(Vec<&Key>, &Lost)> {
        match field {
            "began" | "recognised" | "responded" | "controlled" | "shown_by" | "event" | "done_at" => {
                Some((self.case.events.iter().map(|event| &event.key).collect(), &self.events_lost))
            }
            "consequence_of" | "complication" => {
                Some((self.case.complications.iter().map(|c| &c.key).collect(), &self.complications_lost))
            }
            "decision" => {
                Some((self.case.decisions.iter().map(|row| &row.key).collect(), &self.decisions_lost))
            }
            _ => None,
        }
    }
}

fn join(path: &str, field: &str) -> String {
    if path.is_empty() { field.to_owned() } else { format!("{path}.{field}") }
}
