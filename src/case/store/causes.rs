//! The SQL of causes.

use std::collections::BTreeMap;

use sqlx::SqliteConnection;

use super::by_case::{ByCase, of_cases};
use super::keys::Keys;
use crate::case::code::Key;
use crate::case::record::Cause;
use crate::case::stored::Row;
use crate::database::{StoreError, read, read_opt};

const TABLE: &str = "causes";

pub(super) async fn list(
    conn: &mut SqliteConnection,
    cases: &[i64],
    events: &Keys,
) -> Result<ByCase<Cause>, StoreError> {
    let mut sql = of_cases(
        "select case_id, id, cause, statement, weight from causes where removed_at is null and case_id in ",
        cases,
        "order by id",
    );
    let rows: Vec<(i64, i64, String, String, Option<String>)> =
        sql.build_query_as().fetch_all(&mut *conn).await?;
    let mut sql = of_cases(
        "select cause_events.cause_id, cause_events.event_id
         from cause_events join causes on causes.id = cause_events.cause_id where causes.case_id in ",
        cases,
        "order by cause_events.cause_id, cause_events.position",
    );
    let links: Vec<(i64, i64)> = sql.build_query_as().fetch_all(conn).await?;
    let mut shown: BTreeMap<i64, Vec<Key>> = BTreeMap::new();
    for (cause, event) in links {
        if let Some(key) = events.get(Some(event)) {
            shown.entry(cause).or_default().push(key);
        }
    }
    ByCase::of(rows.iter().map(|(case, id, cause, statement, weight)| {
        let value = Cause {
            cause: read(TABLE, id, cause)?,
            statement: read(TABLE, id, statement)?,
            weight: read_opt(TABLE, *id, weight.as_ref())?.unwrap_or_default(),
            shown_by: shown.remove(id).unwrap_or_default(),
        };
        Ok((*case, Row { id: *id, value }))
    }))
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
