//! When a copy counts as verified. Pure: what was found goes in, the verdict comes out.

use std::fmt;

use serde::{Deserialize, Serialize};

use crate::database::whole_sqlite::{Look, Rows};

/// What is known of a verified file.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Proof {
    /// The last step of its schema.
    pub step: i64,
    /// How many tables it has.
    pub tables: usize,
    /// How many rows they hold together.
    pub rows: u64,
    /// How many bytes the database has, before any sealing.
    pub bytes: u64,
    /// The SHA-256 of these bytes, in hexadecimal digits.
    pub sha256: String,
}

impl fmt::Display for Proof {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(
            f,
            "{} rows in {} tables, schema step {}, {} bytes, SHA-256 {}",
            self.rows, self.tables, self.step, self.bytes, self.sha256
        )
    }
}

/// Why a file is not a sound copy of a record.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Fault {
    /// SQLite's integrity check complains.
    Damaged(String),
    /// Rows name rows that are not there.
    BrokenReferences(u64),
    /// It is no record of ours.
    NoRecord,
    /// It has a step that this program does not know.
    Newer(i64),
    /// A step in the middle is missing.
    StepMissing(i64),
    /// A table holds another number of rows than the database it was copied from.
    OtherRows {
        /// The table.
        table: String,
        /// Rows in the database.
        source: u64,
        /// Rows in the copy.
        copy: u64,
    },
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Damaged(why) => write!(f, "it is damaged ({why})"),
            Self::BrokenReferences(1) => f.write_str("one row names a row that is not there"),
            Self::BrokenReferences(many) => write!(f, "{many} rows name rows that are not there"),
            Self::NoRecord => f.write_str("it is not a database of Relook"),
            Self::Newer(step) => write!(
                f,
                "a newer Relook wrote it (it has step {step}, which this one does not know); use that one"
            ),
            Self::StepMissing(step) => write!(f, "step {step} of its schema is missing"),
            Self::OtherRows { table, source, copy } => {
                write!(f, "{table} has {copy} rows where the database has {source}")
            }
        }
    }
}

/// Everything that is wrong with a file; at least one thing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Faults(pub Vec<Fault>);

impl fmt::Display for Faults {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for (place, fault) in self.0.iter().enumerate() {
            let join = if place == 0 { "" } else { "; " };
            write!(f, "{join}{fault}")?;
        }
        f.write_str(".")
    }
}

/// What a database was when a copy of it began: the copy has to be the same.
pub type Expected<'a> = Option<&'a Rows>;

/// The last step of a sound file, or what is wrong with it.
///
/// Sound is: SQLite's integrity check finds nothing, no row names a missing row, the steps of the schema
/// are those of this program without a gap up to the file's last, and, where the source is known, each
/// table holds as many rows as it did at the moment of the copy.
///
/// # Errors
/// [`Faults`], all of them.
pub fn judge(look: &Look, expected: Expected<'_>, known: &[i64]) -> Result<i64, Faults> {
    if !look.complaints.is_empty() {
        return Err(Faults(look.complaints.iter().cloned().map(Fault::Damaged).collect()));
    }
    let mut faults = Vec::new();
    if look.broken_references > 0 {
        faults.push(Fault::BrokenReferences(look.broken_references));
    }
    let last = look.steps.last().copied();
    match last {
        None => faults.push(Fault::NoRecord),
        Some(last) => {
            let newer =
                look.steps.iter().filter(|step| !known.contains(step)).map(|step| Fault::Newer(*step));
            let missing = known.iter().filter(|step| **step < last && !look.steps.contains(step));
            faults.extend(newer.chain(missing.map(|step| Fault::StepMissing(*step))));
        }
    }
    if let Some(expected) = expected {
        faults.extend(other_rows(expected, &look.rows));
    }
    match (faults.is_empty(), last) {
        (true, Some(last)) => Ok(last),
        _ => Err(Faults(faults)),
    }
}

fn other_rows<'a>(source: &'a Rows, copy: &'a Rows) -> impl Iterator<Item = Fault> + 'a {
    let tables: std::collections::BTreeSet<&String> = source.keys().chain(copy.keys()).collect();
    tables.into_iter().filter_map(move |table| {
        let rows = |of: &Rows| of.get(table).copied().unwrap_or(0);
        let differs = rows(source) != rows(copy) || source.contains_key(table) != copy.contains_key(table);
        differs.then(|| Fault::OtherRows { table: table.clone(), source: rows(source), copy: rows(copy) })
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sound() -> Look {
        Look { steps: vec![1, 2], rows: [("cases".to_owned(), 3)].into(), ..Look::default() }
    }

    fn faults(look: &Look) -> Vec<Fault> {
        judge(look, Some(&sound().rows), &[1, 2, 3]).unwrap_err().0
    }

    #[test]
    fn a_sound_copy_is_known_by_its_last_step_also_when_it_is_an_older_one() {
        assert_eq!(judge(&sound(), Some(&sound().rows), &[1, 2, 3]), Ok(2));
        assert_eq!(judge(&sound(), None, &[1, 2]), Ok(2));
    }

    #[test]
    fn each_thing_that_is_wrong_is_told() {
        assert_eq!(
            faults(&Look { complaints: vec!["page 7".to_owned()], ..sound() }),
            [Fault::Damaged("page 7".to_owned())]
        );
        assert_eq!(faults(&Look { broken_references: 2, ..sound() }), [Fault::BrokenReferences(2)]);
        assert_eq!(faults(&Look { steps: vec![], ..sound() }), [Fault::NoRecord]);
        assert_eq!(faults(&Look { steps: vec![1, 2, 9], ..sound() })[0], Fault::Newer(9));
        assert_eq!(faults(&Look { steps: vec![1, 3], ..sound() }), [Fault::StepMissing(2)]);
        let fewer = Look { rows: [("cases".to_owned(), 2)].into(), ..sound() };
        assert_eq!(faults(&fewer), [Fault::OtherRows { table: "cases".to_owned(), source: 3, copy: 2 }]);
        let gone = Look { rows: Rows::new(), ..sound() };
        assert_eq!(faults(&gone), [Fault::OtherRows { table: "cases".to_owned(), source: 3, copy: 0 }]);
    }
}
