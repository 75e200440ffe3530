//! The SQL of causes.

use std::collections::BTreeMap;

use sqlx::SqliteConnection;

use super::keys::Keys;
use crate::case::code::Key;
use crate::case::record::Cause;
use crate::case::stored::Row;
use crate::database::{StoreError, read, read_opt};

const TABLE: &str = "causes";

pub(super) async fn list(
    conn: &mut SqliteConnection,
    case_id: i64,
    events: &Keys,
) -> Result<Vec<Row<Cause>>, StoreError> {
    let rows: Vec<(i64, String, String, Option<String>)> = sqlx::query_as(
        "select id, cause, statement, weight from causes where case_id = $1 and removed_at is null order by id",
    )
    .bind(case_id)
    .fetch_all(&mut *conn)
    .await?;
    let links: Vec<(i64, i64)> = sqlx::query_as(
        "select cause_events.cause_id, cause_events.event_id
         from cause_events join causes on causes.id = cause_events.cause_id
         where causes.case_id = $1 order by cause_events.cause_id, cause_events.position",
    )
    .bind(case_id)
    .fetch_all(conn)
    .await?;
    let mut shown: BTreeMap<i64, Vec<Key>> = BTreeMap::new();
    for (cause, event) in links {
        if let Some(key) = events.get(Some(event)) {
            shown.entry(cause).or_default().push(key);
        }
    }
    rows.iter()
        .map(|(id, cause, statement, weight)| {
            Ok(Row {
                id: *id,
                value: Cause {
                    cause: read(TABLE, id, cause)?,
                    statement: read(TABLE, id, statement)?,
                    weight: read_opt(TABLE, *id, weight.as_ref())?.unwrap_or_default(),
                    shown_by: shown.remove(id).unwrap_or_default(),
                },
            })
        })
        .collect()
}

pub(super) async fn insert(
    conn: &mut SqliteConnection,
    case_id: i64,
    cause: &Cause,
) -> Result<i64, StoreError> {
    let (id,): (i64,) = sqlx::query_as(
        "insert into causes (case_id, cause, statement, weight) values ($1, $2, $3, $4) returning id",
    )
    .bind(case_id)
    .bind(cause.cause.as_str())
    .bind(cause.statement.as_str())
    .bind(cause.weight.slug())
    .fetch_one(&mut *conn)
    .await?;
    link(conn, case_id, id, cause).await?;
    Ok(id)
}

pub(super) async fn update(
    conn: &mut SqliteConnection,
    case_id: i64,
    id: i64,
    cause: &Cause,
) -> Result<(), StoreError> {
    sqlx::query("update causes set cause = $3, statement = $4, weight = $5 where case_id = $1 and id = $2")
        .bind(case_id)
        .bind(id)
        .bind(cause.cause.as_str())
        .bind(cause.statement.as_str())
        .bind(cause.weight.slug())
        .execute(&mut *conn)
        .await?;
    sqlx::query("delete from cause_events where cause_id = $1").bind(id).execute(&mut *conn).await?;
    link(conn, case_id, id, cause).await
}

/// Ties a cause to its events: at most twenty.
async fn link(conn: &mut SqliteConnection, case_id: i64, id: i64, cause: &Cause) -> Result<(), StoreError> {
    for (position, key) in (0_i64..).zip(&cause.shown_by) {
        sqlx::query(
            "insert into cause_events (cause_id, event_id, position)
             select $1, id, $2 from events where case_id = $3 and key = $4",
        )
        .bind(id)
        .bind(position)
        .bind(case_id)
        .bind(key.as_str())
        .execute(&mut *conn)
        .await?;
    }
    Ok(())
}
