//! The SQL of cases: a whole case in and out, and its head. The rows of its lists are beside
//! this file, one module a list.

mod actions;
mod by_case;
mod causes;
mod complications;
mod decisions;
mod events;
mod head;
mod identifiers;
mod kept;
mod keys;
mod labs;
mod learned;
mod lesions;
mod lessons;
mod observations;
mod pictures;
mod prompts;
mod recurring;
mod rows;
mod sight;
mod versions;
mod withdrawal;

use std::collections::BTreeSet;

use sqlx::SqliteConnection;

use self::keys::Keys;
use super::code::{CaseCode, Key};
use super::record::Case;
use super::search_sqlite;
use super::stored::StoredCase;
use crate::database::StoreError;

pub use actions::{ActionStep, Asked, action_steps, list_actions, list_open};
pub use head::{next_number, set_stage, update_head};
pub use identifiers::{
    Dismissing, add_own_words, all_dismissals, dismiss, dismissals, dismissals_everywhere, empty_own_words,
    give_salt, held, own_words, read_some, reword_recurring, take_dismissal_back, take_own_word, unread,
};
pub use kept::{keep_all, keep_up, kept_otherwise};
pub use learned::{LearnedLesson, LearnedPage, Recurring, lessons_of_cases, signed_lessons};
pub use lessons::{EarlierLesson, UnsignedLesson, earlier_lessons, list_unsigned, sign};
pub use pictures::{erase_picture, forget_pixels, keep_png, pixels_held, png, pngs};
pub use prompts::say;
pub use recurring::{Joined, joined_lessons, recurring_lessons};
pub use rows::{Part, RowValue, insert_events, insert_row, put_back, take_out, update_row};
pub use sight::{is_seen, push_sight};
pub use versions::{restore, tables_of};
pub use withdrawal::{kept_for, purge, purged, put_case_back, set_kept_for, was_given, withdraw, withdrawn};

/// The id of a case by its code; none when there is no such case.
///
/// # Errors
/// What the database says.
pub async fn find_id(conn: &mut SqliteConnection, code: CaseCode) -> Result<Option<i64>, StoreError> {
    let row: Option<(i64,)> =
        sqlx::query_as("select id from cases where code_year = $1 and code_number = $2")
            .bind(code.year())
            .bind(code.number())
            .fetch_optional(conn)
            .await?;
    Ok(row.map(|(id,)| id))
}

/// A whole case by its code; none when there is no such case.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn find(conn: &mut SqliteConnection, code: CaseCode) -> Result<Option<StoredCase>, StoreError> {
    match find_id(conn, code).await? {
        Some(id) => Ok(find_some(conn, &[id]).await?.pop()),
        None => Ok(None),
    }
}

/// Some whole cases by their ids, in the order of their codes, with as many statements as one takes. One that
/// is not there, or was withdrawn, is left out. At most 32,000, which is what SQLite takes in a statement.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn find_some(conn: &mut SqliteConnection, ids: &[i64]) -> Result<Vec<StoredCase>, StoreError> {
    let heads = head::list(conn, ids).await?;
    if heads.is_empty() {
        return Ok(Vec::new());
    }
    let ids: Vec<i64> = heads.iter().map(|found| found.id).collect();
    let ids = ids.as_slice();
    let mut events = events::list(conn, ids).await?;
    let numbers = Keys::of(events.rows().map(|row| (row.id, &row.value.key)));
    let mut complications = complications::list(conn, ids, &numbers).await?;
    let harms = Keys::of(complications.rows().map(|row| (row.id, &row.value.key)));
    let mut decisions = decisions::list(conn, ids).await?;
    let choices = Keys::of(decisions.rows().map(|row| (row.id, &row.value.key)));
    let mut lesions = lesions::list(conn, ids).await?;
    let mut labs = labs::list(conn, ids).await?;
    let mut observations = observations::list(conn, ids, &harms).await?;
    let mut prompts = prompts::list(conn, ids, &numbers, &harms).await?;
    let mut causes = causes::list(conn, ids, &numbers).await?;
    let mut lessons = lessons::list(conn, ids, &numbers, &choices).await?;
    let mut actions = actions::list(conn, ids).await?;
    let mut pictures = pictures::list(conn, ids, &numbers).await?;
    let mut cases: Vec<StoredCase> = heads
        .into_iter()
        .map(|found| StoredCase {
            id: found.id,
            code: found.code,
            recorded_by: found.recorded_by,
            updated_at: found.updated_at,
            head: found.head,
            lesions: lesions.take(found.id),
            labs: labs.take(found.id),
            observations: observations.take(found.id),
            prompts: prompts.take(found.id),
            causes: causes.take(found.id),
            lessons: lessons.take(found.id),
            actions: actions.take(found.id),
            pictures: pictures.take(found.id),
            decisions: decisions.take(found.id),
            complications: complications.take(found.id),
            events: events.take(found.id),
            identifiers: Vec::new(),
        })
        .collect();
    identifiers::fill(conn, &mut cases).await?;
    Ok(cases)
}

