//! The SQL of what is typed in a meeting, and of its end.

use sqlx::{QueryBuilder, Sqlite, SqliteConnection};

use super::carried::{mark_not_reached, unmark_not_reached};
use crate::case::Day;
use crate::conference::{Attendance, Notes};
use crate::database::StoreError;

/// Writes who came over what was written before.
///
/// # Errors
/// What the database says.
pub async fn set_attendance(
    conn: &mut SqliteConnection,
    conference_id: i64,
    attendance: &Attendance,
) -> Result<(), StoreError> {
    sqlx::query("delete from conference_attendance where conference_id = $1")
        .bind(conference_id)
        .execute(&mut *conn)
        .await?;
    if attendance.is_empty() {
        return Ok(());
    }
    let mut sql =
        QueryBuilder::<Sqlite>::new("insert into conference_attendance (conference_id, role, people) ");
    sql.push_values(attendance.groups(), |mut row, (group, people)| {
        row.push_bind(conference_id).push_bind(group.slug()).push_bind(i64::from(people.get()));
    });
    sql.build().execute(conn).await?;
    Ok(())
}

/// Writes what was said apart from the cases.
///
/// # Errors
/// What the database says.
pub async fn set_notes(
    conn: &mut SqliteConnection,
    conference_id: i64,
    notes: Option<&Notes>,
) -> Result<(), StoreError> {
    sqlx::query("update conferences set notes = $2 where id = $1")
        .bind(conference_id)
        .bind(notes.map(|notes| notes.as_str()))
        .execute(conn)
        .await?;
    Ok(())
}

/// Writes what was said of a case.
///
/// # Errors
/// What the database says.
pub async fn set_case_notes(
    conn: &mut SqliteConnection,
    conference_id: i64,
    case_id: i64,
    notes: Option<&Notes>,
) -> Result<(), StoreError> {
    sqlx::query("update conference_cases set notes = $3 where conference_id = $1 and case_id = $2")
        .bind(conference_id)
        .bind(case_id)
        .bind(notes.map(|notes| notes.as_str()))
        .execute(conn)
        .await?;
    Ok(())
}

/// Marks a lesson as written in a meeting.
///
/// # Errors
/// What the database says.
pub async fn mark_lesson(
    conn: &mut SqliteConnection,
    conference_id: i64,
    lesson_id: i64,
) -> Result<(), StoreError> {
    sqlx::query("insert into conference_lessons (conference_id, lesson_id) values ($1, $2)")
        .bind(conference_id)
        .bind(lesson_id)
        .execute(conn)
        .await?;
    Ok(())
}

/// Marks an action as written in a meeting.
///
/// # Errors
/// What the database says.
pub async fn mark_action(
    conn: &mut SqliteConnection,
    conference_id: i64,
    action_id: i64,
) -> Result<(), StoreError> {
    sqlx::query("insert into conference_actions (conference_id, action_id) values ($1, $2)")
        .bind(conference_id)
        .bind(action_id)
        .execute(conn)
        .await?;
    Ok(())
}

/// Ends a meeting: its ready cases become presented, and no other; what of the carried-over actions it did
/// not come to is marked so. Run it in a write transaction.
///
/// # Errors
/// What the database says.
pub async fn end(
    conn: &mut SqliteConnection,
    conference_id: i64,
    (now, today): (jiff::Timestamp, Day),
) -> Result<(), StoreError> {
    mark_not_reached(conn, conference_id, today).await?;
    sqlx::query(
        "update case_records set stage = 'presented', updated_at = $2
         where stage = 'ready' and id in (select case_id from conference_cases
                                          where conference_id = $1 and removed_at is null)",
    )
    .bind(conference_id)
    .bind(now.to_string())
    .execute(&mut *conn)
    .await?;
    set_ended(conn, conference_id, now).await
}

/// Writes that a meeting was ended, and changes nothing else.
///
/// # Errors
/// What the database says.
pub async fn set_ended(
    conn: &mut SqliteConnection,
    conference_id: i64,
    at: jiff::Timestamp,
) -> Result<(), StoreError> {
    sqlx::query("update conferences set ended_at = $2 where id = $1")
        .bind(conference_id)
        .bind(at.to_string())
        .execute(conn)
        .await?;
    Ok(())
}

/// Opens a meeting again that was ended. Its cases stay as they are. Run it in a write transaction.
///
/// # Errors
/// What the database says.
pub async fn reopen(conn: &mut SqliteConnection, conference_id: i64) -> Result<(), StoreError> {
    unmark_not_reached(conn, conference_id).await?;
    sqlx::query("update conferences set ended_at = null where id = $1")
        .bind(conference_id)
        .execute(conn)
        .await?;
    Ok(())
}
