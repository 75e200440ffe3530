//! A database of every earlier version opens, and holds what it held.
//!
//! `fixtures/schema/NNNN.sql` puts invented rows into what step NNNN of the schema brings, so that a
//! database of any version can be made: each step, then its rows. With a new step comes a file of its
//! own; a test fails until it is there and no table is empty.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use axum::http::StatusCode;
use relook::accounts::{Role, Secret, store as accounts};
use relook::database::whole_sqlite::known_steps;
use relook::database::{Database, tables_sqlite};
use relook::web::{App, Settings};
use sqlx::migrate::Migrator;
use sqlx::sqlite::{SqliteConnectOptions, SqliteConnection};
use sqlx::{ConnectOptions as _, Connection as _};

use crate::support::TestApp;

/// What is worked out from the rest, and may be worked out anew by a later version.
const DERIVED: [&str; 7] = [
    "_sqlx_migrations",
    "case_search",
    "lesson_search",
    "rates_version",
    "kept_counts",
    "case_traits",
    "complication_times",
];

/// Tables that have another name by now.
const RENAMED: [(&str, &str); 1] = [("cases", "case_records")];

fn name_now(table: &str) -> &str {
    RENAMED.iter().find(|(was, _)| *was == table).map_or(table, |(_, name)| name)
}

fn rows_file(step: i64) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("tests/relook/fixtures/schema/{step:04}.sql"))
}

/// Makes a database of a version, as a program of that version left it.
pub async fn of_version(path: &Path, version: i64) {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("migrations");
    let all = Migrator::new(folder.as_path()).await.unwrap();
    let options = SqliteConnectOptions::new().filename(path).create_if_missing(true).foreign_keys(true);
    let mut conn = options.connect().await.unwrap();
    for step in known_steps().into_iter().filter(|step| *step <= version) {
        let so_far = all.iter().filter(|each| each.version <= step).cloned().collect();
        Migrator::with_migrations(so_far).run(&mut conn).await.unwrap();
        let rows = std::fs::read_to_string(rows_file(step)).unwrap();
        sqlx::raw_sql(sqlx::AssertSqlSafe(rows))
            .execute(&mut conn)
            .await
            .unwrap_or_else(|error| panic!("{step:04}.sql: {error}"));
    }
    conn.close().await.unwrap();
}

type Held = BTreeMap<String, BTreeSet<String>>;

/// Every row of every table as `column=value` texts; of these columns alone where they are given.
async fn held(conn: &mut SqliteConnection, like: Option<&BTreeMap<String, Vec<String>>>) -> Held {
    let mut all = Held::new();
    for table in tables_sqlite::names(conn).await.unwrap() {
        let columns = match like {
            Some(like) => match like.get(&table) {
                Some(columns) => Some(columns.iter().map(String::as_str).collect::<Vec<_>>()),
                None => continue,
            },
            None => None,
        };
        let found = tables_sqlite::rows(conn, &table, columns.as_deref()).await.unwrap();
        let rows = found.rows.iter().map(|row| {
            let fields = found.columns.iter().zip(row);
            fields.map(|(name, value)| format!("{name}={value}")).collect::<Vec<_>>().join(", ")
        });
        all.insert(table, rows.collect());
    }
    all
}

async fn columns_of(conn: &mut SqliteConnection) -> BTreeMap<String, Vec<String>> {
    let mut columns = BTreeMap::new();
    for table in tables_sqlite::names(conn).await.unwrap() {
        let found = tables_sqlite::rows(conn, &table, None).await.unwrap();
        columns.insert(table, found.columns);
    }
    columns
}

#[test]
fn each_step_of_the_schema_has_rows_of_its_own() {
    for step in known_steps() {
        assert!(
            rows_file(step).exists(),
            "step {step} has no rows: write {} with a row for each table and column it brings",
            rows_file(step).display()
        );
    }
}

#[tokio::test]
async fn a_database_of_every_earlier_version_opens_and_holds_what_it_held() {
    for version in known_steps() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("relook.sqlite");
        of_version(&path, version).await;
        let mut conn = SqliteConnectOptions::new().filename(&path).connect().await.unwrap();
        let columns = columns_of(&mut conn).await;
        let before = held(&mut conn, None).await;
        conn.close().await.unwrap();
        for (table, rows) in before.iter().filter(|(table, _)| !DERIVED.contains(&table.as_str())) {
            assert!(!rows.is_empty(), "version {version}: {table} has no row; add one to {version:04}.sql");
        }

        let database = Database::open(&path).await.unwrap();
        let mut conn = database.read().await.unwrap();
        let now = columns_of(&mut conn).await;
        // A column that a later version dropped is not asked for; that it went was decided there.
        let like: BTreeMap<String, Vec<String>> = columns
            .iter()
            .filter_map(|(table, columns)| {
                let there = now.get(name_now(table))?;
                Some((
                    name_now(table).to_owned(),
                    columns.iter().filter(|name| there.contains(name)).cloned().collect(),
                ))
            })
            .collect();
        let after = held(&mut conn, Some(&like)).await;
        for (table, rows) in before.iter().filter(|(table, _)| !DERIVED.contains(&table.as_str())) {
            let kept =
                after.get(name_now(table)).unwrap_or_else(|| panic!("version {version}: {table} is gone"));
            let lost: Vec<&String> = rows.difference(kept).collect();
            assert!(lost.is_empty(), "version {version}: {table} lost {lost:?}");
        }
        drop(conn);
        pages_show_it(database, version).await;
    }
}

/// The program over the database that came from an earlier version: its pages and its own check.
async fn pages_show_it(database: Database, version: i64) {
    let app = App::new(database, Settings::default()).await.unwrap();
    let secret = Secret::generate().unwrap();
    let mut tx = app.database.write().await.unwrap();
    let lead = accounts::list(&mut tx).await.unwrap().into_iter().find(|user| user.role == Role::QualityLead);
    accounts::start_session(&mut tx, lead.unwrap().id, &secret, "Firefox on Linux", app.now()).await.unwrap();
    assert_eq!(relook::rates::store::compare(&mut tx).await.unwrap(), [], "version {version}");
    tx.commit().await.unwrap();
    let client = TestApp::visitor_of(&app, &secret);
    for (path, says) in [
        ("/cases/2026-001", "Flow lost after the stent"),
        ("/cases/2026-001/summary", "Take a second view before the balloon."),
        ("/cases/2026-001/case.json", "A second wire in the room"),
        ("/cases", "A second case"),
        ("/library", "Take a second view before the balloon."),
        ("/settings/users", "Fay Fellow"),
        ("/settings/mechanisms", "Of our own"),
        ("/conferences/1/minutes", "January conference"),
        ("/rates", "No-reflow"),
        ("/", "Overview"),
    ] {
        let page = client.get(path).await;
        assert_eq!(page.status, StatusCode::OK, "version {version}, {path}: {page}");
        assert!(page.html.contains(says), "version {version}, {path}: {says} is not there");
    }
}
