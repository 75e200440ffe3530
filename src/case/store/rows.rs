//! What every list of a case has in common: a row goes in, changes, is taken out and put back.

use sqlx::SqliteConnection;

use super::{
    actions, causes, complications, decisions, events, kept, labs, lesions, lessons, observations, pictures,
};
use crate::case::decision::Decision;
use crate::case::lab::Lab;
use crate::case::observation::Observation;
use crate::case::picture::Picture;
use crate::case::record::{Action, Cause, Complication, Event, Lesion, Lesson};
use crate::case::search_sqlite;
use crate::database::StoreError;
use crate::quantity::words;

words!(
    /// One of the lists of a case.
    Part, "a list of a case", {
        Lesion = "lesions", "Lesion";
        Event = "events", "Event";
        Complication = "complications", "Complication";
        Lab = "labs", "Laboratory value";
        Observation = "observations", "Observation";
        Decision = "decisions", "Decision point";
        Cause = "causes", "Cause";
        Lesson = "lessons", "Lesson";
        Action = "actions", "Action";
        Picture = "pictures", "Picture";
    }
);

/// A row for one of the lists.
#[derive(Debug, Clone, PartialEq)]
#[expect(missing_docs, reason = "each is the type it names")]
pub enum RowValue {
    Lesion(Lesion),
    Event(Event),
    Complication(Complication),
    Lab(Lab),
    Observation(Observation),
    Decision(Decision),
    Cause(Cause),
    Lesson(Lesson),
    Action(Action),
    Picture(Picture),
}

/// Adds a row to its list and gives its id.
///
/// # Errors
/// What the database says.
pub async fn insert_row(
    conn: &mut SqliteConnection,
    case_id: i64,
    value: &RowValue,
    now: jiff::Timestamp,
) -> Result<i64, StoreError> {
    let id = match value {
        RowValue::Lesion(lesion) => lesions::insert(conn, case_id, lesion).await?,
        RowValue::Event(event) => events::insert(conn, case_id, event).await?,
        RowValue::Complication(complication) => {
            let id = complications::insert(conn, case_id, complication).await?;
            complications::link_parent(conn, case_id, complication).await?;
            id
        }
        RowValue::Lab(lab) => labs::insert(conn, case_id, lab).await?,
        RowValue::Observation(observation) => observations::insert(conn, case_id, observation).await?,
        RowValue::Decision(decision) => decisions::insert(conn, case_id, decision).await?,
        RowValue::Cause(cause) => causes::insert(conn, case_id, cause).await?,
        RowValue::Lesson(lesson) => lessons::insert(conn, case_id, lesson).await?,
        RowValue::Action(action) => actions::insert(conn, case_id, action, now).await?,
        RowValue::Picture(picture) => pictures::insert(conn, case_id, picture).await?,
    };
    touch(conn, case_id, now).await?;
    Ok(id)
}

/// Adds several events at once, in one look over the case.
///
/// # Errors
/// What the database says.
pub async fn insert_events(
    conn: &mut SqliteConnection,
    case_id: i64,
    events: &[Event],
    now: jiff::Timestamp,
) -> Result<(), StoreError> {
    for event in events {
        super::events::insert(conn, case_id, event).await?;
    }
    touch(conn, case_id, now).await
}

/// Writes a row over the one that has this id in the case.
///
/// # Errors
/// What the database says.
pub async fn update_row(
    conn: &mut SqliteConnection,
    case_id: i64,
    id: i64,
    value: &RowValue,
    now: jiff::Timestamp,
) -> Result<(), StoreError> {
    match value {
        RowValue::Lesion(lesion) => lesions::update(conn, case_id, id, lesion).await?,
        RowValue::Event(event) => events::update(conn, case_id, id, event).await?,
        RowValue::Complication(complication) => {
            complications::update(conn, case_id, id, complication).await?;
            complications::link_parent(conn, case_id, complication).await?;
        }
        RowValue::Lab(lab) => labs::update(conn, case_id, id, lab).await?,
        RowValue::Observation(observation) => {
            observations::update(conn, case_id, id, observation).await?;
        }
        RowValue::Decision(decision) => decisions::update(conn, case_id, id, decision).await?,
        RowValue::Cause(cause) => causes::update(conn, case_id, id, cause).await?,
        RowValue::Lesson(lesson) => lessons::update(conn, case_id, id, lesson).await?,
        RowValue::Action(action) => actions::update(conn, case_id, id, action, now).await?,
        RowValue::Picture(picture) => pictures::update(conn, case_id, id, picture).await?,
    }
    touch(conn, case_id, now).await
}

