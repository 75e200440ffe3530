//! The SQL of accounts, sessions and sign-in links.

use jiff::{Span, Timestamp};
use sqlx::{FromRow, SqliteConnection};

use super::password;
use super::secret::Secret;
use super::user::{Role, User, UserName};
use crate::database::{StoreError, read};

/// How long a session lasts from sign-in, in hours.
pub const SESSION_HOURS: i64 = 12;

#[derive(FromRow)]
struct UserRow {
    id: i64,
    name: String,
    role: String,
    ended_at: Option<String>,
    password_hash: Option<String>,
}

fn user(row: &UserRow) -> Result<User, StoreError> {
    Ok(User {
        id: row.id,
        name: read("users", row.id, &row.name)?,
        role: read("users", row.id, &row.role)?,
        active: row.ended_at.is_none(),
        has_password: row.password_hash.is_some(),
    })
}

fn after(now: Timestamp, hours: i64) -> String {
    now.checked_add(Span::new().hours(hours)).unwrap_or(now).to_string()
}

/// Every account, ended ones last.
///
/// # Errors
/// What the database says.
pub async fn list(conn: &mut SqliteConnection) -> Result<Vec<User>, StoreError> {
    let rows: Vec<UserRow> = sqlx::query_as(
        "select id, name, role, ended_at, password_hash from users order by ended_at is not null, name",
    )
    .fetch_all(conn)
    .await?;
    rows.iter().map(user).collect()
}

/// The account of this name; none when there is no such account.
///
/// # Errors
/// What the database says.
pub async fn find_by_name(conn: &mut SqliteConnection, name: &UserName) -> Result<Option<User>, StoreError> {
    let row: Option<UserRow> =
        sqlx::query_as("select id, name, role, ended_at, password_hash from users where name = $1")
            .bind(name.as_str())
            .fetch_optional(conn)
            .await?;
    row.as_ref().map(user).transpose()
}

/// The account of this id; none when there is no such account.
///
/// # Errors
/// What the database says.
pub async fn find(conn: &mut SqliteConnection, id: i64) -> Result<Option<User>, StoreError> {
    let row: Option<UserRow> =
        sqlx::query_as("select id, name, role, ended_at, password_hash from users where id = $1")
            .bind(id)
            .fetch_optional(conn)
            .await?;
    row.as_ref().map(user).transpose()
}

/// Adds an account without a password.
///
/// # Errors
/// The rule on `users.name` when the name is taken, or what else the database says.
pub async fn insert(
    conn: &mut SqliteConnection,
    name: &UserName,
    role: Role,
    now: Timestamp,
) -> Result<i64, StoreError> {
    let (id,): (i64,) =
        sqlx::query_as("insert into users (name, role, created_at) values ($1, $2, $3) returning id")
            .bind(name.as_str())
            .bind(role.slug())
            .bind(now.to_string())
            .fetch_one(conn)
            .await?;
    Ok(id)
}

/// Gives an account another role. The next request of its sessions has it.
///
/// # Errors
/// What the database says.
pub async fn set_role(conn: &mut SqliteConnection, id: i64, role: Role) -> Result<(), StoreError> {
    sqlx::query("update users set role = $2 where id = $1").bind(id).bind(role.slug()).execute(conn).await?;
    Ok(())
}

/// Ends an account, or takes it up again. Its sessions and links end with it.
///
/// # Errors
/// What the database says.
pub async fn set_active(
    conn: &mut SqliteConnection,
    id: i64,
    active: bool,
    now: Timestamp,
) -> Result<(), StoreError> {
    sqlx::query("update users set ended_at = $2 where id = $1")
        .bind(id)
        .bind((!active).then(|| now.to_string()))
        .execute(&mut *conn)
        .await?;
    if !active {
        close_doors(conn, id).await?;
    }
    Ok(())
}

/// Ends every session of an account and every sign-in link that was given for it.
///
/// # Errors
/// What the database says.
pub async fn close_doors(conn: &mut SqliteConnection, id: i64) -> Result<(), StoreError> {
    end_sessions(conn, id).await?;
    sqlx::query("delete from sign_in_links where user_id = $1").bind(id).execute(conn).await?;
    Ok(())
}

/// Takes an account back to where it began: no password, no session, no link.
///
/// # Errors
/// What the database says.
pub async fn reset(conn: &mut SqliteConnection, id: i64) -> Result<(), StoreError> {
    sqlx::query("update users set password_hash = null where id = $1").bind(id).execute(&mut *conn).await?;
    close_doors(conn, id).await
}

/// How many accounts can sign in as quality lead.
///
/// # Errors
/// What the database says.
pub async fn count_quality_leads(conn: &mut SqliteConnection) -> Result<i64, StoreError> {
    let (count,): (i64,) =
        sqlx::query_as("select count(*) from users where role = 'quality-lead' and ended_at is null")
            .fetch_one(conn)
            .await?;
    Ok(count)
}

