//! The SQL of what a department sets for its conferences.

use sqlx::SqliteConnection;

use crate::conference::Confidentiality;
use crate::database::{StoreError, read};
use crate::department::store as department;

const LINE: &str = "conference.confidentiality";

/// The confidentiality line; the usual one where nobody wrote one.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn confidentiality(conn: &mut SqliteConnection) -> Result<Confidentiality, StoreError> {
    let held: Option<(String,)> =
        sqlx::query_as("select value from settings where name = $1").bind(LINE).fetch_optional(conn).await?;
    held.map_or_else(|| Ok(Confidentiality::default()), |(text,)| read("settings", LINE, &text))
}

/// Takes a confidentiality line.
///
/// # Errors
/// What the database says.
pub async fn set_confidentiality(
    conn: &mut SqliteConnection,
    line: &Confidentiality,
) -> Result<(), StoreError> {
    department::set(conn, &[(LINE.to_owned(), line.to_string())]).await
}