/// Stores a whole case: one that was checked ([`super::check`]) and whose code, when it has one,
/// is free. Gives the code.
///
/// # Errors
/// What the database says; a code that is taken is the rule on `cases.code_year`.
pub async fn insert(
    conn: &mut SqliteConnection,
    case: &Case,
    recorded_by: Option<i64>,
    now: jiff::Timestamp,
) -> Result<CaseCode, StoreError> {
    let code = match case.code {
        Some(code) => code,
        None => head::next_code(conn, case.month.year()).await?,
    };
    let id = head::insert(conn, code, &case.head(), recorded_by, now).await?;
    for lesion in &case.lesions {
        lesions::insert(conn, id, lesion).await?;
    }
    for event in &case.events {
        events::insert(conn, id, event).await?;
    }
    for complication in &case.complications {
        complications::insert(conn, id, complication).await?;
    }
    // A harm may stand in the file before the one it followed from.
    for complication in &case.complications {
        complications::link_parent(conn, id, complication).await?;
    }
    for lab in &case.labs {
        labs::insert(conn, id, lab).await?;
    }
    for observation in &case.observations {
        observations::insert(conn, id, observation).await?;
    }
    for remark in &case.prompts {
        prompts::set(conn, id, remark).await?;
    }
    for decision in &case.decisions {
        decisions::insert(conn, id, decision).await?;
    }
    for cause in &case.causes {
        causes::insert(conn, id, cause).await?;
    }
    for lesson in &case.lessons {
        lessons::insert(conn, id, lesson).await?;
    }
    for action in &case.actions {
        actions::insert(conn, id, action, now).await?;
    }
    kept::keep_new(conn, id, code, case).await?;
    search_sqlite::refresh(conn, id).await?;
    Ok(code)
}

/// Every code, in order; with `stages`, of cases in those only.
///
/// # Errors
/// What the database says.
pub async fn codes(conn: &mut SqliteConnection) -> Result<Vec<CaseCode>, StoreError> {
    let rows: Vec<(i64, i64)> =
        sqlx::query_as("select code_year, code_number from cases order by code_year, code_number")
            .fetch_all(conn)
            .await?;
    rows.into_iter().map(|(year, number)| code_of("cases", year, number)).collect()
}

/// A key for a new row of a case that no row has, also none that was taken out.
///
/// # Errors
/// What the database says.
pub async fn free_key(conn: &mut SqliteConnection, case_id: i64, part: Part) -> Result<Key, StoreError> {
    let mut keys = free_keys(conn, case_id, part, 1).await?;
    Ok(keys.pop().unwrap_or_else(|| Key::next_free("e", |_| false)))
}

/// So many keys for new rows of a case, as [`free_key`] gives one.
///
/// # Errors
/// What the database says.
pub async fn free_keys(
    conn: &mut SqliteConnection,
    case_id: i64,
    part: Part,
    count: usize,
) -> Result<Vec<Key>, StoreError> {
    let (sql, prefix) = match part {
        Part::Complication => ("select key from complications where case_id = $1", "c"),
        Part::Decision => ("select key from decisions where case_id = $1", "d"),
        _ => ("select key from events where case_id = $1", "e"),
    };
    let taken: Vec<(String,)> = sqlx::query_as(sql).bind(case_id).fetch_all(conn).await?;
    let mut taken: BTreeSet<String> = taken.into_iter().map(|(key,)| key).collect();
    let mut keys = Vec::with_capacity(count);
    for _ in 0..count {
        let key = Key::next_free(prefix, |key| taken.contains(key));
        taken.insert(key.to_string());
        keys.push(key);
    }
    Ok(keys)
}

/// The code of a case from its two columns.
///
/// # Errors
/// [`StoreError::Corrupt`], naming the table that led to it.
pub fn code_of(table: &'static str, year: i64, number: i64) -> Result<CaseCode, StoreError> {
    CaseCode::new(year, number).map_err(|error| StoreError::Corrupt {
        table,
        key: format!("{year}-{number}"),
        why: error.to_string(),
    })
}
