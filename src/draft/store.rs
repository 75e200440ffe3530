//! The SQL of drafts.

use jiff::Timestamp;
use sqlx::{FromRow, SqliteConnection};

use super::{AT_MOST, Draft, KeptDraft, old_before};
use crate::database::{StoreError, read};

#[derive(FromRow)]
struct DraftRow {
    action: String,
    page: String,
    title: String,
    fields: String,
    written_at: String,
}

fn kept(row: DraftRow) -> Result<KeptDraft, StoreError> {
    Ok(KeptDraft {
        at: read("drafts", &row.action, &row.written_at)?,
        draft: Draft { action: row.action, page: row.page, title: row.title, fields: row.fields },
    })
}

/// Keeps a draft in the place of the one that the same form had; those that are old or too many go.
///
/// # Errors
/// What the database says.
pub async fn keep(
    conn: &mut SqliteConnection,
    user_id: i64,
    draft: &Draft,
    now: Timestamp,
) -> Result<(), StoreError> {
    sqlx::query(
        "insert into drafts (user_id, action, page, title, fields, written_at)
         values ($1, $2, $3, $4, $5, $6)
         on conflict (user_id, action) do update set page = excluded.page, title = excluded.title,
             fields = excluded.fields, written_at = excluded.written_at",
    )
    .bind(user_id)
    .bind(&draft.action)
    .bind(&draft.page)
    .bind(&draft.title)
    .bind(&draft.fields)
    .bind(now.to_string())
    .execute(&mut *conn)
    .await?;
    sqlx::query(
        "delete from drafts where user_id = $1 and (written_at < $2 or action not in
             (select action from drafts where user_id = $1 order by written_at desc limit $3))",
    )
    .bind(user_id)
    .bind(old_before(now).to_string())
    .bind(AT_MOST)
    .execute(conn)
    .await?;
    Ok(())
}

/// The drafts of an account, the last written first.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn list(
    conn: &mut SqliteConnection,
    user_id: i64,
    now: Timestamp,
) -> Result<Vec<KeptDraft>, StoreError> {
    let rows: Vec<DraftRow> = sqlx::query_as(
        "select action, page, title, fields, written_at from drafts
         where user_id = $1 and written_at >= $2 order by written_at desc",
    )
    .bind(user_id)
    .bind(old_before(now).to_string())
    .fetch_all(conn)
    .await?;
    rows.into_iter().map(kept).collect()
}

/// The draft of a form, if the account has one.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn find(
    conn: &mut SqliteConnection,
    user_id: i64,
    action: &str,
) -> Result<Option<KeptDraft>, StoreError> {
    let row: Option<DraftRow> = sqlx::query_as(
        "select action, page, title, fields, written_at from drafts where user_id = $1 and action = $2",
    )
    .bind(user_id)
    .bind(action)
    .fetch_optional(conn)
    .await?;
    row.map(kept).transpose()
}

/// Lets go of the draft of a form.
///
/// # Errors
/// What the database says.
pub async fn discard(conn: &mut SqliteConnection, user_id: i64, action: &str) -> Result<(), StoreError> {
    sqlx::query("delete from drafts where user_id = $1 and action = $2")
        .bind(user_id)
        .bind(action)
        .execute(conn)
        .await?;
    Ok(())
}

/// Lets go of everybody's drafts under an address: of a case that is purged.
///
/// # Errors
/// What the database says.
pub async fn discard_under(conn: &mut SqliteConnection, address: &str) -> Result<(), StoreError> {
    // Between `/cases/2026-001/` and what comes after every address that begins so.
    sqlx::query("delete from drafts where action >= $1 and action < $2")
        .bind(format!("{address}/"))
        .bind(format!("{address}0"))
        .execute(conn)
        .await?;
    Ok(())
}
