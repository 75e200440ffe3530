//! Full-text search over cases: the statements that only SQLite knows.

use sqlx::SqliteConnection;

use crate::database::StoreError;

/// Writes what a case is found by: its title and situation, its story, the texts of its events,
/// its causes, lessons and actions.
pub(super) async fn refresh(conn: &mut SqliteConnection, case_id: i64) -> Result<(), StoreError> {
    sqlx::query("delete from case_search where rowid = $1").bind(case_id).execute(&mut *conn).await?;
    sqlx::query(
        "insert into case_search (rowid, title, story, events, lessons)
         select id,
                title || ' ' || coalesce(situation, ''),
                coalesce(narrative, '') || ' ' || coalesce(strategy, '') || ' ' || coalesce(discharge, ''),
                coalesce((select group_concat(text, ' ') from events
                          where case_id = $1 and removed_at is null), ''),
                coalesce((select group_concat(text, ' ') from lessons
                          where case_id = $1 and removed_at is null), '')
                || ' ' || coalesce((select group_concat(statement, ' ') from causes
                          where case_id = $1 and removed_at is null), '')
                || ' ' || coalesce((select group_concat(what, ' ') from actions
                          where case_id = $1 and removed_at is null), '')
         from cases where id = $1",
    )
    .bind(case_id)
    .execute(conn)
    .await?;
    Ok(())
}

/// Marks the start of a hit in an excerpt; a character that no text of the record holds.
pub const HIT_START: char = '\u{1}';
/// Marks the end of a hit in an excerpt.
pub const HIT_END: char = '\u{2}';

/// The excerpts of some cases round the words that were looked for, by case id.
///
/// # Errors
/// What the database says.
pub async fn excerpts(
    conn: &mut SqliteConnection,
    query: &SearchQuery,
    ids: &[i64],
) -> Result<Vec<(i64, String)>, StoreError> {
    if ids.is_empty() {
        return Ok(Vec::new());
    }
    let mut sql = sqlx::QueryBuilder::new("select rowid, snippet(case_search, -1, ");
    sql.push_bind(HIT_START.to_string());
    sql.push(", ").push_bind(HIT_END.to_string());
    sql.push(", '…', 24) from case_search where case_search match ").push_bind(query.as_str());
    // Without the plus sign the words would be looked up anew for each row.
    sql.push(" and +rowid in (");
    let mut list = sql.separated(", ");
    for id in ids {
        list.push_bind(*id);
    }
    sql.push(")");
    Ok(sql.build_query_as().fetch_all(conn).await?)
}

/// The condition, inside a where clause over `cases`, that a case holds the words that are bound next.
///
/// Of common words the cases are gone through in the order of the list; of rare ones the hits lead
/// to their cases. The plus sign keeps an index out of the first.
pub(super) const fn matches(common: bool) -> &'static str {
    if common {
        "+cases.id in (select rowid from case_search where case_search match "
    } else {
        "cases.id in (select rowid from case_search where case_search match "
    }
}

/// How many cases hold the words, counted no further than `at_most`.
///
/// # Errors
/// What the database says.
pub(super) async fn count(
    conn: &mut SqliteConnection,
    query: &SearchQuery,
    at_most: i64,
) -> Result<i64, StoreError> {
    let (count,): (i64,) = sqlx::query_as(
        "select count(*) from (select 1 from case_search where case_search match $1 limit $2)",
    )
    .bind(query.as_str())
    .bind(at_most)
    .fetch_one(conn)
    .await?;
    Ok(count)
}

/// Words that a person typed, as a query that the index cannot misread: each word must be there,
/// the last one at least as a beginning.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SearchQuery(String);

impl SearchQuery {
    /// The query for what was typed; none when it holds no word.
    #[must_use]
    pub fn parse(typed: &str) -> Option<Self> {
        let words: Vec<String> = typed
            .split(|c: char| !c.is_alphanumeric())
            .filter(|word| !word.is_empty())
            .take(12)
            .map(|word| format!("\"{word}\""))
            .collect();
        (!words.is_empty()).then(|| Self(format!("{} *", words.join(" "))))
    }

    /// The query in the index's own language.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}
