//! The SQL of plans: the day, the boxes, the roles.

use sqlx::SqliteConnection;

use crate::conference::{CasePlan, Minutes, Plan};
use crate::database::StoreError;

/// Writes a plan over the one that a conference has.
///
/// # Errors
/// The rule on `conferences.held_on` when another conference has the day, or what else the database
/// says.
pub async fn set_plan(
    conn: &mut SqliteConnection,
    conference_id: i64,
    plan: &Plan,
) -> Result<(), StoreError> {
    sqlx::query(
        "update conferences set held_on = $2, title = $3, length_minutes = $4, carried_minutes = $5, moderator = $6
         where id = $1",
    )
    .bind(conference_id)
    .bind(plan.held_on.to_string())
    .bind(plan.title.as_str())
    .bind(i64::from(plan.length.get()))
    .bind(plan.carried.map(Minutes::get).map(i64::from))
    .bind(plan.moderator.as_ref().map(|role| role.as_str()))
    .execute(conn)
    .await?;
    Ok(())
}

/// Writes the box and the roles of a case on an agenda.
///
/// # Errors
/// What the database says.
pub async fn set_case_plan(
    conn: &mut SqliteConnection,
    conference_id: i64,
    case_id: i64,
    plan: &CasePlan,
) -> Result<(), StoreError> {
    sqlx::query(
        "update conference_cases set box_minutes = $3, presenter = $4, discussant = $5
         where conference_id = $1 and case_id = $2",
    )
    .bind(conference_id)
    .bind(case_id)
    .bind(i64::from(plan.time_box.get()))
    .bind(plan.presenter.as_ref().map(|role| role.as_str()))
    .bind(plan.discussant.as_ref().map(|role| role.as_str()))
    .execute(conn)
    .await?;
    Ok(())
}
