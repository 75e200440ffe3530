//! The SQL of what is learned across cases: the lessons of many cases, found and marked.

use std::collections::BTreeMap;

use sqlx::{FromRow, QueryBuilder, SqliteConnection};

use super::code_of;
use crate::case::code::CaseCode;
use crate::case::list::{COUNT_AT_MOST, Cursor, Filter, PAGE};
use crate::case::measure::{Day, Month};
use crate::case::reference::Reference;
use crate::case::search_sqlite::{self, SearchQuery};
use crate::case::text::{Sentences, Title, Words};
use crate::case::words::LessonKind;
use crate::database::{StoreError, read, read_opt};

const TABLE: &str = "lessons";

/// A lesson with its case, as a list over many cases shows it.
#[derive(Debug, Clone, PartialEq)]
pub struct LearnedLesson {
    /// The id.
    pub id: i64,
    /// The id of its case.
    pub case_id: i64,
    /// The code of its case.
    pub code: CaseCode,
    /// The title of its case.
    pub title: Title,
    /// The month of its case.
    pub month: Month,
    /// What it helps to do.
    pub kind: LessonKind,
    /// Its words, with hits between [`search_sqlite::HIT_START`] and its end.
    pub text: String,
    /// What it rests on in print.
    pub reference: Option<Reference>,
    /// Who signed it and when.
    pub signed: Option<(Words, Day)>,
    /// The recurring lesson that it is one of.
    pub recurring: Option<Recurring>,
}

/// The recurring lesson that a lesson is one of.
#[derive(Debug, Clone, PartialEq)]
pub struct Recurring {
    /// Its id.
    pub id: i64,
    /// The words that all of its lessons share.
    pub text: Sentences,
    /// How many cases have it.
    pub cases: usize,
}

/// A page of lessons.
#[derive(Debug, Clone, PartialEq)]
pub struct LearnedPage {
    /// Its rows, the last signed first.
    pub rows: Vec<LearnedLesson>,
    /// Where the next page starts; none on the last.
    pub next: Option<Cursor>,
    /// How many lessons answer, counted up to [`COUNT_AT_MOST`].
    pub total: i64,
}

#[derive(FromRow)]
struct LearnedRow {
    id: i64,
    case_id: i64,
    kind: String,
    text: String,
    reference: Option<String>,
    signed_by: Option<String>,
    signed_on: Option<String>,
    recurring_id: Option<i64>,
    shared: Option<String>,
    code_year: i64,
    code_number: i64,
    title: String,
    procedure_month: String,
}

/// A lesson with its case and what it shares; where they come from and conditions follow.
const SELECT: &str = "select lessons.id, case_id, kind, lessons.text, reference, signed_by, signed_on,
            recurring_id, recurring_lessons.text as shared, code_year, code_number, title, procedure_month";

/// Where lessons and their cases come from. Asked for nothing but words, the lessons lead: in the order of
/// their signatures a page is full after few. Asked for a mechanism or a cause, its cases lead.
const fn source(filter: &Filter) -> &'static str {
    let by_case = filter.mechanism.is_some()
        || filter.branch.is_some()
        || filter.cause.is_some()
        || filter.cause_branch.is_some();
    if filter.words.is_none() && by_case {
        " from lessons join cases on cases.id = lessons.case_id"
    } else {
        " from lessons cross join cases"
    }
}

/// What a lesson shares, and the conditions that always hold.
const SHARED: &str = " left join recurring_lessons on recurring_lessons.id = lessons.recurring_id";
const HOLDS: &str = " where cases.id = lessons.case_id and lessons.removed_at is null";

/// The lessons of some cases, case by case; in each those first that hold the words, the nearest at the
/// top, then the others in the order in which they were entered.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn lessons_of_cases(
    conn: &mut SqliteConnection,
    case_ids: &[i64],
    words: Option<&SearchQuery>,
) -> Result<BTreeMap<i64, Vec<LearnedLesson>>, StoreError> {
    let mut by_case: BTreeMap<i64, Vec<LearnedLesson>> = BTreeMap::new();
    if case_ids.is_empty() {
        return Ok(by_case);
    }
    let mut sql = QueryBuilder::new(SELECT);
    sql.push(" from lessons join cases on cases.id = lessons.case_id").push(SHARED).push(HOLDS);
    sql.push(" and lessons.case_id in (");
    let mut list = sql.separated(", ");
    for id in case_ids {
        list.push_bind(*id);
    }
    sql.push(") order by lessons.id");
    let rows: Vec<LearnedRow> = sql.build_query_as().fetch_all(&mut *conn).await?;
    let marked = marked(conn, &rows, words).await?;
    let mut lessons = complete(conn, &rows, &marked).await?;
    lessons.sort_by_key(|lesson| marked.get(&lesson.id).map_or(usize::MAX, |(place, _)| *place));
    for lesson in lessons {
        by_case.entry(lesson.case_id).or_default().push(lesson);
    }
    Ok(by_case)
}

