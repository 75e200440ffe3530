//! The SQL of actions.

use super::by_case::{ByCase, of_cases};
use super::{code_of, push_sight};
use sqlx::{FromRow, QueryBuilder, Sqlite, SqliteConnection};

use crate::case::code::CaseCode;
use crate::case::measure::Day;
use crate::case::record::Action;
use crate::case::sight::Sight;
use crate::case::stored::Row;
use crate::case::words::{ActionKind, ActionState};
use crate::database::{StoreError, read, read_opt};
use crate::vocabulary::{CauseSlug, MechanismSlug};

const TABLE: &str = "actions";

#[derive(FromRow)]
struct ActionRow {
    id: i64,
    what: String,
    owner: String,
    due: String,
    strength: String,
    kind: Option<String>,
    for_cause: Option<String>,
    for_mechanism: Option<String>,
    target: Option<String>,
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
            kind: read_opt(TABLE, row.id, row.kind.as_ref())?,
            for_cause: read_opt(TABLE, row.id, row.for_cause.as_ref())?,
            for_mechanism: read_opt(TABLE, row.id, row.for_mechanism.as_ref())?,
            target: read_opt(TABLE, row.id, row.target.as_ref())?,
            measure: read_opt(TABLE, row.id, row.measure.as_ref())?,
            state: read(TABLE, row.id, &row.state)?,
            done_on: read_opt(TABLE, row.id, row.done_on.as_ref())?,
        },
    })
}

pub(super) async fn list(conn: &mut SqliteConnection, cases: &[i64]) -> Result<ByCase<Action>, StoreError> {
    let mut sql = of_cases(
        "select case_id, id, what, owner, due, strength, kind, for_cause, for_mechanism, measure, target, state,
                done_on
         from actions where removed_at is null and case_id in ",
        cases,
        "order by id",
    );
    let rows: Vec<OfCaseRow> = sql.build_query_as().fetch_all(conn).await?;
    ByCase::of(rows.iter().map(|row| Ok((row.case_id, action(&row.action)?))))
}

#[derive(FromRow)]
struct OfCaseRow {
    #[sqlx(flatten)]
    action: ActionRow,
    case_id: i64,
}

#[derive(FromRow)]
struct OpenRow {
    #[sqlx(flatten)]
    action: ActionRow,
    code_year: i64,
    code_number: i64,
}

/// The open actions of every case in sight with the case's code, the one due first at the top; at most
/// `limit` of them.
///
/// # Errors
/// What the database says.
pub async fn list_open(
    conn: &mut SqliteConnection,
    sight: Sight,
    limit: i64,
) -> Result<Vec<(CaseCode, Row<Action>)>, StoreError> {
    list_actions(conn, (sight, Asked::In(ActionState::Open)), limit).await
}

/// Which actions are asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Asked {
    /// Those in a state.
    In(ActionState),
    /// The open ones that were due before a day.
    Overdue(Day),
    /// All.
    All,
}

/// Actions of every case in sight with the case's code, the one due first at the top; at most `limit` of them.
///
/// # Errors
/// What the database says.
pub async fn list_actions(
    conn: &mut SqliteConnection,
    (sight, asked): (Sight, Asked),
    limit: i64,
) -> Result<Vec<(CaseCode, Row<Action>)>, StoreError> {
    let mut sql = QueryBuilder::<Sqlite>::new(
        "select actions.id, what, owner, due, strength, kind, for_cause, for_mechanism, measure, target, state,
                done_on, code_year, code_number
         from actions join cases on cases.id = actions.case_id where removed_at is null and ",
    );
    push_sight(&mut sql, sight);
    match asked {
        Asked::In(state) => sql.push(" and actions.state = ").push_bind(state.slug()),
        Asked::Overdue(today) => {
            sql.push(" and actions.state = 'open' and due < ").push_bind(today.to_string())
        }
        Asked::All => &mut sql,
    };
    sql.push(" order by due, actions.id limit ").push_bind(limit);
    let rows: Vec<OpenRow> = sql.build_query_as().fetch_all(conn).await?;
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
    now: jiff::Timestamp,
) -> Result<i64, StoreError> {
    let (id,): (i64,) = sqlx::query_as(
        "insert into actions (case_id, what, owner, due, strength, measure, state, done_on, kind, for_cause,
                              for_mechanism, target)
         values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12) returning id",
    )
    .bind(case_id)
    .bind(action.what.as_str())
    .bind(action.owner.as_str())
    .bind(action.due.to_string())
    .bind(action.strength.slug())
    .bind(action.measure.as_ref().map(|text| text.as_str()))
    .bind(action.state.slug())
    .bind(action.done_on.map(|day| day.to_string()))
    .bind(action.kind.map(ActionKind::slug))
    .bind(action.for_cause.as_ref().map(CauseSlug::as_str))
    .bind(action.for_mechanism.as_ref().map(MechanismSlug::as_str))
    .bind(action.target.as_ref().map(|text| text.as_str()))
    .fetch_one(&mut *conn)
    .await?;
    note_state(conn, id, now).await?;
    Ok(id)
}

pub(super) async fn update(
    conn: &mut SqliteConnection,
    case_id: i64,
    id: i64,
    action: &Action,
    now: jiff::Timestamp,
) -> Result<(), StoreError> {
    sqlx::query(
        "update actions set what = $3, owner = $4, due = $5, strength = $6, measure = $7, state = $8,
                done_on = $9, kind = $10, for_cause = $11, for_mechanism = $12, target = $13
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
    .bind(action.kind.map(ActionKind::slug))
    .bind(action.for_cause.as_ref().map(CauseSlug::as_str))
    .bind(action.for_mechanism.as_ref().map(MechanismSlug::as_str))
    .bind(action.target.as_ref().map(|text| text.as_str()))
    .execute(&mut *conn)
    .await?;
    note_state(conn, id, now).await
}

/// Adds where the action stands now to its history, when it stands elsewhere than the last time.
async fn note_state(conn: &mut SqliteConnection, id: i64, now: jiff::Timestamp) -> Result<(), StoreError> {
    sqlx::query(
        "insert into action_states (action_id, position, state, due, written_at)
         select id, coalesce((select max(position) from action_states where action_id = $1), 0) + 1, state, due, $2
         from actions where id = $1 and not exists (
             select 1 from action_states as last
             where last.action_id = $1 and last.state = actions.state and last.due = actions.due
               and last.position = (select max(position) from action_states where action_id = $1))",
    )
    .bind(id)
    .bind(now.to_string())
    .execute(conn)
    .await?;
    Ok(())
}

/// Where an action stood from a moment on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ActionStep {
    /// The id of the action.
    pub action: i64,
    /// The state that it came to.
    pub state: ActionState,
    /// The day that it was due then.
    pub due: Day,
    /// Since when.
    pub at: jiff::Timestamp,
}

/// How the actions of a case went, each from its first state on.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn action_steps(conn: &mut SqliteConnection, case_id: i64) -> Result<Vec<ActionStep>, StoreError> {
    let rows: Vec<(i64, String, String, String)> = sqlx::query_as(
        "select action_id, action_states.state, action_states.due, written_at
         from action_states join actions on actions.id = action_id
         where case_id = $1 and removed_at is null order by action_id, position",
    )
    .bind(case_id)
    .fetch_all(conn)
    .await?;
    rows.iter()
        .map(|(action, state, due, at)| {
            Ok(ActionStep {
                action: *action,
                state: read(TABLE, *action, state)?,
                due: read(TABLE, *action, due)?,
                at: read(TABLE, *action, at)?,
            })
        })
        .collect()
}
