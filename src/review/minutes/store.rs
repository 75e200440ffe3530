//! The SQL of minutes: everything that they say, read with a handful of statements.

use sqlx::SqliteConnection;

use super::Inputs;
use crate::case::Sight;
use crate::conference::store as conferences;
use crate::database::StoreError;

/// Everything that the minutes of a conference are made from, of the cases in sight; none when there is no such conference.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn gather(
    conn: &mut SqliteConnection,
    conference_id: i64,
    sight: Sight,
) -> Result<Option<Inputs>, StoreError> {
    let Some(conference) = conferences::find(conn, conference_id).await? else {
        return Ok(None);
    };
    Ok(Some(Inputs {
        line: conferences::confidentiality(conn).await?,
        next: conferences::next_after(conn, conference.held_on()).await?,
        meeting: conferences::meeting(conn, conference, sight).await?,
    }))
}
