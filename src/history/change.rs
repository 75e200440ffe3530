//! Revisions and what is in them.

use super::author::Author;
use super::digest::Digest;
use crate::quantity::words;

words!(
    /// What became of a row.
    Kind, "a kind of change", {
        Added = "added", "added";
        Changed = "changed", "changed";
        Deleted = "deleted", "deleted";
    }
);

/// The fields of a row that changed: name, old value and new one, as the database gave them. A field
/// that was and is empty does not stand here.
pub type Fields = serde_json::Map<String, serde_json::Value>;

/// A change of one row.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Change {
    /// Its number; they count up through all revisions.
    pub id: i64,
    /// The revision it belongs to.
    pub revision: i64,
    /// The case that the row belongs to, if any.
    pub case_id: Option<i64>,
    /// The table.
    pub table: String,
    /// The row's primary key, as a JSON array.
    pub row_key: String,
    /// What became of the row.
    pub kind: Kind,
    /// The fields as the database wrote them, an object of `[old, new]`; none once the case was purged.
    pub fields: Option<String>,
    /// Random characters that keep a purged value from being guessed by its digest; go with the fields.
    pub salt: Option<String>,
    /// What stands for fields and salt once they are purged.
    pub erased: Option<Digest>,
}

impl Change {
    /// The fields; empty when they were purged or are no object.
    #[must_use]
    pub fn fields(&self) -> Fields {
        self.fields.as_deref().and_then(|text| serde_json::from_str(text).ok()).unwrap_or_default()
    }
}

/// What one transaction changed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Revision {
    /// Its number, from 1.
    pub id: i64,
    /// The moment, in UTC, as text.
    pub at: String,
    /// Who.
    pub author: Author,
    /// Why, where a person or the program said so.
    pub note: Option<String>,
    /// The digest of the revision before.
    pub previous: Digest,
    /// Its own digest.
    pub digest: Digest,
}
