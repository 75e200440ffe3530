//! The SQL of conferences: their plans and agendas. What their meetings hold is beside this file.

mod agenda;
mod candidates;
mod carried;
mod meeting;
mod plan;
mod settings;
mod typed;

use std::collections::BTreeMap;

use sqlx::{FromRow, QueryBuilder, Sqlite, SqliteConnection};

use super::{AgendaCase, CasePlan, Conference, Conferences, Minutes, Plan};
use crate::case::store::code_of;
use crate::case::{Day, Title};
use crate::database::{StoreError, number_opt, read, read_opt};

pub use agenda::{add_case, move_case, put_back, remove_case};
pub use candidates::{Candidates, MOST_RECORDED, MOST_WEIGHED, candidates};
pub use carried::{carried, remark};
pub use meeting::meeting;
pub use plan::{set_case_plan, set_plan};
pub use settings::{confidentiality, set_confidentiality};
pub use typed::{
    end, mark_action, mark_lesson, reopen, set_attendance, set_case_notes, set_ended, set_notes,
};

const TABLE: &str = "conferences";

#[derive(FromRow)]
struct ConferenceRow {
    id: i64,
    held_on: String,
    title: String,
    length_minutes: i64,
    carried_minutes: Option<i64>,
    moderator: Option<String>,
    ended_at: Option<String>,
}

#[derive(FromRow)]
struct AgendaRow {
    conference_id: i64,
    id: i64,
    code_year: i64,
    code_number: i64,
    title: String,
    stage: String,
    recorded_by: Option<i64>,
    held: bool,
    box_minutes: i64,
    presenter: Option<String>,
    discussant: Option<String>,
}

/// A statement that ends in a list of these ids, in parentheses.
fn of_ids(start: &'static str, ids: &[i64]) -> QueryBuilder<Sqlite> {
    let mut sql = QueryBuilder::<Sqlite>::new(start);
    let mut list = sql.separated(", ");
    for id in ids {
        list.push_bind(*id);
    }
    sql.push(")");
    sql
}

/// Stored minutes as minutes.
fn minutes(key: i64, number: i64) -> Result<Minutes, StoreError> {
    Minutes::try_from(number).map_err(|error| StoreError::Corrupt {
        table: TABLE,
        key: key.to_string(),
        why: error.to_string(),
    })
}

fn conference(row: &ConferenceRow, cases: Vec<AgendaCase>) -> Result<Conference, StoreError> {
    Ok(Conference {
        id: row.id,
        plan: Plan {
            held_on: read(TABLE, row.id, &row.held_on)?,
            title: read(TABLE, row.id, &row.title)?,
            length: minutes(row.id, row.length_minutes)?,
            carried: number_opt(TABLE, row.id, row.carried_minutes)?,
            moderator: read_opt(TABLE, row.id, row.moderator.as_ref())?,
        },
        ended_at: read_opt(TABLE, row.id, row.ended_at.as_ref())?,
        cases,
    })
}

fn agenda_case(row: &AgendaRow) -> Result<AgendaCase, StoreError> {
    Ok(AgendaCase {
        id: row.id,
        code: code_of("cases", row.code_year, row.code_number)?,
        title: read("cases", row.id, &row.title)?,
        stage: read("cases", row.id, &row.stage)?,
        recorded_by: row.recorded_by,
        held: row.held,
        plan: CasePlan {
            time_box: minutes(row.conference_id, row.box_minutes)?,
            presenter: read_opt("conference_cases", row.id, row.presenter.as_ref())?,
            discussant: read_opt("conference_cases", row.id, row.discussant.as_ref())?,
        },
    })
}

/// Adds a conference with an empty agenda and the usual boxes, and gives its id.
///
/// # Errors
/// The rule on `conferences.held_on` when the day has one, or what else the database says.
pub async fn insert(conn: &mut SqliteConnection, held_on: Day, title: &Title) -> Result<i64, StoreError> {
    let (id,): (i64,) =
        sqlx::query_as("insert into conferences (held_on, title) values ($1, $2) returning id")
            .bind(held_on.to_string())
            .bind(title.as_str())
            .fetch_one(conn)
            .await?;
    Ok(id)
}

