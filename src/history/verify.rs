//! Whether the history is whole, and whether the record is what its history adds up to.

use std::fmt;

use serde_json::Value;
use sqlx::SqliteConnection;

use super::author::Door;
use super::change::{Change, Revision};
use super::digest::{self, Digest};
use super::fold::{self, Row, State};
use super::tracked::TRACKED;
use super::{rows_sqlite, store};

/// How many revisions are read at a time.
const AT_A_TIME: i64 = 500;

/// Something that is not as it was written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Broken {
    /// A revision's number does not follow the one before.
    Missing {
        /// The number that should be there.
        expected: i64,
        /// The one that is; none when the chain ends here.
        found: Option<i64>,
    },
    /// A revision does not continue the one before.
    Unlinked {
        /// Its number.
        revision: i64,
    },
    /// A revision or one of its changes is not what was sealed.
    Altered {
        /// Its number.
        revision: i64,
        /// When it says it was.
        at: String,
    },
    /// Changes that no revision sealed.
    Unsealed {
        /// How many.
        changes: usize,
    },
    /// A row is not what its history adds up to.
    Differs {
        /// The table.
        table: &'static str,
        /// The row's primary key, as a JSON array.
        key: String,
        /// What differs: a field, or that the row is there or is not.
        what: String,
    },
    /// A revision that was written down elsewhere has another digest.
    Another {
        /// Its number.
        revision: i64,
    },
}

impl fmt::Display for Broken {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Missing { expected, found: Some(found) } => {
                write!(f, "history: revision {expected} is missing; {found} comes in its place")
            }
            Self::Missing { expected, found: None } => write!(f, "history: revision {expected} is missing"),
            Self::Unlinked { revision } => {
                write!(f, "history: revision {revision} does not continue the one before it")
            }
            Self::Altered { revision, at } => {
                write!(f, "history: revision {revision} of {at} is not as it was sealed")
            }
            Self::Unsealed { changes: 1 } => f.write_str("history: 1 change was made outside Relook"),
            Self::Unsealed { changes } => write!(f, "history: {changes} changes were made outside Relook"),
            Self::Differs { table, key, what } => write!(f, "{table} {key}: {what}"),
            Self::Another { revision } => {
                write!(f, "history: revision {revision} has another digest than the one you gave")
            }
        }
    }
}

/// What a check of the chain found.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Findings {
    /// How many revisions there are.
    pub revisions: u64,
    /// The last revision's number and digest, to be written down elsewhere.
    pub head: Option<(i64, Digest)>,
    /// Revisions that another program made in the file: in the chain, and to be looked into.
    pub elsewhere: Vec<i64>,
    /// What is wrong, in order; empty when nothing is.
    pub broken: Vec<Broken>,
}

/// Checks a run of revisions with their changes against the end of the run before.
fn check_run(end: &mut (i64, Digest), revisions: &[Revision], changes: &[Change], broken: &mut Vec<Broken>) {
    let mut rest = changes;
    for revision in revisions {
        let (before, previous) = &*end;
        if revision.id != before + 1 {
            broken.push(Broken::Missing { expected: before + 1, found: Some(revision.id) });
        } else if revision.previous != *previous {
            broken.push(Broken::Unlinked { revision: revision.id });
        }
        let from = rest.partition_point(|change| change.revision < revision.id);
        let to = rest.partition_point(|change| change.revision <= revision.id);
        let head = (revision.at.as_str(), &revision.author, revision.note.as_deref());
        let is = digest::of_revision(&revision.previous, revision.id, head, &rest[from..to]);
        if is != revision.digest {
            broken.push(Broken::Altered { revision: revision.id, at: revision.at.clone() });
        }
        rest = &rest[to..];
        *end = (revision.id, revision.digest.clone());
    }
}

/// Checks the whole chain, and that `known`, a revision that was written down elsewhere, is in it.
///
/// # Errors
/// What the database says.
pub async fn chain(
    conn: &mut SqliteConnection,
    known: Option<&(i64, Digest)>,
) -> Result<Findings, sqlx::Error> {
    let mut findings = Findings::default();
    let mut end = (0, Digest::beginning());
    let mut met = false;
    loop {
        let revisions = store::revisions_after(conn, end.0, AT_A_TIME).await?;
        let Some((first, last)) = revisions.first().zip(revisions.last()) else {
            break;
        };
        let changes = store::changes_of(conn, first.id.min(end.0 + 1), last.id).await?;
        check_run(&mut end, &revisions, &changes, &mut findings.broken);
        findings.revisions += revisions.len() as u64;
        let elsewhere = revisions.iter().filter(|revision| revision.author.door == Door::Elsewhere);
        findings.elsewhere.extend(elsewhere.map(|revision| revision.id));
        met |= known.is_some_and(|(id, digest)| {
            revisions.iter().any(|revision| revision.id == *id && revision.digest == *digest)
        });
    }
    let unsealed = store::changes_of(conn, end.0 + 1, i64::MAX).await?.len();
    if unsealed > 0 {
        findings.broken.push(Broken::Unsealed { changes: unsealed });
    }
    if let Some((revision, _)) = known.filter(|_| !met) {
        findings.broken.push(if *revision > end.0 {
            Broken::Missing { expected: *revision, found: None }
        } else {
            Broken::Another { revision: *revision }
        });
    }
    findings.head = (findings.revisions > 0).then_some(end);
    Ok(findings)
}

/// Compares every row of the record with what its history adds up to.
///
/// # Errors
/// What the database says.
pub async fn record(conn: &mut SqliteConnection) -> Result<Vec<Broken>, sqlx::Error> {
    let mut broken = Vec::new();
    for tracked in TRACKED {
        let mut told = State::new();
        for change in store::changes_of_table(conn, tracked.table).await? {
            fold::apply(&mut told, &change);
        }
        let mut told: std::collections::BTreeMap<String, Row> =
            told.into_iter().map(|(name, row)| (name.key, row)).collect();
        let differs = |key: String, what: String| Broken::Differs { table: tracked.table, key, what };
        for (key, row) in rows_sqlite::rows(conn, tracked).await? {
            match told.remove(&key) {
                None => broken.push(differs(key, "is there, and no history says so".to_owned())),
                Some(known) => {
                    if let Some(field) = different(&known, &row) {
                        broken.push(differs(key, format!("{field} is not what the history says")));
                    }
                }
            }
        }
        broken.extend(told.into_keys().map(|key| differs(key, "is gone, and no history says so".to_owned())));
    }
    Ok(broken)
}

/// The first field of a row that is not what is known of it. A field that no history names was always empty.
fn different<'a>(known: &Row, row: &'a Row) -> Option<&'a str> {
    let known = |field: &String| known.get(field).unwrap_or(&Value::Null);
    row.iter().find(|(field, value)| known(field) != *value).map(|(field, _)| field.as_str())
}
