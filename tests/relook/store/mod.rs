//! Stores against real SQLite files: what goes in comes out, rules refuse, counts are right.

mod accounts;
mod conference;
mod list;
mod operators;
mod rates;
mod rates_recount;

use proptest::prelude::*;
use proptest::test_runner::{RngSeed, TestRunner};
use relook::case::{self, Case, CaseCode, Complication, Month, Stage};
use relook::database::Database;
use relook::vocabulary::{self, Vocabulary};
use sqlx::SqliteConnection;

/// The moment at which the tests write.
const NOW: jiff::Timestamp = jiff::Timestamp::UNIX_EPOCH;

/// A database with the shipped vocabulary, in a folder that goes when it does.
struct Store {
    database: Database,
    vocabulary: Vocabulary,
    _folder: tempfile::TempDir,
}

impl Store {
    async fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let database = Database::open(&folder.path().join("relook.db")).await.unwrap();
        let mut conn = database.write().await.unwrap();
        vocabulary::store::seed(&mut conn).await.unwrap();
        let vocabulary = vocabulary::store::load(&mut conn).await.unwrap();
        conn.commit().await.unwrap();
        Self { database, vocabulary, _folder: folder }
    }
}

/// Tries so many values of a strategy, always the same ones, each in a transaction of one database
/// that is rolled back.
fn for_any<S: Strategy>(
    seed: u64,
    cases: u32,
    strategy: S,
    check: impl AsyncFn(&Store, &mut SqliteConnection, S::Value),
) {
    let config = ProptestConfig {
        cases,
        rng_seed: RngSeed::Fixed(seed),
        failure_persistence: None,
        ..ProptestConfig::default()
    };
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build().unwrap();
    let store = runtime.block_on(Store::new());
    let outcome = TestRunner::new(config).run(&strategy, |value| {
        runtime.block_on(async {
            let mut conn = store.database.write().await.unwrap();
            check(&store, &mut conn, value).await;
            conn.rollback().await.unwrap();
        });
        Ok(())
    });
    outcome.unwrap_or_else(|error| panic!("{error}"));
}

/// A value from its text form.
fn of<T: std::str::FromStr<Err: std::fmt::Debug>>(text: &str) -> T {
    text.parse().unwrap()
}

/// Stores a case of a month with these mechanisms, and gives its id. Each harm follows from the
/// one before.
async fn insert(
    conn: &mut SqliteConnection,
    month: Month,
    mechanisms: &[&str],
    stage: Stage,
) -> (i64, CaseCode) {
    let mut value = Case::first_entry(of("A case"), month, of(mechanisms[0]), None);
    value.stage = stage;
    value.complications.clear();
    for (index, mechanism) in mechanisms.iter().enumerate() {
        value.complications.push(Complication {
            key: of(&format!("c{index}")),
            consequence_of: (index > 0).then(|| of(&format!("c{}", index - 1))),
            ..Complication::of(of(mechanism))
        });
    }
    let code = case::store::insert(conn, &value, None, NOW).await.unwrap();
    (case::store::find_id(conn, code).await.unwrap().unwrap(), code)
}