/// Every conference with its agenda.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn list(conn: &mut SqliteConnection, today: Day) -> Result<Conferences, StoreError> {
    let rows: Vec<ConferenceRow> = sqlx::query_as(
        "select id, held_on, title, length_minutes, carried_minutes, moderator, ended_at
         from conferences order by held_on",
    )
    .fetch_all(&mut *conn)
    .await?;
    let agenda_rows: Vec<AgendaRow> = sqlx::query_as(
        "select conference_id, cases.id, code_year, code_number, cases.title, stage, recorded_by, box_minutes,
                presenter, discussant,
                exists (select 1 from case_findings where case_findings.case_id = cases.id) as held
         from conference_cases join cases on cases.id = conference_cases.case_id
         where conference_cases.removed_at is null order by conference_id, conference_cases.position",
    )
    .fetch_all(conn)
    .await?;
    let mut agendas: BTreeMap<i64, Vec<AgendaCase>> = BTreeMap::new();
    for row in &agenda_rows {
        agendas.entry(row.conference_id).or_default().push(agenda_case(row)?);
    }
    let mut list = Conferences::default();
    for row in &rows {
        let one = conference(row, agendas.remove(&row.id).unwrap_or_default())?;
        let is_past = one.held_on() < today || one.is_ended();
        if is_past { &mut list.past } else { &mut list.coming }.push(one);
    }
    list.past.reverse();
    Ok(list)
}

/// The conference of this id; none when there is no such conference.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn find(conn: &mut SqliteConnection, id: i64) -> Result<Option<Conference>, StoreError> {
    let row: Option<ConferenceRow> = sqlx::query_as(
        "select id, held_on, title, length_minutes, carried_minutes, moderator, ended_at
         from conferences where id = $1",
    )
    .bind(id)
    .fetch_optional(&mut *conn)
    .await?;
    with_agenda(conn, row).await
}

/// The conference of today or the soonest after that was not ended; none when none is to come.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn next(conn: &mut SqliteConnection, today: Day) -> Result<Option<Conference>, StoreError> {
    let row: Option<ConferenceRow> = sqlx::query_as(
        "select id, held_on, title, length_minutes, carried_minutes, moderator, ended_at
         from conferences where held_on >= $1 and ended_at is null order by held_on limit 1",
    )
    .bind(today.to_string())
    .fetch_optional(&mut *conn)
    .await?;
    with_agenda(conn, row).await
}

/// The day and the name of the conference after a day; none when none is set.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn next_after(conn: &mut SqliteConnection, day: Day) -> Result<Option<(Day, Title)>, StoreError> {
    let row: Option<(i64, String, String)> = sqlx::query_as(
        "select id, held_on, title from conferences where held_on > $1 order by held_on limit 1",
    )
    .bind(day.to_string())
    .fetch_optional(conn)
    .await?;
    row.map(|(id, held_on, title)| Ok((read(TABLE, id, &held_on)?, read(TABLE, id, &title)?))).transpose()
}

async fn with_agenda(
    conn: &mut SqliteConnection,
    row: Option<ConferenceRow>,
) -> Result<Option<Conference>, StoreError> {
    let Some(row) = row else {
        return Ok(None);
    };
    let cases: Vec<AgendaRow> = sqlx::query_as(
        "select conference_id, cases.id, code_year, code_number, cases.title, stage, recorded_by, box_minutes,
                presenter, discussant,
                exists (select 1 from case_findings where case_findings.case_id = cases.id) as held
         from conference_cases join cases on cases.id = conference_cases.case_id
         where conference_id = $1 and conference_cases.removed_at is null
         order by conference_cases.position",
    )
    .bind(row.id)
    .fetch_all(conn)
    .await?;
    let cases = cases.iter().map(agenda_case).collect::<Result<_, _>>()?;
    conference(&row, cases).map(Some)
}
