//! The SQL of the step between a right password or link and a right code. It is no session: its secret
//! lies in another cookie and another table, and opens nothing but the question for the code.

use jiff::Timestamp;
use sqlx::{FromRow, SqliteConnection};

use super::{UserRow, end_sessions, select_users, user};
use crate::accounts::{STEP_MINUTES, Secret, User, is_within};
use crate::database::{StoreError, read};

#[derive(FromRow)]
struct StepRow {
    #[sqlx(flatten)]
    user: UserRow,
    began_at: String,
}

/// Begins to wait for the code of an account. Whoever was waited for before is no more.
///
/// # Errors
/// What the database says.
pub async fn begin_step(
    conn: &mut SqliteConnection,
    user_id: i64,
    secret: &Secret,
    now: Timestamp,
) -> Result<(), StoreError> {
    sqlx::query("delete from sign_in_steps where user_id = $1").bind(user_id).execute(&mut *conn).await?;
    sqlx::query("insert into sign_in_steps (token_digest, user_id, began_at) values ($1, $2, $3)")
        .bind(secret.digest())
        .bind(user_id)
        .bind(now.to_string())
        .execute(conn)
        .await?;
    Ok(())
}

/// The active account whose code is waited for; none when it took too long.
///
/// # Errors
/// What the database says.
pub async fn find_step(
    conn: &mut SqliteConnection,
    secret: &Secret,
    now: Timestamp,
) -> Result<Option<User>, StoreError> {
    let row: Option<StepRow> = sqlx::query_as(select_users!(
        ", began_at from sign_in_steps join users on users.id = sign_in_steps.user_id
         where token_digest = $1 and ended_at is null"
    ))
    .bind(secret.digest())
    .fetch_optional(conn)
    .await?;
    let Some(row) = row else {
        return Ok(None);
    };
    let began = read("sign_in_steps", row.user.id, &row.began_at)?;
    if is_within(began, now, STEP_MINUTES) { user(&row.user).map(Some) } else { Ok(None) }
}

/// Waits no more.
///
/// # Errors
/// What the database says.
pub async fn end_step(conn: &mut SqliteConnection, secret: &Secret) -> Result<(), StoreError> {
    sqlx::query("delete from sign_in_steps where token_digest = $1")
        .bind(secret.digest())
        .execute(conn)
        .await?;
    Ok(())
}

/// Ends every session of an account, and every sign-in that waits for its code.
///
/// # Errors
/// What the database says.
pub async fn end_waiting_and_sessions(conn: &mut SqliteConnection, user_id: i64) -> Result<(), StoreError> {
    sqlx::query("delete from sign_in_steps where user_id = $1").bind(user_id).execute(&mut *conn).await?;
    end_sessions(conn, user_id).await
}
