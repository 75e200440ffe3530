//! The SQL of the last look: which days of a document the record itself holds.

use sqlx::{QueryBuilder, Sqlite, SqliteConnection};

use super::{Unsettled, unsettled};
use crate::case::store as cases;
use crate::database::StoreError;
use crate::document::Document;

/// What in a document surely looks like an identifier, and was dismissed in no case and nowhere. Days of
/// meetings, of signatures and of actions are the record's own.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn look(conn: &mut SqliteConnection, document: &Document) -> Result<Vec<Unsettled>, StoreError> {
    let own = cases::own_words(conn).await?;
    let dismissals = cases::all_dismissals(conn).await?;
    let words = document.words();
    let mut found = unsettled(words.iter().map(String::as_str), &own, &dismissals);
    let known = days_of_the_record(conn, &found).await?;
    found.retain(|one| one.day.is_none_or(|day| !known.contains(&day.to_string())));
    Ok(found)
}

/// What surely looks like an identifier in texts that belong to a case and stand in no part of it, such as
/// what a presenter wrote beside its screens.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn look_beside(
    conn: &mut SqliteConnection,
    texts: &[&str],
    case_id: i64,
) -> Result<Vec<Unsettled>, StoreError> {
    let own = cases::own_words(conn).await?;
    let dismissals = cases::dismissals(conn, case_id).await?;
    Ok(unsettled(texts.iter().copied(), &own, &dismissals))
}

/// Those of the found days that the record holds as days.
async fn days_of_the_record(
    conn: &mut SqliteConnection,
    found: &[Unsettled],
) -> Result<Vec<String>, StoreError> {
    let days: Vec<String> = found.iter().filter_map(|one| one.day).map(|day| day.to_string()).collect();
    if days.is_empty() {
        return Ok(Vec::new());
    }
    let mut sql = QueryBuilder::<Sqlite>::new("");
    for (index, one) in [
        "select held_on from conferences where held_on",
        "select due from actions where due",
        "select done_on from actions where done_on",
        "select signed_on from lessons where signed_on",
    ]
    .into_iter()
    .enumerate()
    {
        if index > 0 {
            sql.push(" union ");
        }
        sql.push(one).push(" in (");
        let mut list = sql.separated(", ");
        for day in &days {
            list.push_bind(day.clone());
        }
        sql.push(")");
    }
    let rows: Vec<(String,)> = sql.build_query_as().fetch_all(conn).await?;
    Ok(rows.into_iter().map(|(day,)| day).collect())
}
