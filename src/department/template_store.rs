//! The SQL of the department's own slides.

use jiff::Timestamp;
use sqlx::SqliteConnection;

use crate::database::{StoreError, read};

/// The department's own slides, as they are kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeptTemplate {
    /// A presentation without slides.
    pub package: Vec<u8>,
    /// Since when.
    pub kept_at: Timestamp,
}

/// The template, when there is one.
///
/// # Errors
/// What the database says.
pub async fn load(conn: &mut SqliteConnection) -> Result<Option<KeptTemplate>, StoreError> {
    let row: Option<(Vec<u8>, String)> =
        sqlx::query_as("select package, kept_at from slides_template where id = 1")
            .fetch_optional(conn)
            .await?;
    row.map(|(package, at)| Ok(KeptTemplate { package, kept_at: read("slides_template", 1, &at)? }))
        .transpose()
}

/// Keeps a template in place of the one before.
///
/// # Errors
/// What the database says.
pub async fn keep(conn: &mut SqliteConnection, package: &[u8], at: Timestamp) -> Result<(), StoreError> {
    sqlx::query(
        "insert into slides_template (id, package, kept_at) values (1, $1, $2)
         on conflict (id) do update set package = excluded.package, kept_at = excluded.kept_at",
    )
    .bind(package)
    .bind(at.to_string())
    .execute(conn)
    .await?;
    Ok(())
}

/// Forgets the template.
///
/// # Errors
/// What the database says.
pub async fn forget(conn: &mut SqliteConnection) -> Result<(), StoreError> {
    sqlx::query("delete from slides_template where id = 1").execute(conn).await?;
    Ok(())
}
