//! What a phone asks of a poll: its slip, and to count its vote. No count is read here.

use sqlx::{FromRow, SqliteConnection};

use crate::conference::votes::{DeviceDigest, PollCode, Position, Slip};
use crate::database::{StoreError, number_opt, read};

/// What became of a vote.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Cast {
    /// It counts, instead of what the device chose before.
    Counted,
    /// The poll is closed; nothing was changed.
    Closed,
    /// The poll has no such option; nothing was changed.
    NoSuchOption,
    /// There is no such poll.
    NoSuchPoll,
}

/// Counts the vote of a device; a second vote of it takes the place of the first. One statement asks
/// whether the poll is open and writes. Run it in a write transaction.
///
/// # Errors
/// What the database says.
pub async fn cast(
    conn: &mut SqliteConnection,
    code: &PollCode,
    device: &DeviceDigest,
    position: Position,
) -> Result<Cast, StoreError> {
    let written = sqlx::query(
        "insert into poll_votes (poll_id, device_digest, position)
         select polls.id, $2, poll_options.position
         from polls join poll_options on poll_options.poll_id = polls.id
         where polls.code = $1 and polls.closed_at is null and poll_options.position = $3
         on conflict (poll_id, device_digest) do update set position = excluded.position",
    )
    .bind(code.as_str())
    .bind(device.as_str())
    .bind(i64::from(position.number()))
    .execute(&mut *conn)
    .await?;
    if written.rows_affected() > 0 {
        return Ok(Cast::Counted);
    }
    let found: Option<(Option<String>,)> = sqlx::query_as("select closed_at from polls where code = $1")
        .bind(code.as_str())
        .fetch_optional(conn)
        .await?;
    Ok(match found {
        None => Cast::NoSuchPoll,
        Some((Some(_),)) => Cast::Closed,
        Some((None,)) => Cast::NoSuchOption,
    })
}

/// An option as a phone is shown it.
#[derive(FromRow)]
struct SlipRow {
    id: i64,
    question: String,
    phase: String,
    is_open: bool,
    text: String,
    own: Option<i64>,
}

/// What a phone is shown of the poll of this code; none when there is no such poll.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn slip(
    conn: &mut SqliteConnection,
    code: &PollCode,
    device: &DeviceDigest,
) -> Result<Option<Slip>, StoreError> {
    let rows: Vec<SlipRow> = sqlx::query_as(
        "select polls.id, question, phase, closed_at is null as is_open, text,
                (select position from poll_votes
                 where poll_votes.poll_id = polls.id and device_digest = $2) as own
         from polls join poll_options on poll_options.poll_id = polls.id
         where polls.code = $1 order by poll_options.position",
    )
    .bind(code.as_str())
    .bind(device.as_str())
    .fetch_all(conn)
    .await?;
    let Some(first) = rows.first() else {
        return Ok(None);
    };
    Ok(Some(Slip {
        question: first.question.clone(),
        phase: read("polls", first.id, &first.phase)?,
        is_open: first.is_open,
        own: number_opt("poll_votes", first.id, first.own)?,
        options: rows.into_iter().map(|row| row.text).collect(),
    }))
}
