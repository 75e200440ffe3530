//! The SQL of actions.

use super::code_of;
use sqlx::{FromRow, SqliteConnection};

use crate::case::code::CaseCode;
use crate::case::record::Action;
use crate::case::stored::Row;
use crate::database::{StoreError, read, read_opt};

const TABLE: &str = "actions";

#[derive(FromRow)]
struct ActionRow {
    id: i64,
    what: String,
    owner: String,
    due: String,
    strength: String,
    measure: Option<String>,
    state: String,
    done_on: Option<String>,
}

fn action(row: &ActionRow) -> Result<Row<Action>, StoreError> {
    Ok(Row {
        id: row.id,
        value: Action {
            what: read(TABLE, row.id, &row.what)?,
            owner: read(TABLE, row.id, &row.owner)?,
            due: read(TABLE, row.id, &row.due)?,
            strength: read(TABLE, row.id, &row.strength)?,
            measure: read_opt(TABLE, row.id, row.measure.as_ref())?,
            state: read(TABLE, row.id, &row.state)?,
            done_on: read_opt(TABLE, row.id, row.done_on.as_ref())?,
        },
    })
}

pub(super) async fn list(conn: &mut SqliteConnection, case_id: i64) -> Result<Vec<Row<Action>>, StoreError> {
    let rows: Vec<ActionRow> = sqlx::query_as(
        "select id, what, owner, due, strength, measure, state, done_on
         from actions where case_id = $1 and removed_at is null order by id",
    )
    .bind(case_id)
    .fetch_all(conn)
    .await?;
    rows.iter().map(action).collect()
}

#[derive(FromRow)]
struct OpenRow {
    #[sqlx(flatten)]
    action: ActionRow,
    code_year: i64,
    code_number: i64,
}

/// The open actions of every case with the case's code, the one due first at the top; at most
/// `limit` of them.
///
/// # Errors
/// What the database says.
pub async fn list_open(
    conn: &mut SqliteConnection,
    limit: i64,
) -> Result<Vec<(CaseCode, Row<Action>)>, StoreError> {
    let rows: Vec<OpenRow> = sqlx::query_as(
        "select actions.id, what, owner, due, strength, measure, state, done_on, code_year, code_number
         from actions join cases on cases.id = actions.case_id
         where state = 'open' and removed_at is null order by due, actions.id limit $1",
    )
    .bind(limit)
    .fetch_all(conn)
    .await?;
    rows.iter()
        .map(|row| {
            let code = code_of(TABLE, row.code_year, row.code_number)?;
            Ok((code, action(&row.action)?))
        })
        .collect()
}

pub(super) async fn insert(
    conn: &mut SqliteConnection,
    case_id: i64,
    action: &Action,
) -> Result<i64, StoreError> {
    let (id,): (i64,) = sqlx::query_as(
        "insert into actions (case_id, what, owner, due, strength, measure, state, done_on)
         values ($1, $2, $3, $4, $5, $6, $7, $8) returning id",
    )
    .bind(case_id)
    .bind(action.what.as_str())
    .bind(action.owner.as_str())
    .bind(action.due.to_string())
    .bind(action.strength.slug())
    .bind(action.measure.as_ref().map(|text| text.as_str()))
    .bind(action.state.slug())
    .bind(action.done_on.map(|day| day.to_string()))
    .fetch_one(conn)
    .await?;
    Ok(id)
}

pub(super) async fn update(
    conn: &mut SqliteConnection,
    case_id: i64,
    id: i64,
    action: &Action,
) -> Result<(), StoreError> {
    sqlx::query(
        "update actions set what = $3, owner = $4, due = $5, strength = $6, measure = $7, state = $8,
                done_on = $9
         where case_id = $1 and id = $2",
    )
    .bind(case_id)
    .bind(id)
    .bind(action.what.as_str())
    .bind(action.owner.as_str())
    .bind(action.due.to_string())
    .bind(action.strength.slug())
    .bind(action.measure.as_ref().map(|text| text.as_str()))
    .bind(action.state.slug())
    .bind(action.done_on.map(|day| day.to_string()))
    .execute(conn)
    .await?;
    Ok(())
}
