//! Full-text search over cases: the statements that only SQLite knows.

use sqlx::SqliteConnection;

use crate::database::StoreError;

/// Writes what a case is found by: its title and situation, its story, the texts of its events,
/// its pictures, causes, lessons and actions.
pub(super) async fn refresh(conn: &mut SqliteConnection, case_id: i64) -> Result<(), StoreError> {
    sqlx::query("delete from case_search where rowid = $1").bind(case_id).execute(&mut *conn).await?;
    sqlx::query(
        "insert into case_search (rowid, title, story, events, lessons)
         select id,
                title || ' ' || coalesce(situation, ''),
                coalesce(narrative, '') || ' ' || coalesce(strategy, '') || ' ' || coalesce(discharge, ''),
                coalesce((select group_concat(text, ' ') from events
                          where case_id = $1 and removed_at is null), '')
                || ' ' || coalesce((select group_concat(coalesce(caption, '') || ' ' || shows, ' ') from pictures
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
    .execute(&mut *conn)
    .await?;
    refresh_lessons(conn, case_id).await
}

/// Has a case and its lessons found by nothing.
pub(super) async fn forget(conn: &mut SqliteConnection, case_id: i64) -> Result<(), StoreError> {
    for sql in [
        "delete from case_search where rowid = $1",
        "delete from lesson_search where rowid in (select id from lessons where case_id = $1)",
    ] {
        sqlx::query(sql).bind(case_id).execute(&mut *conn).await?;
    }
    Ok(())
}

/// Writes what each lesson of a case is found by: its words, and those it shares with others.
async fn refresh_lessons(conn: &mut SqliteConnection, case_id: i64) -> Result<(), StoreError> {
    for sql in [
        "delete from lesson_search where rowid in (select id from lessons where case_id = $1)",
        "insert into lesson_search (rowid, text, shared)
         select lessons.id, lessons.text, coalesce(recurring_lessons.text, '')
         from lessons left join recurring_lessons on recurring_lessons.id = lessons.recurring_id
         where case_id = $1 and removed_at is null",
    ] {
        sqlx::query(sql).bind(case_id).execute(&mut *conn).await?;
    }
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
pub(super) async fn excerpts(
    conn: &mut SqliteConnection,
    query: &SearchQuery,
    ids: &[i64],
) -> Result<Vec<(i64, String)>, StoreError> {
    let text = ["snippet(case_search, -1, ", ", '…', 24)"];
    marked(conn, ("case_search", text, ""), query.as_str(), ids).await
}

/// Those of some lessons that hold at least one of the words, the one that holds most of them first:
/// their ids, and their texts with the hits marked.
///
/// # Errors
/// What the database says.
pub(super) async fn marked_lessons(
    conn: &mut SqliteConnection,
    query: &SearchQuery,
    ids: &[i64],
) -> Result<Vec<(i64, String)>, StoreError> {
    let text = ["highlight(lesson_search, 0, ", ")"];
    marked(conn, ("lesson_search", text, " order by rank, rowid"), &query.any_word(), ids).await
}

/// Those of some rows of an index that answer, in an order, with the text that a call gives, its hits marked;
/// the two marks stand between the halves of the call.
async fn marked(
    conn: &mut SqliteConnection,
    (index, [call, call_end], order): (&'static str, [&'static str; 2], &'static str),
    query: &str,
    ids: &[i64],
) -> Result<Vec<(i64, String)>, StoreError> {
    if ids.is_empty() {
        return Ok(Vec::new());
    }
    let mut sql = sqlx::QueryBuilder::new("select rowid, ");
    sql.push(call).push_bind(HIT_START.to_string()).push(", ").push_bind(HIT_END.to_string()).push(call_end);
    sql.push(format_args!(" from {index} where {index} match ")).push_bind(query);
    // Without the plus sign the words would be looked up anew for each row.
    sql.push(" and +rowid in (");
    let mut list = sql.separated(", ");
    for id in ids {
        list.push_bind(*id);
    }
    sql.push(")").push(order);
    Ok(sql.build_query_as().fetch_all(conn).await?)
}

/// The condition, inside a where clause over `lessons`, that a lesson holds the words that are bound next.
pub(super) const LESSON_MATCHES: &str =
    "lessons.id in (select rowid from lesson_search where lesson_search match ";

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

    /// The query that is content with any one of the words.
    fn any_word(&self) -> String {
        // The words hold no quotation mark, so that each gap between two of them is one of these.
        self.0.replace("\" \"", "\" OR \"")
    }
}

#[cfg(test)]
mod tests {
    use super::SearchQuery;

    #[test]
    fn one_of_the_words_is_enough_where_that_is_asked() {
        for (typed, all, any) in [
            ("wire", "\"wire\" *", "\"wire\" *"),
            ("lost or wire", "\"lost\" \"or\" \"wire\" *", "\"lost\" OR \"or\" OR \"wire\" *"),
        ] {
            let query = SearchQuery::parse(typed).unwrap();
            assert_eq!((query.as_str(), query.any_word().as_str()), (all, any));
        }
        assert_eq!(SearchQuery::parse(" \"*(): "), None);
    }
}