/// Takes a row out of its list; it can be put back. Says whether there was one.
///
/// # Errors
/// What the database says.
pub async fn take_out(
    conn: &mut SqliteConnection,
    case_id: i64,
    part: Part,
    id: i64,
    now: jiff::Timestamp,
) -> Result<bool, StoreError> {
    let sql = match part {
        Part::Lesion => {
            "update lesions set removed_at = $3 where case_id = $1 and id = $2 and removed_at is null"
        }
        Part::Event => {
            "update events set removed_at = $3 where case_id = $1 and id = $2 and removed_at is null"
        }
        Part::Complication => {
            "update complications set removed_at = $3 where case_id = $1 and id = $2 and removed_at is null"
        }
        Part::Lab => "update labs set removed_at = $3 where case_id = $1 and id = $2 and removed_at is null",
        Part::Observation => {
            "update observations set removed_at = $3 where case_id = $1 and id = $2 and removed_at is null"
        }
        Part::Decision => {
            "update decisions set removed_at = $3 where case_id = $1 and id = $2 and removed_at is null"
        }
        Part::Cause => {
            "update causes set removed_at = $3 where case_id = $1 and id = $2 and removed_at is null"
        }
        Part::Lesson => {
            "update lessons set removed_at = $3 where case_id = $1 and id = $2 and removed_at is null"
        }
        Part::Action => {
            "update actions set removed_at = $3 where case_id = $1 and id = $2 and removed_at is null"
        }
        Part::Picture => {
            "update pictures set removed_at = $3 where case_id = $1 and id = $2 and removed_at is null"
        }
    };
    let done = sqlx::query(sql).bind(case_id).bind(id).bind(now.to_string()).execute(&mut *conn).await?;
    touch(conn, case_id, now).await?;
    Ok(done.rows_affected() > 0)
}

/// Puts a row back that was taken out. Says whether there was one.
///
/// # Errors
/// What the database says.
pub async fn put_back(
    conn: &mut SqliteConnection,
    case_id: i64,
    part: Part,
    id: i64,
    now: jiff::Timestamp,
) -> Result<bool, StoreError> {
    let sql = match part {
        Part::Lesion => "update lesions set removed_at = null where case_id = $1 and id = $2",
        Part::Event => "update events set removed_at = null where case_id = $1 and id = $2",
        Part::Complication => "update complications set removed_at = null where case_id = $1 and id = $2",
        Part::Lab => "update labs set removed_at = null where case_id = $1 and id = $2",
        Part::Observation => "update observations set removed_at = null where case_id = $1 and id = $2",
        Part::Decision => "update decisions set removed_at = null where case_id = $1 and id = $2",
        Part::Cause => "update causes set removed_at = null where case_id = $1 and id = $2",
        Part::Lesson => "update lessons set removed_at = null where case_id = $1 and id = $2",
        Part::Action => "update actions set removed_at = null where case_id = $1 and id = $2",
        Part::Picture => "update pictures set removed_at = null where case_id = $1 and id = $2",
    };
    let done = sqlx::query(sql).bind(case_id).bind(id).execute(&mut *conn).await?;
    touch(conn, case_id, now).await?;
    Ok(done.rows_affected() > 0)
}

/// Marks the case as changed now, finds it by its new words, and works out anew what is kept of it.
pub(super) async fn touch(
    conn: &mut SqliteConnection,
    case_id: i64,
    now: jiff::Timestamp,
) -> Result<(), StoreError> {
    sqlx::query("update case_records set updated_at = $2 where id = $1")
        .bind(case_id)
        .bind(now.to_string())
        .execute(&mut *conn)
        .await?;
    kept::refresh(conn, case_id).await?;
    search_sqlite::refresh(conn, case_id).await
}
