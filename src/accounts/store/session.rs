//! The SQL of sessions. Only the digest of a session's secret is kept.

use jiff::{Span, Timestamp};
use sqlx::{FromRow, SqliteConnection};

use super::{UserRow, select_users, user};
use crate::accounts::{Life, SESSION_HOURS, Secret, Session};
use crate::database::{StoreError, read, read_opt};

#[derive(FromRow)]
struct SessionRow {
    #[sqlx(flatten)]
    user: UserRow,
    handle: String,
    created_at: String,
    last_used_at: Option<String>,
    browser: Option<String>,
    role_then: Option<String>,
}

fn session(row: &SessionRow) -> Result<Session, StoreError> {
    let began = read("sessions", &row.handle, &row.created_at)?;
    let last_used = read_opt("sessions", &row.handle, row.last_used_at.as_ref())?.unwrap_or(began);
    Ok(Session {
        handle: row.handle.clone(),
        user: user(&row.user)?,
        life: Life { began, last_used },
        role_then: read_opt("sessions", &row.handle, row.role_then.as_ref())?,
        browser: row.browser.clone().unwrap_or_default(),
    })
}

/// Starts a session for an account, in a browser of these rough words. Sessions that are over are cleared
/// away with it.
///
/// # Errors
/// What the database says.
pub async fn start_session(
    conn: &mut SqliteConnection,
    user_id: i64,
    secret: &Secret,
    browser: &str,
    now: Timestamp,
) -> Result<(), StoreError> {
    sqlx::query("delete from sessions where expires_at < $1")
        .bind(now.to_string())
        .execute(&mut *conn)
        .await?;
    let until = now.checked_add(Span::new().hours(SESSION_HOURS)).unwrap_or(now);
    sqlx::query(
        "insert into sessions (token_digest, user_id, created_at, expires_at, last_used_at, browser, role)
         select $1, id, $3, $4, $3, $5, role from users where id = $2",
    )
    .bind(secret.digest())
    .bind(user_id)
    .bind(now.to_string())
    .bind(until.to_string())
    .bind(browser)
    .execute(conn)
    .await?;
    Ok(())
}

/// The open session of a secret, with its active account; none when it has ended.
///
/// # Errors
/// What the database says.
pub async fn find_session(
    conn: &mut SqliteConnection,
    secret: &Secret,
    now: Timestamp,
) -> Result<Option<Session>, StoreError> {
    let row: Option<SessionRow> = sqlx::query_as(select_users!(
        ", substr(token_digest, 1, 16) as handle, sessions.created_at, last_used_at, browser,
           sessions.role as role_then
         from sessions join users on users.id = sessions.user_id
         where token_digest = $1 and ended_at is null"
    ))
    .bind(secret.digest())
    .fetch_optional(conn)
    .await?;
    let found = row.as_ref().map(session).transpose()?;
    Ok(found.filter(|session| session.life.is_open(now)))
}

/// The open sessions of an account, the one that was used last first.
///
/// # Errors
/// What the database says.
pub async fn list_sessions(
    conn: &mut SqliteConnection,
    user_id: i64,
    now: Timestamp,
) -> Result<Vec<Session>, StoreError> {
    let rows: Vec<SessionRow> = sqlx::query_as(select_users!(
        ", substr(token_digest, 1, 16) as handle, sessions.created_at, last_used_at, browser,
           sessions.role as role_then
         from sessions join users on users.id = sessions.user_id
         where sessions.user_id = $1 order by last_used_at desc, token_digest"
    ))
    .bind(user_id)
    .fetch_all(conn)
    .await?;
    let all: Result<Vec<Session>, StoreError> = rows.iter().map(session).collect();
    Ok(all?.into_iter().filter(|session| session.life.is_open(now)).collect())
}

/// Writes down that a session was used now.
///
/// # Errors
/// What the database says.
pub async fn note_use(
    conn: &mut SqliteConnection,
    secret: &Secret,
    now: Timestamp,
) -> Result<(), StoreError> {
    sqlx::query("update sessions set last_used_at = $2 where token_digest = $1")
        .bind(secret.digest())
        .bind(now.to_string())
        .execute(conn)
        .await?;
    Ok(())
}

/// Gives a session a new secret, for the role that its account has now. Says whether there was one.
///
/// # Errors
/// What the database says.
pub async fn renew_secret(
    conn: &mut SqliteConnection,
    old: &Secret,
    new: &Secret,
    now: Timestamp,
) -> Result<bool, StoreError> {
    let done = sqlx::query(
        "update sessions set token_digest = $2, last_used_at = $3,
             role = (select role from users where users.id = sessions.user_id)
         where token_digest = $1",
    )
    .bind(old.digest())
    .bind(new.digest())
    .bind(now.to_string())
    .execute(conn)
    .await?;
    Ok(done.rows_affected() == 1)
}

/// Ends one session.
///
/// # Errors
/// What the database says.
pub async fn end_session(conn: &mut SqliteConnection, secret: &Secret) -> Result<(), StoreError> {
    sqlx::query("delete from sessions where token_digest = $1").bind(secret.digest()).execute(conn).await?;
    Ok(())
}

/// Ends one session of an account by what pages call it. Says whether there was one.
///
/// # Errors
/// What the database says.
pub async fn end_named_session(
    conn: &mut SqliteConnection,
    user_id: i64,
    handle: &str,
) -> Result<bool, StoreError> {
    let done = sqlx::query("delete from sessions where user_id = $1 and substr(token_digest, 1, 16) = $2")
        .bind(user_id)
        .bind(handle)
        .execute(conn)
        .await?;
    Ok(done.rows_affected() > 0)
}

/// Ends every session of an account but the one that pages call so.
///
/// # Errors
/// What the database says.
pub async fn end_other_sessions(
    conn: &mut SqliteConnection,
    user_id: i64,
    handle: &str,
) -> Result<(), StoreError> {
    sqlx::query("delete from sessions where user_id = $1 and substr(token_digest, 1, 16) <> $2")
        .bind(user_id)
        .bind(handle)
        .execute(conn)
        .await?;
    Ok(())
}

/// Ends every session of an account.
///
/// # Errors
/// What the database says.
pub async fn end_sessions(conn: &mut SqliteConnection, user_id: i64) -> Result<(), StoreError> {
    sqlx::query("delete from sessions where user_id = $1").bind(user_id).execute(conn).await?;
    Ok(())
}
