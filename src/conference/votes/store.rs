//! The SQL of votes: here the presenter's side, with counts; a phone's side in [`phone`], without.

mod phone;

pub use phone::{Cast, cast, slip};

use jiff::Timestamp;
use sqlx::{FromRow, QueryBuilder, Sqlite, SqliteConnection};

use super::ballot::{Ballot, HandCounts};
use super::{Hands, Phase, Poll, PollCode, Tally};
use crate::case::Key;
use crate::database::{StoreError, number_opt, read, read_opt};

/// What became of asking for a poll.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Opened {
    /// It is open now, under the code that was given.
    New,
    /// The decision has one of this phase that is open still, under this code; nothing was changed.
    AlreadyOpen(PollCode),
}

/// Opens a poll of a decision of a case. Run it in a write transaction.
///
/// # Errors
/// The rule `polls.code` when the code was given before; or what else the database says.
pub async fn open(
    conn: &mut SqliteConnection,
    (case_id, decision, phase): (i64, &Key, Phase),
    ballot: &Ballot,
    code: &PollCode,
    now: Timestamp,
) -> Result<Opened, StoreError> {
    let standing: Option<(i64, String)> = sqlx::query_as(
        "select id, code from polls
         where case_id = $1 and decision_key = $2 and phase = $3 and closed_at is null",
    )
    .bind(case_id)
    .bind(decision.as_str())
    .bind(phase.slug())
    .fetch_optional(&mut *conn)
    .await?;
    if let Some((id, code)) = standing {
        return Ok(Opened::AlreadyOpen(read("polls", id, &code)?));
    }
    let (id,): (i64,) = sqlx::query_as(
        "insert into polls (case_id, decision_key, phase, question, code, opened_at)
         values ($1, $2, $3, $4, $5, $6) returning id",
    )
    .bind(case_id)
    .bind(decision.as_str())
    .bind(phase.slug())
    .bind(ballot.question())
    .bind(code.as_str())
    .bind(now.to_string())
    .fetch_one(&mut *conn)
    .await?;
    QueryBuilder::<Sqlite>::new("insert into poll_options (poll_id, position, text) ")
        .push_values(ballot.options(), |mut row, (position, text)| {
            row.push_bind(id).push_bind(i64::from(position.number())).push_bind(text.to_owned());
        })
        .build()
        .execute(conn)
        .await?;
    Ok(Opened::New)
}

/// An option with its poll and its counts.
#[derive(FromRow)]
struct TallyRow {
    id: i64,
    case_id: i64,
    decision_key: String,
    phase: String,
    question: String,
    code: String,
    opened_at: String,
    closed_at: Option<String>,
    text: String,
    hands: i64,
    phones: i64,
}

/// Polls with their counts in one statement, the earliest opened first.
macro_rules! polls_where {
    ($condition:literal) => {
        concat!(
            "select polls.id, case_id, decision_key, phase, question, code, opened_at, closed_at, text, hands,
                    (select count(*) from poll_votes
                     where poll_votes.poll_id = poll_options.poll_id
                       and poll_votes.position = poll_options.position) as phones
             from polls join poll_options on poll_options.poll_id = polls.id
             where ",
            $condition,
            " order by polls.id, poll_options.position"
        )
    };
}

fn poll(row: &TallyRow) -> Result<Poll, StoreError> {
    Ok(Poll {
        case_id: row.case_id,
        decision: read("polls", row.id, &row.decision_key)?,
        phase: read("polls", row.id, &row.phase)?,
        question: row.question.clone(),
        code: read("polls", row.id, &row.code)?,
        opened_at: read("polls", row.id, &row.opened_at)?,
        closed_at: read_opt("polls", row.id, row.closed_at.as_ref())?,
        options: Vec::new(),
    })
}

fn tally(row: &TallyRow) -> Result<Tally, StoreError> {
    Ok(Tally {
        text: row.text.clone(),
        hands: number_opt::<Hands>("poll_options", row.id, Some(row.hands))?.unwrap_or_default(),
        phones: number_opt::<u32>("poll_votes", row.id, Some(row.phones))?.unwrap_or_default(),
    })
}

fn polls(rows: &[TallyRow]) -> Result<Vec<Poll>, StoreError> {
    rows.chunk_by(|one, next| one.id == next.id)
        .map(|rows| {
            let options = rows.iter().map(tally).collect::<Result<_, _>>()?;
            Ok(Poll { options, ..poll(&rows[0])? })
        })
        .collect()
}

/// The poll of this code with its counts; none when there is no such poll.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn find(conn: &mut SqliteConnection, code: &PollCode) -> Result<Option<Poll>, StoreError> {
    let rows: Vec<TallyRow> =
        sqlx::query_as(polls_where!("polls.code = $1")).bind(code.as_str()).fetch_all(conn).await?;
    Ok(polls(&rows)?.pop())
}

/// Every poll of a case with its counts, in the order in which they were opened.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn list(conn: &mut SqliteConnection, case_id: i64) -> Result<Vec<Poll>, StoreError> {
    let rows: Vec<TallyRow> =
        sqlx::query_as(polls_where!("polls.case_id = $1")).bind(case_id).fetch_all(conn).await?;
    polls(&rows)
}

/// Every poll of the cases on a conference's agenda with its counts, in the order in which they were
/// opened.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn list_of_conference(
    conn: &mut SqliteConnection,
    conference_id: i64,
) -> Result<Vec<Poll>, StoreError> {
    let rows: Vec<TallyRow> = sqlx::query_as(polls_where!(
        "polls.case_id in (select conference_cases.case_id from conference_cases
                           where conference_id = $1 and removed_at is null)"
    ))
    .bind(conference_id)
    .fetch_all(conn)
    .await?;
    polls(&rows)
}

/// Sets the hands that were counted; an option without a count keeps what it has. Setting the same
/// again changes nothing, and a closed poll takes hands too: the count of a room whose network was
/// down comes late. A count for an option that the poll has not is dropped.
///
/// # Errors
/// What the database says.
pub async fn set_hands(
    conn: &mut SqliteConnection,
    code: &PollCode,
    counts: &HandCounts,
) -> Result<(), StoreError> {
    let [first, second, third, fourth, fifth, sixth] =
        counts.by_position().map(|hands| hands.map(|hands| i64::from(hands.count())));
    sqlx::query(
        "update poll_options set hands = coalesce(
             case position when 1 then $2 when 2 then $3 when 3 then $4
                           when 4 then $5 when 5 then $6 when 6 then $7 end,
             hands)
         where poll_id = (select id from polls where code = $1)",
    )
    .bind(code.as_str())
    .bind(first)
    .bind(second)
    .bind(third)
    .bind(fourth)
    .bind(fifth)
    .bind(sixth)
    .execute(conn)
    .await?;
    Ok(())
}

/// Closes a poll; one that is closed stays as it is. Run it in a write transaction: a vote is then
/// either counted before or refused after.
///
/// # Errors
/// What the database says.
pub async fn close(conn: &mut SqliteConnection, code: &PollCode, now: Timestamp) -> Result<(), StoreError> {
    sqlx::query("update polls set closed_at = $2 where code = $1 and closed_at is null")
        .bind(code.as_str())
        .bind(now.to_string())
        .execute(conn)
        .await?;
    Ok(())
}
