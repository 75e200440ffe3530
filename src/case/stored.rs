//! A case as the database holds it: each row with its id, and a fingerprint to tell a stale edit.

use serde::Serialize;
use sha2::{Digest, Sha256};

use super::code::CaseCode;
use super::decision::Decision;
use super::identifier::{OpenIdentifier, open};
use super::lab::Lab;
use super::observation::Observation;
use super::picture::Picture;
use super::record::{Action, Case, Cause, Complication, Event, Format, Head, Lesion, Lesson};
use super::remark::PromptRemark;
use crate::deidentify::OwnWords;

/// A row of one of a case's lists, with its place in the database.
#[derive(Debug, Clone, PartialEq)]
pub struct Row<T> {
    /// Its id.
    pub id: i64,
    /// What it says.
    pub value: T,
}

/// A case with the ids of its rows.
#[derive(Debug, Clone)]
pub struct StoredCase {
    /// Its id.
    pub id: i64,
    /// Its code.
    pub code: CaseCode,
    /// The account that recorded it, when it was not imported.
    pub recorded_by: Option<i64>,
    /// When it was last changed.
    pub updated_at: jiff::Timestamp,
    /// All that is not a list.
    pub head: Head,
    /// Lesions in the order they were entered.
    pub lesions: Vec<Row<Lesion>>,
    /// Events by time.
    pub events: Vec<Row<Event>>,
    /// Complications in the order they were entered.
    pub complications: Vec<Row<Complication>>,
    /// Laboratory values by the time they were drawn.
    pub labs: Vec<Row<Lab>>,
    /// What was observed, in the order it was entered.
    pub observations: Vec<Row<Observation>>,
    /// What a person said about response prompts.
    pub prompts: Vec<Row<PromptRemark>>,
    /// Decision points by time.
    pub decisions: Vec<Row<Decision>>,
    /// Causes.
    pub causes: Vec<Row<Cause>>,
    /// Lessons.
    pub lessons: Vec<Row<Lesson>>,
    /// Actions.
    pub actions: Vec<Row<Action>>,
    /// Pictures in the order of their events.
    pub pictures: Vec<Row<Picture>>,
    /// Words that surely look like an identifier and that nobody has settled. While there are any, the case
    /// is held back.
    pub identifiers: Vec<OpenIdentifier>,
}

fn values<T: Clone>(rows: &[Row<T>]) -> Vec<T> {
    rows.iter().map(|row| row.value.clone()).collect()
}

fn numbered<T>(values: Vec<T>) -> Vec<Row<T>> {
    (1..).zip(values).map(|(id, value)| Row { id, value }).collect()
}

impl StoredCase {
    /// A case that is in no database, read as if it were: its rows numbered from 1 in each list.
    #[must_use]
    pub fn of_file(case: Case, code: CaseCode) -> Self {
        let mut stored = Self {
            id: 0,
            code,
            recorded_by: None,
            updated_at: jiff::Timestamp::UNIX_EPOCH,
            head: case.head(),
            lesions: numbered(case.lesions),
            events: numbered(case.events),
            complications: numbered(case.complications),
            labs: numbered(case.labs),
            observations: numbered(case.observations),
            prompts: numbered(case.prompts),
            decisions: numbered(case.decisions),
            causes: numbered(case.causes),
            lessons: numbered(case.lessons),
            actions: numbered(case.actions),
            pictures: numbered(case.pictures),
            identifiers: Vec::new(),
        };
        stored.identifiers = open(&stored, &OwnWords::default(), &[]);
        stored
    }

    /// Whether it is held back: it may hold identifiers.
    #[must_use]
    pub fn is_held(&self) -> bool {
        !self.identifiers.is_empty()
    }

    /// The case as a file holds it.
    #[must_use]
    pub fn to_case(&self) -> Case {
        let head = self.head.clone();
        Case {
            format: Format,
            code: Some(self.code),
            title: head.title,
            month: head.month,
            stage: head.stage,
            time_zero: head.time_zero,
            situation: head.situation,
            narrative: head.narrative,
            patient: head.patient,
            procedure: head.procedure,
            lesions: values(&self.lesions),
            events: values(&self.events),
            complications: values(&self.complications),
            labs: values(&self.labs),
            observations: values(&self.observations),
            prompts: values(&self.prompts),
            decisions: values(&self.decisions),
            causes: values(&self.causes),
            lessons: values(&self.lessons),
            actions: values(&self.actions),
            pictures: values(&self.pictures),
            outcome: head.outcome,
        }
    }
}

/// A digest of what a form showed when it was opened. A save that carries another fingerprint
/// than the record has now is stale: somebody saved meanwhile.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fingerprint(String);

impl Fingerprint {
    /// The fingerprint of a part of the record.
    ///
    /// The types that are hashed serialise without failing; a failure would give the fingerprint
    /// of nothing, which matches no form and so shows the stale page rather than losing a save.
    #[must_use]
    pub fn of(part: &impl Serialize) -> Self {
        let text = serde_json::to_string(part).unwrap_or_default();
        let digest = Sha256::digest(text.as_bytes());
        Self(digest.iter().take(12).map(|byte| format!("{byte:02x}")).collect())
    }

    /// The fingerprint as a form carries it.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }

    /// Whether a form's fingerprint is this one.
    #[must_use]
    pub fn matches(&self, given: &str) -> bool {
        self.0 == given
    }
}
