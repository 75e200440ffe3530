//! The write-ahead log of SQLite.

use sqlx::SqliteConnection;

use super::StoreError;

/// Moves what stands in the write-ahead log into the file and empties the log: what was erased from the file would
/// stand in it until it is written over. Where somebody reads for long, SQLite leaves it to a later turn.
///
/// # Errors
/// What the database says.
pub async fn empty_log(conn: &mut SqliteConnection) -> Result<(), StoreError> {
    sqlx::query("pragma wal_checkpoint(truncate)").fetch_all(conn).await?;
    Ok(())
}
