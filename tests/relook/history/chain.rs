//! The chain: every table, every change, and every way to alter it.

use std::collections::BTreeSet;

use relook::history::verify::{self, Broken};
use relook::history::{Door, Kind, TRACKED, UNTRACKED, store};
use sqlx::sqlite::SqliteConnectOptions;
use sqlx::{ConnectOptions as _, Connection as _, SqliteConnection};

use super::{changes, check, expect_whole};
use crate::support::{CaseBuilder, TestApp};

/// A connection of another program: no name, and no seal.
async fn outside(app: &TestApp) -> SqliteConnection {
    let path = app.database_file();
    SqliteConnectOptions::new().filename(path).connect().await.unwrap()
}

async fn run_outside(app: &TestApp, statements: &[&'static str]) {
    let mut conn = outside(app).await;
    for sql in statements {
        sqlx::query(*sql).execute(&mut conn).await.unwrap_or_else(|error| panic!("{sql}: {error}"));
    }
    conn.close().await.unwrap();
}

/// What somebody runs who wants to alter the history and knows how.
const GUARDS_OFF: [&str; 5] = [
    "drop trigger history_revisions_stay",
    "drop trigger history_revisions_are_not_deleted",
    "drop trigger history_changes_are_not_deleted",
    "drop trigger history_changes_are_only_erased",
    "drop trigger history_changes_belong_to_the_next_revision",
];

async fn with_cases() -> TestApp {
    let app = TestApp::init().await;
    CaseBuilder::new("A wire left the lumen").complete().insert(&app).await;
    CaseBuilder::new("A vessel closed").complete().insert(&app).await;
    app
}

#[tokio::test]
async fn every_table_is_kept_or_named_with_a_reason() {
    let app = TestApp::init().await;
    let mut conn = outside(&app).await;
    let tables: Vec<String> = sqlx::query_scalar(
        "select name from sqlite_master where type = 'table' and name not like 'sqlite\\_%' escape '\\'
           and name not like '\\_sqlx%' escape '\\' and sql not like '%shadow%'",
    )
    .fetch_all(&mut conn)
    .await
    .unwrap();
    // A full-text index keeps tables of its own.
    let is_inside_an_index =
        |name: &str| ["case_search_", "lesson_search_"].iter().any(|start| name.starts_with(start));
    let named: BTreeSet<&str> = TRACKED
        .iter()
        .map(|tracked| tracked.table)
        .chain(UNTRACKED.iter().map(|(table, _)| *table))
        .collect();
    let unnamed: Vec<&String> =
        tables.iter().filter(|table| !named.contains(table.as_str()) && !is_inside_an_index(table)).collect();
    assert!(unnamed.is_empty(), "say in history/tracked.rs whether these are kept: {unnamed:?}");
    for tracked in TRACKED {
        assert!(tables.iter().any(|table| table == tracked.table), "there is no table {}", tracked.table);
    }
}

#[tokio::test]
async fn a_save_is_written_down_with_who_when_what_old_and_new() {
    let app = TestApp::init().await;
    let case = CaseBuilder::new("A wire left the lumen").situation("Before.").insert(&app).await;
    let fellow = app.with_fellow().await;
    let before = jiff::Timestamp::now();
    let form = fellow.get(&format!("/cases/{}/situation/edit", case.code)).await;
    let action = format!("/cases/{}/situation", case.code);
    fellow.submit(&form, &action, &[("situation", "After.")]).await;
    let change = changes(&app, "case_records").await.pop().unwrap();
    assert_eq!(change.kind, Kind::Changed);
    assert_eq!(change.case_id, Some(case.id));
    assert_eq!(change.fields()["situation"], serde_json::json!(["Before.", "After."]));
    assert!(!change.fields().contains_key("title"), "what did not change is not written");
    let mut conn = app.app.database.read().await.unwrap();
    let revision = store::revisions_of_case(&mut conn, case.id).await.unwrap().remove(0);
    assert_eq!(revision.id, change.revision);
    assert_eq!((revision.author.name.as_str(), revision.author.door), ("Fay Fellow", Door::Page));
    let at: jiff::Timestamp = revision.at.parse().unwrap();
    assert!(before <= at && at <= jiff::Timestamp::now());
    drop(conn);
    expect_whole(&app).await;
}

#[tokio::test]
async fn what_is_not_committed_leaves_no_history() {
    let app = with_cases().await;
    let before = expect_whole(&app).await.head;
    let mut tx = app.app.database.write().await.unwrap();
    sqlx::query("update case_records set title = 'x'").execute(&mut *tx).await.unwrap();
    drop(tx);
    let mut tx = app.app.database.write().await.unwrap();
    sqlx::query("update case_records set title = 'y'").execute(&mut *tx).await.unwrap();
    tx.rollback().await.unwrap();
    assert_eq!(expect_whole(&app).await.head, before);
}

#[tokio::test]
async fn a_password_is_in_no_history() {
    let app = TestApp::init().await;
    app.execute("update users set password_hash = 'a-hash-of-a-password' where id = 1").await;
    let all = changes(&app, "users").await;
    assert!(!all.is_empty());
    assert!(all.iter().all(|change| !format!("{change:?}").contains("a-hash-of-a-password")));
    expect_whole(&app).await;
}

#[tokio::test]
async fn the_history_cannot_be_written_over() {
    let app = with_cases().await;
    let mut conn = outside(&app).await;
    for sql in [
        "update history_revisions set author = 'Somebody else' where id = 1",
        "delete from history_revisions where id = 1",
        "update history_changes set fields = '{}' where id = 1",
        "update history_changes set row_key = '[99]' where id = 1",
        "update history_changes set fields = null, salt = null, erased = 'x', kind = 'deleted' where id = 1",
        "delete from history_changes where id = 1",
        "insert into history_changes (revision, table_name, row_key, kind, fields)
         values (1, 'events', '[1]', 'added', '{}')",
    ] {
        let error = sqlx::query(sql).execute(&mut conn).await.unwrap_err();
        assert!(error.to_string().contains("history_is_only_added_to"), "{sql}: {error}");
    }
}

#[tokio::test]
async fn every_way_to_alter_the_history_is_seen_and_named() {
    type Way = (&'static str, fn(&Broken) -> bool);
    let ways: [Way; 9] = [
        ("update history_revisions set author = 'Somebody else' where id = 3", |broken| {
            matches!(broken, Broken::Altered { revision: 3, .. })
        }),
        ("update history_revisions set written_at = '2001-01-01T00:00:00Z' where id = 3", |broken| {
            matches!(broken, Broken::Altered { revision: 3, .. })
        }),
        ("update history_revisions set note = 'x' where id = 3", |broken| {
            matches!(broken, Broken::Altered { revision: 3, .. })
        }),
        (
            "update history_changes set fields = replace(fields, 'lumen', 'vessel')
             where table_name = 'case_records' and fields like '%lumen%'",
            |broken| matches!(broken, Broken::Altered { .. }),
        ),
        ("update history_changes set salt = '00' where id = (select max(id) from history_changes)", |broken| {
            matches!(broken, Broken::Altered { .. })
        }),
        (
            "delete from history_changes where id =
                 (select max(id) from history_changes where table_name = 'events')",
            |broken| matches!(broken, Broken::Altered { .. }),
        ),
        ("delete from history_revisions where id = 3", |broken| {
            matches!(broken, Broken::Missing { expected: 3, found: Some(4) })
        }),
        (
            "insert into history_changes (revision, table_name, row_key, kind, fields)
             values (3, 'settings', '[\"x\"]', 'added', '{}')",
            |broken| matches!(broken, Broken::Altered { revision: 3, .. }),
        ),
        // Whoever makes the digest of one revision anew breaks the link of the next one.
        (
            "update history_revisions set digest = '1111111111111111111111111111111111111111111111111111111111111111'
             where id = 3",
            |broken| matches!(broken, Broken::Unlinked { revision: 4 }),
        ),
    ];
    for (sql, expected) in ways {
        let app = with_cases().await;
        assert!(expect_whole(&app).await.revisions >= 4);
        run_outside(&app, &GUARDS_OFF).await;
        run_outside(&app, &[sql]).await;
        let broken = check(&app).await.broken;
        assert!(broken.iter().any(expected), "{sql}: {broken:?}");
        assert!(broken.iter().all(|broken| !broken.to_string().is_empty()));
    }
}

#[tokio::test]
async fn an_end_that_was_cut_off_is_seen_by_whoever_wrote_it_down() {
    let app = with_cases().await;
    let head = expect_whole(&app).await.head.unwrap();
    let mut conn = app.app.database.read().await.unwrap();
    assert!(verify::chain(&mut conn, Some(&head)).await.unwrap().broken.is_empty());
    drop(conn);
    run_outside(&app, &GUARDS_OFF).await;
    run_outside(
        &app,
        &[
            "delete from history_changes where revision = (select max(id) from history_revisions)",
            "delete from history_revisions where id = (select max(id) from history_revisions)",
        ],
    )
    .await;
    let mut conn = app.app.database.read().await.unwrap();
    assert!(
        verify::chain(&mut conn, None).await.unwrap().broken.is_empty(),
        "the chain alone cannot show it"
    );
    let broken = verify::chain(&mut conn, Some(&head)).await.unwrap().broken;
    assert_eq!(broken, [Broken::Missing { expected: head.0, found: None }]);
    // The record does: the case is there, and no history says so.
    let record = verify::record(&mut conn).await.unwrap();
    assert!(record.iter().any(|broken| matches!(broken, Broken::Differs { table: "case_records", .. })));
}

#[tokio::test]
async fn a_record_that_was_changed_behind_the_history_is_seen_field_by_field() {
    let app = with_cases().await;
    run_outside(
        &app,
        &[
            "drop trigger history_of_events_changed",
            "drop trigger history_of_lesions_deleted",
            "update events set systolic = 190, diastolic = 90 where id = 1",
            "delete from lesions where id = 1",
        ],
    )
    .await;
    let broken = check(&app).await.broken;
    let told: Vec<String> = broken.iter().map(ToString::to_string).collect();
    assert_eq!(told.len(), 2, "{told:?}");
    assert!(told.contains(&"lesions [1]: is gone, and no history says so".to_owned()), "{told:?}");
    assert!(told.iter().any(|text| text.starts_with("events [1]: ")), "{told:?}");
}

#[tokio::test]
async fn what_another_program_changes_is_kept_apart_from_what_comes_after() {
    let app = with_cases().await;
    run_outside(&app, &["update case_records set title = 'Changed elsewhere' where id = 1"]).await;
    let broken = check(&app).await.broken;
    assert_eq!(broken, [Broken::Unsealed { changes: 1 }]);
    app.execute("update case_records set title = 'Changed here' where id = 2").await;
    let findings = expect_whole(&app).await;
    assert_eq!(findings.elsewhere.len(), 1);
    let mut conn = app.app.database.read().await.unwrap();
    let revision = store::revisions_of_case(&mut conn, 1).await.unwrap().remove(0);
    assert_eq!((revision.id, revision.author.door), (findings.elsewhere[0], Door::Elsewhere));
    let next = store::revisions_of_case(&mut conn, 2).await.unwrap().remove(0);
    assert_eq!(next.author.door, Door::Program);
}

#[tokio::test]
async fn a_hundred_saves_at_once_make_one_chain() {
    let app = with_cases().await;
    let before = expect_whole(&app).await.revisions;
    let saves = (0..100).map(|number| {
        let database = app.app.database.clone();
        tokio::spawn(async move {
            let mut tx = database.write().await.unwrap();
            sqlx::query("update case_records set title = $1 where id = 1")
                .bind(format!("Title {number}"))
                .execute(&mut *tx)
                .await
                .unwrap();
            tx.commit().await.unwrap();
        })
    });
    for save in saves.collect::<Vec<_>>() {
        save.await.unwrap();
    }
    assert_eq!(expect_whole(&app).await.revisions, before + 100);
}
