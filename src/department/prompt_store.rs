//! The SQL of a department's own lists of response prompts.

use sqlx::{FromRow, SqliteConnection};

use super::{OwnList, PromptWords};
use crate::database::StoreError;
use crate::response::PromptList;

#[derive(FromRow)]
struct Row {
    slug: String,
    text: String,
    retired: bool,
}

impl Row {
    fn read(self, words: &PromptWords) -> OwnList {
        OwnList::of(self.slug, self.text, self.retired, words)
    }
}

/// The department's own lists by name, retired ones too. One that cannot be read is among them, with
/// the reason.
///
/// # Errors
/// What the database says.
pub async fn list(conn: &mut SqliteConnection, words: &PromptWords<'_>) -> Result<Vec<OwnList>, StoreError> {
    let rows: Vec<Row> =
        sqlx::query_as("select slug, text, retired from prompt_lists order by slug").fetch_all(conn).await?;
    Ok(rows.into_iter().map(|row| row.read(words)).collect())
}

/// The department's own list of this name.
///
/// # Errors
/// What the database says.
pub async fn find(
    conn: &mut SqliteConnection,
    slug: &str,
    words: &PromptWords<'_>,
) -> Result<Option<OwnList>, StoreError> {
    let row: Option<Row> = sqlx::query_as("select slug, text, retired from prompt_lists where slug = $1")
        .bind(slug)
        .fetch_optional(conn)
        .await?;
    Ok(row.map(|row| row.read(words)))
}

/// Adds a list, with the text that it was read from.
///
/// # Errors
/// The rule on `prompt_lists.slug` when the name is taken, or what else the database says.
pub async fn add(conn: &mut SqliteConnection, list: &PromptList, text: &str) -> Result<(), StoreError> {
    sqlx::query("insert into prompt_lists (slug, text, retired) values ($1, $2, $3)")
        .bind(list.slug().as_str())
        .bind(text)
        .bind(false)
        .execute(conn)
        .await?;
    Ok(())
}

/// Puts the text that a list was read from in the place of the one that is kept under its name. Says
/// whether there is one.
///
/// # Errors
/// What the database says.
pub async fn rewrite(conn: &mut SqliteConnection, list: &PromptList, text: &str) -> Result<bool, StoreError> {
    let done = sqlx::query("update prompt_lists set text = $2 where slug = $1")
        .bind(list.slug().as_str())
        .bind(text)
        .execute(conn)
        .await?;
    Ok(done.rows_affected() > 0)
}

/// Retires a list, or brings it back. Remarks in cases stay either way. Says whether there is one.
///
/// # Errors
/// What the database says.
pub async fn set_retired(conn: &mut SqliteConnection, slug: &str, retired: bool) -> Result<bool, StoreError> {
    let done = sqlx::query("update prompt_lists set retired = $2 where slug = $1")
        .bind(slug)
        .bind(retired)
        .execute(conn)
        .await?;
    Ok(done.rows_affected() > 0)
}
