//! The SQL of lessons that come back in several cases.

use std::collections::BTreeMap;

use sqlx::{FromRow, QueryBuilder, SqliteConnection};

use super::{code_of, push_sight};
use crate::case::Sight;
use crate::case::recurring::{JoinedLesson, RecurringLesson};
use crate::database::{StoreError, read, read_opt};

const TABLE: &str = "lessons";
const RECURRING: &str = "recurring_lessons";

#[derive(FromRow)]
struct JoinedRow {
    recurring_id: i64,
    shared: String,
    id: i64,
    kind: String,
    text: String,
    signed_by: Option<String>,
    signed_on: Option<String>,
    code_year: i64,
    code_number: i64,
    title: String,
    procedure_month: String,
    stage: String,
}

impl JoinedRow {
    fn lesson(&self) -> Result<JoinedLesson, StoreError> {
        let by = read_opt(TABLE, self.id, self.signed_by.as_ref())?;
        Ok(JoinedLesson {
            code: code_of(TABLE, self.code_year, self.code_number)?,
            title: read(TABLE, self.id, &self.title)?,
            month: read(TABLE, self.id, &self.procedure_month)?,
            stage: read(TABLE, self.id, &self.stage)?,
            kind: read(TABLE, self.id, &self.kind)?,
            text: read(TABLE, self.id, &self.text)?,
            signed: by.zip(read_opt(TABLE, self.id, self.signed_on.as_ref())?),
        })
    }
}

/// The recurring lessons that at least one case in sight has, each with those cases and a count of the
/// others; with an id, that one only.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn recurring_lessons(
    conn: &mut SqliteConnection,
    sight: Sight,
    only: Option<i64>,
) -> Result<Vec<RecurringLesson>, StoreError> {
    let mut sql = QueryBuilder::new(
        "select recurring_id, recurring_lessons.text as shared, lessons.id, kind, lessons.text, signed_by,
                signed_on, code_year, code_number, title, procedure_month, stage
         from lessons join recurring_lessons on recurring_lessons.id = recurring_id
         join cases on cases.id = case_id where removed_at is null and ",
    );
    push_sight(&mut sql, sight);
    if let Some(id) = only {
        sql.push(" and recurring_id = ").push_bind(id);
    }
    sql.push(" order by recurring_id, procedure_month, case_id, lessons.id");
    let rows: Vec<JoinedRow> = sql.build_query_as().fetch_all(&mut *conn).await?;
    let mut found: Vec<RecurringLesson> = Vec::new();
    for row in &rows {
        if found.last().is_none_or(|last| last.id != row.recurring_id) {
            found.push(RecurringLesson {
                id: row.recurring_id,
                text: read(RECURRING, row.recurring_id, &row.shared)?,
                lessons: Vec::new(),
                mechanisms: Vec::new(),
                hidden: 0,
            });
        }
        if let Some(last) = found.last_mut() {
            last.lessons.push(row.lesson()?);
        }
    }
    let mut mechanisms = mechanisms(conn, sight, only).await?;
    let mut others = hidden_cases(conn, sight, only).await?;
    for lesson in &mut found {
        let slugs = mechanisms.remove(&lesson.id).unwrap_or_default();
        lesson.mechanisms =
            slugs.iter().map(|slug| read(RECURRING, lesson.id, slug)).collect::<Result<_, _>>()?;
        lesson.hidden = others.remove(&lesson.id).unwrap_or(0);
    }
    Ok(found)
}

/// The mechanisms of the cases of each recurring lesson.
async fn mechanisms(
    conn: &mut SqliteConnection,
    sight: Sight,
    only: Option<i64>,
) -> Result<BTreeMap<i64, Vec<String>>, StoreError> {
    let mut sql = QueryBuilder::new(
        "select distinct recurring_id, mechanism from lessons
         join complications on complications.case_id = lessons.case_id
         join cases on cases.id = lessons.case_id
         where lessons.removed_at is null and complications.removed_at is null and ",
    );
    push_sight(&mut sql, sight);
    match only {
        Some(id) => sql.push(" and recurring_id = ").push_bind(id),
        None => sql.push(" and recurring_id is not null"),
    };
    sql.push(" order by recurring_id, mechanism");
    let rows: Vec<(i64, String)> = sql.build_query_as().fetch_all(conn).await?;
    let mut by_id: BTreeMap<i64, Vec<String>> = BTreeMap::new();
    for (id, mechanism) in rows {
        by_id.entry(id).or_default().push(mechanism);
    }
    Ok(by_id)
}

/// How many cases of each recurring lesson are not shown.
async fn hidden_cases(
    conn: &mut SqliteConnection,
    sight: Sight,
    only: Option<i64>,
) -> Result<BTreeMap<i64, usize>, StoreError> {
    let mut sql = QueryBuilder::new(
        "select recurring_id, count(distinct case_id) from lessons join cases on cases.id = case_id
         where removed_at is null and not ",
    );
    push_sight(&mut sql, sight);
    match only {
        Some(id) => sql.push(" and recurring_id = ").push_bind(id),
        None => sql.push(" and recurring_id is not null"),
    };
    sql.push(" group by recurring_id");
    let rows: Vec<(i64, i64)> = sql.build_query_as().fetch_all(conn).await?;
    Ok(rows.into_iter().map(|(id, cases)| (id, usize::try_from(cases).unwrap_or(0))).collect())
}

/// A lesson of a case that is one of several.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Joined {
    /// The id of the lesson.
    pub lesson: i64,
    /// The id of the recurring lesson.
    pub recurring: i64,
    /// How many cases have it, this one too.
    pub cases: usize,
}

/// Which lessons of a case come back in others.
///
/// # Errors
/// What the database says.
pub async fn joined_lessons(conn: &mut SqliteConnection, case_id: i64) -> Result<Vec<Joined>, StoreError> {
    let rows: Vec<(i64, i64, i64)> = sqlx::query_as(
        "select lessons.id, recurring_id,
                (select count(distinct others.case_id) from lessons as others
                 where others.recurring_id = lessons.recurring_id and others.removed_at is null)
         from lessons where case_id = $1 and removed_at is null and recurring_id is not null
         order by lessons.id",
    )
    .bind(case_id)
    .fetch_all(conn)
    .await?;
    Ok(rows
        .into_iter()
        .map(|(lesson, recurring, cases)| Joined {
            lesson,
            recurring,
            cases: usize::try_from(cases).unwrap_or(0),
        })
        .collect())
}
