//! The SQL of sign-in links. Only the digest of a link's secret is kept.

use jiff::{Span, Timestamp};
use sqlx::{FromRow, SqliteConnection};

use super::{UserRow, select_users, user};
use crate::accounts::{LINK_HOURS, Secret, User};
use crate::database::StoreError;

/// A link that still opens something.
#[derive(Debug, Clone)]
pub struct Link {
    /// The account that it opens.
    pub user: User,
    /// Whether it opens more than once, as those of the demo do; else whoever follows it chooses a password.
    pub reusable: bool,
}

#[derive(FromRow)]
struct LinkRow {
    #[sqlx(flatten)]
    user: UserRow,
    reusable: bool,
}

fn after(now: Timestamp, span: Span) -> String {
    now.checked_add(span).unwrap_or(now).to_string()
}

/// Keeps a sign-in link for an account: for one use, or, in the demo, for any number until it expires. A
/// link for one use takes the place of every earlier one.
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
    if !reusable {
        sqlx::query("delete from sign_in_links where user_id = $1").bind(user_id).execute(&mut *conn).await?;
    }
    sqlx::query(
        "insert into sign_in_links (token_digest, user_id, reusable, expires_at) values ($1, $2, $3, $4)",
    )
    .bind(secret.digest())
    .bind(user_id)
    .bind(reusable)
    .bind(after(now, Span::new().hours(hours)))
    .execute(conn)
    .await?;
    Ok(())
}

/// What a sign-in link still opens; none when it was used, has expired, or would last longer than any link
/// does, because the clock was put back.
///
/// # Errors
/// What the database says.
pub async fn find_link(
    conn: &mut SqliteConnection,
    secret: &Secret,
    now: Timestamp,
) -> Result<Option<Link>, StoreError> {
    let row: Option<LinkRow> = sqlx::query_as(select_users!(
        ", reusable from sign_in_links join users on users.id = sign_in_links.user_id
         where token_digest = $1 and expires_at between $2 and $3 and (used_at is null or reusable = $4)
               and ended_at is null"
    ))
    .bind(secret.digest())
    .bind(now.to_string())
    .bind(after(now, Span::new().hours(LINK_HOURS).minutes(5)))
    .bind(true)
    .fetch_optional(conn)
    .await?;
    row.map(|row| Ok(Link { user: user(&row.user)?, reusable: row.reusable })).transpose()
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
