//! The SQL of accounts; of sessions, links and second factors in the files beside it.

mod link;
mod second_factor;
mod session;
mod step;

use jiff::Timestamp;
use sqlx::{FromRow, SqliteConnection};

use super::user::{Role, User, UserName};
use crate::database::{StoreError, read};

pub use link::{Link, find_link, insert_link, use_link};
pub use second_factor::{
    SecondFactor, begin_second_factor, confirm_second_factor, count_recovery_codes, find_second_factor,
    remove_second_factor, set_recovery_codes, use_recovery_code, use_step,
};
pub use session::{
    end_named_session, end_other_sessions, end_session, end_sessions, find_session, list_sessions, note_use,
    renew_secret, start_session,
};
pub use step::{begin_step, end_step, end_waiting_and_sessions, find_step};

#[derive(FromRow)]
struct UserRow {
    id: i64,
    name: String,
    role: String,
    ended_at: Option<String>,
    signed_in_at: Option<String>,
    has_password: bool,
    second_factor: bool,
}

/// A query for accounts: their columns, then the rest of the statement.
macro_rules! select_users {
    ($rest:literal) => {
        concat!(
            "select users.id, name, users.role, ended_at, signed_in_at, password_hash is not null as has_password,
                    exists (select 1 from second_factors
                            where user_id = users.id and confirmed_at is not null) as second_factor ",
            $rest
        )
    };
}
use select_users;

fn user(row: &UserRow) -> Result<User, StoreError> {
    Ok(User {
        id: row.id,
        name: read("users", row.id, &row.name)?,
        role: read("users", row.id, &row.role)?,
        active: row.ended_at.is_none(),
        has_signed_in: row.signed_in_at.is_some(),
        has_password: row.has_password,
        second_factor: row.second_factor,
    })
}

/// Every account, ended ones last.
///
/// # Errors
/// What the database says.
pub async fn list(conn: &mut SqliteConnection) -> Result<Vec<User>, StoreError> {
    let rows: Vec<UserRow> = sqlx::query_as(select_users!("from users order by ended_at is not null, name"))
        .fetch_all(conn)
        .await?;
    rows.iter().map(user).collect()
}

/// The account of this name; none when there is no such account.
///
/// # Errors
/// What the database says.
pub async fn find_by_name(conn: &mut SqliteConnection, name: &UserName) -> Result<Option<User>, StoreError> {
    let row: Option<UserRow> = sqlx::query_as(select_users!("from users where name = $1"))
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
        sqlx::query_as(select_users!("from users where users.id = $1")).bind(id).fetch_optional(conn).await?;
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

/// Gives an account another role. The next request of its sessions has it, and then a new secret.
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

/// Ends every session of an account, every sign-in link that was given for it, and every sign-in that
/// waits for its code.
///
/// # Errors
/// What the database says.
pub async fn close_doors(conn: &mut SqliteConnection, id: i64) -> Result<(), StoreError> {
    sqlx::query("delete from sign_in_links where user_id = $1").bind(id).execute(&mut *conn).await?;
    end_waiting_and_sessions(conn, id).await
}

/// Takes an account back to where it began: no password, no second factor, no session, no link.
///
/// # Errors
/// What the database says.
pub async fn reset(conn: &mut SqliteConnection, id: i64) -> Result<(), StoreError> {
    sqlx::query("update users set password_hash = null where id = $1").bind(id).execute(&mut *conn).await?;
    remove_second_factor(&mut *conn, id).await?;
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

/// Keeps the hash of a new password. All sessions of the account end, and sign-ins that wait for a code.
///
/// # Errors
/// What the database says.
pub async fn set_password_hash(conn: &mut SqliteConnection, id: i64, hash: &str) -> Result<(), StoreError> {
    sqlx::query("update users set password_hash = $2 where id = $1")
        .bind(id)
        .bind(hash)
        .execute(&mut *conn)
        .await?;
    end_waiting_and_sessions(conn, id).await
}

/// Keeps the same password's hash that was made anew, unless the password was changed meanwhile.
///
/// # Errors
/// What the database says.
pub async fn renew_password_hash(
    conn: &mut SqliteConnection,
    id: i64,
    before: &str,
    hash: &str,
) -> Result<(), StoreError> {
    sqlx::query("update users set password_hash = $3 where id = $1 and password_hash = $2")
        .bind(id)
        .bind(before)
        .bind(hash)
        .execute(conn)
        .await?;
    Ok(())
}

/// The active account of this name with the kept hash of its password, to compare with
/// [`super::check_password`].
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

/// Writes down that an account has signed in.
///
/// # Errors
/// What the database says.
pub async fn note_sign_in(conn: &mut SqliteConnection, id: i64, now: Timestamp) -> Result<(), StoreError> {
    sqlx::query("update users set signed_in_at = $2 where id = $1")
        .bind(id)
        .bind(now.to_string())
        .execute(conn)
        .await?;
    Ok(())
}
