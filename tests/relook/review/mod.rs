//! The review of a case that went through the database: its checks, its stages, its summary.

mod deck;
mod rate;
mod readiness;
mod stage;
mod summary;

use relook::case::{self, Case, CaseCode, StoredCase};
use relook::database::Database;
use relook::vocabulary::{self, Vocabulary};

/// A case with everything that a ready case holds.
const FULL: &str = include_str!("full.toml");

/// A case as its first entry leaves it.
const FIRST_ENTRY: &str = "format = 1\ntitle = \"Bleed after a radial procedure\"\nmonth = \"2025-03\"\nstage = \"recorded\"\n[[complications]]\nkey = \"c1\"\nmechanism = \"access-haematoma\"\n";

/// A database with the shipped vocabulary, in a folder that goes with it.
struct Bench {
    _folder: tempfile::TempDir,
    database: Database,
    vocabulary: Vocabulary,
}

impl Bench {
    async fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let database = Database::open(&folder.path().join("relook.db")).await.unwrap();
        let mut tx = database.write().await.unwrap();
        vocabulary::store::seed(&mut tx).await.unwrap();
        let vocabulary = vocabulary::store::load(&mut tx).await.unwrap();
        tx.commit().await.unwrap();
        Self { _folder: folder, database, vocabulary }
    }

    /// Stores a case file that has nothing wrong, and reads it back.
    async fn store(&self, text: &str) -> StoredCase {
        let case: Case = toml::from_str(text).unwrap();
        assert_eq!(case::check(&case, &self.vocabulary), [], "the file of the test");
        let mut tx = self.database.write().await.unwrap();
        let code: CaseCode =
            case::store::insert(&mut tx, &case, None, jiff::Timestamp::UNIX_EPOCH).await.unwrap();
        let stored = case::store::find(&mut tx, code).await.unwrap().unwrap();
        tx.commit().await.unwrap();
        stored
    }
}

/// The text with one part of it replaced, which must be there.
fn with(text: &str, from: &str, to: &str) -> String {
    assert!(text.contains(from), "the file has no {from:?}");
    text.replace(from, to)
}

/// The text less one of its tables: from `head` to the next blank line.
fn without(text: &str, head: &str) -> String {
    let start = text.find(head).unwrap_or_else(|| panic!("the file has no {head:?}"));
    let length = text[start..].find("\n\n").map_or(text.len() - start, |end| end + 2);
    format!("{}{}", &text[..start], &text[start + length..])
}