/// The page of signed lessons that starts after `after`, of the cases that a filter lets through. Its
/// words and its kind are asked of the lesson itself.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn signed_lessons(
    conn: &mut SqliteConnection,
    filter: &Filter,
    after: Option<&Cursor>,
) -> Result<LearnedPage, StoreError> {
    let mut sql = QueryBuilder::new(SELECT);
    sql.push(source(filter)).push(SHARED).push(HOLDS);
    push_conditions(&mut sql, filter);
    if let Some(after) = after {
        sql.push(" and (signed_on, lessons.id) < (").push_bind(after.value.clone());
        sql.push(", ").push_bind(after.id).push(")");
    }
    sql.push(" order by signed_on desc, lessons.id desc limit ");
    sql.push_bind(i64::try_from(PAGE + 1).unwrap_or(i64::MAX));
    let mut rows: Vec<LearnedRow> = sql.build_query_as().fetch_all(&mut *conn).await?;
    let more = rows.len() > PAGE;
    rows.truncate(PAGE);
    let next = rows
        .last()
        .filter(|_| more)
        .map(|row| Cursor { value: row.signed_on.clone().unwrap_or_default(), id: row.id });
    let mut count = QueryBuilder::new("select count(*) from (select 1");
    count.push(source(filter)).push(HOLDS);
    push_conditions(&mut count, filter);
    count.push(" limit ").push_bind(COUNT_AT_MOST + 1).push(")");
    let (total,): (i64,) = count.build_query_as().fetch_one(&mut *conn).await?;
    let marked = marked(conn, &rows, filter.words.as_ref()).await?;
    Ok(LearnedPage { rows: complete(conn, &rows, &marked).await?, next, total })
}

fn push_conditions(sql: &mut QueryBuilder<sqlx::Sqlite>, filter: &Filter) {
    sql.push(" and signed_by is not null");
    if let Some(words) = &filter.words {
        sql.push(" and ").push(search_sqlite::LESSON_MATCHES);
        sql.push_bind(words.as_str().to_owned()).push(")");
    }
    if let Some(kind) = filter.lesson_kind {
        sql.push(" and kind = ").push_bind(kind.slug());
    }
    Filter { words: None, lesson_kind: None, ..filter.clone() }.push_to(sql);
}

/// The lessons that hold one of the words, by their ids: which is how near, and the text with its hits
/// marked.
async fn marked(
    conn: &mut SqliteConnection,
    rows: &[LearnedRow],
    words: Option<&SearchQuery>,
) -> Result<BTreeMap<i64, (usize, String)>, StoreError> {
    let Some(words) = words else { return Ok(BTreeMap::new()) };
    let ids: Vec<i64> = rows.iter().map(|row| row.id).collect();
    let marked = search_sqlite::marked_lessons(conn, words, &ids).await?;
    Ok(marked.into_iter().enumerate().map(|(place, (id, text))| (id, (place, text))).collect())
}

/// The lessons in the order of their rows, with their marked texts and how many cases share each.
async fn complete(
    conn: &mut SqliteConnection,
    rows: &[LearnedRow],
    marked: &BTreeMap<i64, (usize, String)>,
) -> Result<Vec<LearnedLesson>, StoreError> {
    let cases = case_counts(conn, rows).await?;
    rows.iter().map(|row| row.lesson(marked.get(&row.id).map(|(_, text)| text.as_str()), &cases)).collect()
}

async fn case_counts(
    conn: &mut SqliteConnection,
    rows: &[LearnedRow],
) -> Result<BTreeMap<i64, usize>, StoreError> {
    let mut ids: Vec<i64> = rows.iter().filter_map(|row| row.recurring_id).collect();
    ids.sort_unstable();
    ids.dedup();
    if ids.is_empty() {
        return Ok(BTreeMap::new());
    }
    let mut sql = QueryBuilder::new(
        "select recurring_id, count(distinct case_id) from lessons
         where removed_at is null and case_id not in (select id from withdrawn_cases)
           and recurring_id in (",
    );
    let mut list = sql.separated(", ");
    for id in ids {
        list.push_bind(id);
    }
    sql.push(") group by recurring_id");
    let counts: Vec<(i64, i64)> = sql.build_query_as().fetch_all(conn).await?;
    Ok(counts.into_iter().map(|(id, cases)| (id, usize::try_from(cases).unwrap_or(0))).collect())
}

impl LearnedRow {
    fn lesson(
        &self,
        marked: Option<&str>,
        cases: &BTreeMap<i64, usize>,
    ) -> Result<LearnedLesson, StoreError> {
        let by = read_opt(TABLE, self.id, self.signed_by.as_ref())?;
        let shared: Option<Sentences> = read_opt(TABLE, self.id, self.shared.as_ref())?;
        Ok(LearnedLesson {
            id: self.id,
            case_id: self.case_id,
            code: code_of(TABLE, self.code_year, self.code_number)?,
            title: read(TABLE, self.id, &self.title)?,
            month: read(TABLE, self.id, &self.procedure_month)?,
            kind: read(TABLE, self.id, &self.kind)?,
            text: marked.unwrap_or(&self.text).to_owned(),
            reference: read_opt(TABLE, self.id, self.reference.as_ref())?,
            signed: by.zip(read_opt(TABLE, self.id, self.signed_on.as_ref())?),
            recurring: self.recurring_id.zip(shared).map(|(id, text)| Recurring {
                id,
                text,
                cases: cases.get(&id).copied().unwrap_or(1),
            }),
        })
    }
}
