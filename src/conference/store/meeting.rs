//! The SQL of meetings: all that one holds, in a handful of statements.

use std::collections::{BTreeMap, BTreeSet};

use sqlx::{FromRow, SqliteConnection};

use super::candidates::mechanisms;
use super::carried::carried;
use super::of_ids;
use crate::case::Sight;
use crate::conference::meeting::{ActionLine, Discussed, LessonLine, Meeting, Written};
use crate::conference::votes::{in_words, store as polls_of};
use crate::conference::{AgendaCase, Attendance, Conference, People};
use crate::database::{StoreError, read, read_opt};

#[derive(FromRow)]
pub(super) struct ActionRow {
    pub(super) id: i64,
    case_id: i64,
    what: String,
    owner: String,
    due: String,
    strength: String,
    measure: Option<String>,
    state: String,
    done_on: Option<String>,
}

pub(super) fn action_line(row: &ActionRow) -> Result<ActionLine, StoreError> {
    const TABLE: &str = "actions";
    Ok(ActionLine {
        id: row.id,
        what: read(TABLE, row.id, &row.what)?,
        owner: read(TABLE, row.id, &row.owner)?,
        due: read(TABLE, row.id, &row.due)?,
        strength: read(TABLE, row.id, &row.strength)?,
        measure: read_opt(TABLE, row.id, row.measure.as_ref())?,
        state: read(TABLE, row.id, &row.state)?,
        done_on: read_opt(TABLE, row.id, row.done_on.as_ref())?,
    })
}

/// A conference with all that its meeting holds of the cases in sight; its agenda stays whole.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn meeting(
    conn: &mut SqliteConnection,
    conference: Conference,
    sight: Sight,
) -> Result<Meeting, StoreError> {
    let id = conference.id;
    let (notes,): (Option<String>,) =
        sqlx::query_as("select notes from conferences where id = $1").bind(id).fetch_one(&mut *conn).await?;
    let seen: Vec<&AgendaCase> = conference.cases.iter().filter(|case| case.is_in(sight)).collect();
    let ids: Vec<i64> = seen.iter().map(|case| case.id).collect();
    let (lessons_here, actions_here) = additions(conn, id).await?;
    let mut of_cases = OfCases {
        mechanisms: mechanisms(conn, &ids).await?,
        heads: heads(conn, id).await?,
        lessons: lessons(conn, &ids, &lessons_here).await?,
        actions: actions(conn, &ids, &actions_here).await?,
    };
    let polls = polls_of::list_of_conference(conn, id).await?;
    let cases = seen
        .into_iter()
        .map(|case| {
            let (notes, harm) = of_cases.heads.remove(&case.id).unwrap_or_default();
            Ok(Discussed {
                case: case.clone(),
                mechanisms: of_cases.mechanisms.remove(&case.id).unwrap_or_default(),
                harm: read_opt("cases", case.id, harm.as_ref())?,
                notes: read_opt("conference_cases", case.id, notes.as_ref())?,
                lessons: of_cases.lessons.remove(&case.id).unwrap_or_default(),
                actions: of_cases.actions.remove(&case.id).unwrap_or_default(),
                votes: in_words(polls.iter().filter(|poll| poll.case_id == case.id)),
            })
        })
        .collect::<Result<_, StoreError>>()?;
    Ok(Meeting {
        notes: read_opt("conferences", id, notes.as_ref())?,
        attendance: attendance(conn, id).await?,
        carried: carried(conn, &conference, sight).await?,
        cases,
        conference,
    })
}

/// What the cases of an agenda hold, by the case's id.
struct OfCases {
    mechanisms: BTreeMap<i64, Vec<crate::vocabulary::MechanismSlug>>,
    heads: BTreeMap<i64, (Option<String>, Option<String>)>,
    lessons: BTreeMap<i64, Vec<Written<LessonLine>>>,
    actions: BTreeMap<i64, Vec<Written<ActionLine>>>,
}

