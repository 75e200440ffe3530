//! A database is brought up to date, opened twice, and refused when it is newer.

use relook::database::{Database, OpenError};
use sqlx::sqlite::SqliteConnectOptions;
use sqlx::{ConnectOptions as _, Connection as _};

async fn edit(path: &std::path::Path, sql: &'static str) {
    let mut conn = SqliteConnectOptions::new().filename(path).connect().await.unwrap();
    sqlx::query(sql).execute(&mut conn).await.unwrap();
    conn.close().await.unwrap();
}

#[tokio::test]
async fn a_database_is_made_and_opened_again() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("relook.sqlite");
    Database::open(&path).await.unwrap().close().await;
    Database::open(&path).await.unwrap().close().await;
}

#[tokio::test]
async fn a_newer_database_is_refused_with_a_sentence() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("relook.sqlite");
    Database::open(&path).await.unwrap().close().await;
    edit(
        &path,
        "insert into _sqlx_migrations (version, description, success, checksum, execution_time)
         values (9999, 'of the future', true, x'00', 0)",
    )
    .await;
    let error = Database::open(&path).await.unwrap_err();
    assert!(matches!(error, OpenError::Newer(9999)), "{error}");
    assert!(error.to_string().contains("newer Relook"), "{error}");
}

#[tokio::test]
async fn a_database_of_another_build_is_refused_with_a_sentence() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("relook.sqlite");
    Database::open(&path).await.unwrap().close().await;
    edit(&path, "update _sqlx_migrations set checksum = x'00' where version = 1").await;
    let error = Database::open(&path).await.unwrap_err();
    assert!(matches!(error, OpenError::Different(1)), "{error}");
}

#[tokio::test]
async fn a_file_that_is_no_database_is_refused_with_a_sentence() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("relook.sqlite");
    std::fs::write(&path, "This is a letter, not a database. ".repeat(200)).unwrap();
    let error = Database::open(&path).await.unwrap_err();
    assert!(error.to_string().contains("relook.sqlite") || error.to_string().contains("database"), "{error}");
}

#[tokio::test]
async fn what_keeps_a_save_safe_is_on() {
    let folder = tempfile::tempdir().unwrap();
    let database = Database::open(&folder.path().join("relook.sqlite")).await.unwrap();
    let mut tx = database.write().await.unwrap();
    let pragmas: [(&'static str, &str); 2] = [("pragma journal_mode", "wal"), ("pragma foreign_keys", "1")];
    for (pragma, expected) in pragmas {
        let value: String = if expected == "wal" {
            sqlx::query_scalar(pragma).fetch_one(&mut *tx).await.unwrap()
        } else {
            let number: i64 = sqlx::query_scalar(pragma).fetch_one(&mut *tx).await.unwrap();
            number.to_string()
        };
        assert_eq!(value, expected, "{pragma}");
    }
    // 2 is FULL: a commit waits until it is on the disk.
    let synchronous: i64 = sqlx::query_scalar("pragma synchronous").fetch_one(&mut *tx).await.unwrap();
    assert_eq!(synchronous, 2);
    let wait: i64 = sqlx::query_scalar("pragma busy_timeout").fetch_one(&mut *tx).await.unwrap();
    assert_eq!(wait, 5000);
}
