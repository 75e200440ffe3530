//! The SQL of withdrawn cases: taking a case out of everything, putting it back, and purging it.

use sqlx::{FromRow, SqliteConnection};

use crate::case::code::CaseCode;
use crate::case::search_sqlite;
use crate::case::withdrawal::{KeptFor, Purged, Withdrawn};
use crate::database::{StoreError, read};
use crate::history;

/// Takes a case out of every list, count and page. Its rows stay.
///
/// # Errors
/// What the database says.
pub async fn withdraw(
    conn: &mut SqliteConnection,
    case_id: i64,
    (by, because): (&str, &str),
    now: jiff::Timestamp,
) -> Result<(), StoreError> {
    sqlx::query(
        "update case_records set withdrawn_at = $2, withdrawn_by = $3, withdrawn_because = $4
         where id = $1 and withdrawn_at is null",
    )
    .bind(case_id)
    .bind(now.to_string())
    .bind(by)
    .bind(because)
    .execute(&mut *conn)
    .await?;
    // The counts behind the rates follow.
    sqlx::query("delete from case_traits where case_id = $1").bind(case_id).execute(&mut *conn).await?;
    search_sqlite::forget(conn, case_id).await
}

/// Puts a withdrawn case back as it was.
///
/// # Errors
/// What the database says.
pub async fn put_case_back(
    conn: &mut SqliteConnection,
    case_id: i64,
    now: jiff::Timestamp,
) -> Result<(), StoreError> {
    sqlx::query(
        "update case_records set withdrawn_at = null, withdrawn_by = null, withdrawn_because = null
         where id = $1",
    )
    .bind(case_id)
    .execute(&mut *conn)
    .await?;
    sqlx::query(
        "insert into case_traits (case_id, trait, holds) values ($1, 'any', 1) on conflict do nothing",
    )
    .bind(case_id)
    .execute(&mut *conn)
    .await?;
    super::rows::touch(conn, case_id, now).await
}

#[derive(FromRow)]
struct WithdrawnRow {
    id: i64,
    code_year: i64,
    code_number: i64,
    title: String,
    stage: String,
    withdrawn_at: String,
    withdrawn_by: Option<String>,
    withdrawn_because: String,
}

/// The withdrawn cases, the last first.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn withdrawn(conn: &mut SqliteConnection) -> Result<Vec<Withdrawn>, StoreError> {
    const TABLE: &str = "withdrawn_cases";
    let rows: Vec<WithdrawnRow> = sqlx::query_as(
        "select id, code_year, code_number, title, stage, withdrawn_at, withdrawn_by, withdrawn_because
         from withdrawn_cases order by withdrawn_at desc, id desc",
    )
    .fetch_all(conn)
    .await?;
    rows.into_iter()
        .map(|row| {
            Ok(Withdrawn {
                id: row.id,
                code: super::code_of(TABLE, row.code_year, row.code_number)?,
                stage: read(TABLE, row.id, &row.stage)?,
                at: read(TABLE, row.id, &row.withdrawn_at)?,
                title: row.title,
                by: row.withdrawn_by.unwrap_or_default(),
                because: row.withdrawn_because,
            })
        })
        .collect()
}

/// The cases that were purged, the last first.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn purged(conn: &mut SqliteConnection) -> Result<Vec<Purged>, StoreError> {
    const TABLE: &str = "purged_cases";
    let rows: Vec<(i64, i64, i64, String, String)> = sqlx::query_as(
        "select case_id, code_year, code_number, withdrawn_by, purged_on
         from purged_cases order by purged_on desc, case_id desc",
    )
    .fetch_all(conn)
    .await?;
    rows.into_iter()
        .map(|(id, year, number, by, on)| {
            Ok(Purged {
                code: super::code_of(TABLE, year, number)?,
                withdrawn_by: by,
                on: read(TABLE, id, &on)?,
            })
        })
        .collect()
}

/// Whether a code was given to a case that is withdrawn or purged.
///
/// # Errors
/// What the database says.
pub async fn was_given(conn: &mut SqliteConnection, code: CaseCode) -> Result<bool, StoreError> {
    let (found,): (i64,) = sqlx::query_as(
        "select count(*) from (select code_year, code_number from withdrawn_cases
                               union all select code_year, code_number from purged_cases) as given
         where code_year = $1 and code_number = $2",
    )
    .bind(code.year())
    .bind(code.number())
    .fetch_one(conn)
    .await?;
    Ok(found > 0)
}

/// Purges a withdrawn case: its rows go, and what its history holds goes with them. The history's digests stay,
/// so that the chain still shows that nothing else changed.
///
/// # Errors
/// What the database says.
pub async fn purge(
    conn: &mut SqliteConnection,
    case: &Withdrawn,
    today: crate::case::Day,
) -> Result<(), StoreError> {
    sqlx::query(
        "insert into purged_cases (case_id, code_year, code_number, withdrawn_at, withdrawn_by, purged_on)
         values ($1, $2, $3, $4, $5, $6)",
    )
    .bind(case.id)
    .bind(case.code.year())
    .bind(case.code.number())
    .bind(case.at.to_string())
    .bind(&case.by)
    .bind(today.to_string())
    .execute(&mut *conn)
    .await?;
    sqlx::query("delete from case_records where id = $1").bind(case.id).execute(&mut *conn).await?;
    sqlx::query("delete from picture_bytes where digest not in (select digest from pictures)")
        .execute(&mut *conn)
        .await?;
    history::store::erase_case(conn, case.id).await.map_err(StoreError::from)
}

const KEPT_FOR: &str = "withdrawal.kept-for";

/// For how long withdrawn cases are kept.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn kept_for(conn: &mut SqliteConnection) -> Result<KeptFor, StoreError> {
    let row: Option<(String,)> = sqlx::query_as("select value from settings where name = $1")
        .bind(KEPT_FOR)
        .fetch_optional(conn)
        .await?;
    row.map_or(Ok(KeptFor::USUAL), |(text,)| read("settings", KEPT_FOR, &text))
}

/// Sets for how long withdrawn cases are kept.
///
/// # Errors
/// What the database says.
pub async fn set_kept_for(conn: &mut SqliteConnection, days: KeptFor) -> Result<(), StoreError> {
    sqlx::query(
        "insert into settings (name, value) values ($1, $2)
         on conflict (name) do update set value = excluded.value",
    )
    .bind(KEPT_FOR)
    .bind(days.to_string())
    .execute(conn)
    .await?;
    Ok(())
}