/// The notes of each case and its degree of harm.
async fn heads(
    conn: &mut SqliteConnection,
    conference_id: i64,
) -> Result<BTreeMap<i64, (Option<String>, Option<String>)>, StoreError> {
    let rows: Vec<(i64, Option<String>, Option<String>)> = sqlx::query_as(
        "select cases.id, notes, harm from conference_cases join cases on cases.id = conference_cases.case_id
         where conference_id = $1 and removed_at is null",
    )
    .bind(conference_id)
    .fetch_all(conn)
    .await?;
    Ok(rows.into_iter().map(|(id, notes, harm)| (id, (notes, harm))).collect())
}

#[derive(FromRow)]
struct LessonRow {
    id: i64,
    case_id: i64,
    kind: String,
    text: String,
    signed_by: Option<String>,
}

async fn lessons(
    conn: &mut SqliteConnection,
    ids: &[i64],
    here: &BTreeSet<i64>,
) -> Result<BTreeMap<i64, Vec<Written<LessonLine>>>, StoreError> {
    const TABLE: &str = "lessons";
    let mut found: BTreeMap<i64, Vec<Written<LessonLine>>> = BTreeMap::new();
    if ids.is_empty() {
        return Ok(found);
    }
    let start = "select id, case_id, kind, text, signed_by from lessons
         where removed_at is null and case_id in (";
    let rows: Vec<LessonRow> =
        of_ids(start, ids).push(" order by id").build_query_as().fetch_all(&mut *conn).await?;
    for row in &rows {
        let line = LessonLine {
            kind: read(TABLE, row.id, &row.kind)?,
            text: read(TABLE, row.id, &row.text)?,
            signed: row.signed_by.is_some(),
        };
        found.entry(row.case_id).or_default().push(Written { line, here: here.contains(&row.id) });
    }
    Ok(found)
}

async fn actions(
    conn: &mut SqliteConnection,
    ids: &[i64],
    here: &BTreeSet<i64>,
) -> Result<BTreeMap<i64, Vec<Written<ActionLine>>>, StoreError> {
    let mut found: BTreeMap<i64, Vec<Written<ActionLine>>> = BTreeMap::new();
    if ids.is_empty() {
        return Ok(found);
    }
    let start = "select id, case_id, what, owner, due, strength, measure, state, done_on from actions
         where removed_at is null and case_id in (";
    let rows: Vec<ActionRow> =
        of_ids(start, ids).push(" order by id").build_query_as().fetch_all(&mut *conn).await?;
    for row in &rows {
        let written = Written { line: action_line(row)?, here: here.contains(&row.id) };
        found.entry(row.case_id).or_default().push(written);
    }
    Ok(found)
}

/// The ids of the lessons and of the actions that were written in a meeting.
async fn additions(
    conn: &mut SqliteConnection,
    conference_id: i64,
) -> Result<(BTreeSet<i64>, BTreeSet<i64>), StoreError> {
    let rows: Vec<(String, i64)> = sqlx::query_as(
        "select 'lesson', lesson_id from conference_lessons where conference_id = $1
         union all select 'action', action_id from conference_actions where conference_id = $1",
    )
    .bind(conference_id)
    .fetch_all(conn)
    .await?;
    let (lessons, actions): (Vec<_>, Vec<_>) = rows.into_iter().partition(|(kind, _)| kind == "lesson");
    let ids = |rows: Vec<(String, i64)>| rows.into_iter().map(|(_, id)| id).collect();
    Ok((ids(lessons), ids(actions)))
}

async fn attendance(conn: &mut SqliteConnection, conference_id: i64) -> Result<Attendance, StoreError> {
    const TABLE: &str = "conference_attendance";
    let rows: Vec<(String, i64)> =
        sqlx::query_as("select role, people from conference_attendance where conference_id = $1")
            .bind(conference_id)
            .fetch_all(conn)
            .await?;
    rows.iter()
        .map(|(role, people)| {
            let people = People::try_from(*people).map_err(|error| StoreError::Corrupt {
                table: TABLE,
                key: conference_id.to_string(),
                why: error.to_string(),
            })?;
            Ok((read(TABLE, conference_id, role)?, people))
        })
        .collect()
}