/// Keeps the hash of a new password. Other sessions of the account end.
///
/// # Errors
/// What the database says.
pub async fn set_password_hash(conn: &mut SqliteConnection, id: i64, hash: &str) -> Result<(), StoreError> {
    sqlx::query("update users set password_hash = $2 where id = $1")
        .bind(id)
        .bind(hash)
        .execute(&mut *conn)
        .await?;
    end_sessions(conn, id).await
}

/// The kept hash of an active account's password, for [`check_password`].
///
/// # Errors
/// What the database says.
pub async fn password_hash(
    conn: &mut SqliteConnection,
    name: &str,
) -> Result<Option<(i64, Option<String>)>, StoreError> {
    Ok(sqlx::query_as("select id, password_hash from users where name = $1 and ended_at is null")
        .bind(name)
        .fetch_optional(conn)
        .await?)
}

/// Whether a password is the one whose hash was kept. Takes some 30 ms: off the request's thread.
#[must_use]
pub fn check_password(given: &str, kept: Option<&str>) -> bool {
    password::verify(given, kept)
}

/// Starts a session for an account and gives its secret for the cookie.
///
/// # Errors
/// What the database says.
pub async fn start_session(
    conn: &mut SqliteConnection,
    user_id: i64,
    secret: &Secret,
    now: Timestamp,
) -> Result<(), StoreError> {
    sqlx::query("delete from sessions where expires_at < $1")
        .bind(now.to_string())
        .execute(&mut *conn)
        .await?;
    sqlx::query(
        "insert into sessions (token_digest, user_id, created_at, expires_at) values ($1, $2, $3, $4)",
    )
    .bind(secret.digest())
    .bind(user_id)
    .bind(now.to_string())
    .bind(after(now, SESSION_HOURS))
    .execute(conn)
    .await?;
    Ok(())
}

/// The active account that a session belongs to; none when it has ended.
///
/// # Errors
/// What the database says.
pub async fn find_session(
    conn: &mut SqliteConnection,
    secret: &Secret,
    now: Timestamp,
) -> Result<Option<User>, StoreError> {
    let row: Option<UserRow> = sqlx::query_as(
        "select users.id, name, role, ended_at, password_hash
         from sessions join users on users.id = sessions.user_id
         where token_digest = $1 and expires_at >= $2 and ended_at is null",
    )
    .bind(secret.digest())
    .bind(now.to_string())
    .fetch_optional(conn)
    .await?;
    row.as_ref().map(user).transpose()
}

/// Ends one session.
///
/// # Errors
/// What the database says.
pub async fn end_session(conn: &mut SqliteConnection, secret: &Secret) -> Result<(), StoreError> {
    sqlx::query("delete from sessions where token_digest = $1").bind(secret.digest()).execute(conn).await?;
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

/// Keeps a sign-in link for an account: for one use, or, in the demo, for any number until it expires.
///
/// # Errors
/// What the database says.
pub async fn insert_link(
    conn: &mut SqliteConnection,
    user_id: i64,
    secret: &Secret,
    reusable: bool,
    hours: i64,
    now: Timestamp,
) -> Result<(), StoreError> {
    sqlx::query(
        "insert into sign_in_links (token_digest, user_id, reusable, expires_at) values ($1, $2, $3, $4)",
    )
    .bind(secret.digest())
    .bind(user_id)
    .bind(reusable)
    .bind(after(now, hours))
    .execute(conn)
    .await?;
    Ok(())
}

/// The active account that a sign-in link still opens; none when it was used or has expired.
///
/// # Errors
/// What the database says.
pub async fn find_link(
    conn: &mut SqliteConnection,
    secret: &Secret,
    now: Timestamp,
) -> Result<Option<User>, StoreError> {
    let row: Option<UserRow> = sqlx::query_as(
        "select users.id, name, role, ended_at, password_hash
         from sign_in_links join users on users.id = sign_in_links.user_id
         where token_digest = $1 and expires_at >= $2 and (used_at is null or reusable = $3)
               and ended_at is null",
    )
    .bind(secret.digest())
    .bind(now.to_string())
    .bind(true)
    .fetch_optional(conn)
    .await?;
    row.as_ref().map(user).transpose()
}

/// Marks a sign-in link as used.
///
/// # Errors
/// What the database says.
pub async fn use_link(
    conn: &mut SqliteConnection,
    secret: &Secret,
    now: Timestamp,
) -> Result<(), StoreError> {
    sqlx::query("update sign_in_links set used_at = $2 where token_digest = $1")
        .bind(secret.digest())
        .bind(now.to_string())
        .execute(conn)
        .await?;
    Ok(())
}
