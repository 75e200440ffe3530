//! The SQL of lessons.

use super::code_of;
use sqlx::{FromRow, SqliteConnection};

use super::keys::Keys;
use crate::case::code::{CaseCode, Key};
use crate::case::record::Lesson;
use crate::case::stored::Row;
use crate::case::text::{Paragraph, Title};
use crate::case::words::LessonKind;
use crate::database::{StoreError, read, read_opt};

const TABLE: &str = "lessons";

#[derive(FromRow)]
struct LessonRow {
    id: i64,
    kind: String,
    text: String,
    event_id: Option<i64>,
    signed_by: Option<String>,
    signed_on: Option<String>,
}

pub(super) async fn list(
    conn: &mut SqliteConnection,
    case_id: i64,
    events: &Keys,
) -> Result<Vec<Row<Lesson>>, StoreError> {
    let rows: Vec<LessonRow> = sqlx::query_as(
        "select id, kind, text, event_id, signed_by, signed_on
         from lessons where case_id = $1 and removed_at is null order by id",
    )
    .bind(case_id)
    .fetch_all(conn)
    .await?;
    rows.iter()
        .map(|row| {
            Ok(Row {
                id: row.id,
                value: Lesson {
                    kind: read(TABLE, row.id, &row.kind)?,
                    text: read(TABLE, row.id, &row.text)?,
                    event: events.get(row.event_id),
                    signed_by: read_opt(TABLE, row.id, row.signed_by.as_ref())?,
                    signed_on: read_opt(TABLE, row.id, row.signed_on.as_ref())?,
                },
            })
        })
        .collect()
}

pub(super) async fn insert(
    conn: &mut SqliteConnection,
    case_id: i64,
    lesson: &Lesson,
) -> Result<i64, StoreError> {
    let (id,): (i64,) = sqlx::query_as(
        "insert into lessons (case_id, kind, text, event_id, signed_by, signed_on)
         values ($1, $2, $3, (select id from events where case_id = $1 and key = $4), $5, $6) returning id",
    )
    .bind(case_id)
    .bind(lesson.kind.slug())
    .bind(lesson.text.as_str())
    .bind(lesson.event.as_ref().map(Key::as_str))
    .bind(lesson.signed_by.as_ref().map(|name| name.as_str()))
    .bind(lesson.signed_on.map(|day| day.to_string()))
    .fetch_one(conn)
    .await?;
    Ok(id)
}

pub(super) async fn update(
    conn: &mut SqliteConnection,
    case_id: i64,
    id: i64,
    lesson: &Lesson,
) -> Result<(), StoreError> {
    sqlx::query(
        "update lessons set kind = $3, text = $4,
                event_id = (select id from events where case_id = $1 and key = $5),
                signed_by = $6, signed_on = $7,
                signed_by_user = case when $6 is null then null else signed_by_user end
         where case_id = $1 and id = $2",
    )
    .bind(case_id)
    .bind(id)
    .bind(lesson.kind.slug())
    .bind(lesson.text.as_str())
    .bind(lesson.event.as_ref().map(Key::as_str))
    .bind(lesson.signed_by.as_ref().map(|name| name.as_str()))
    .bind(lesson.signed_on.map(|day| day.to_string()))
    .execute(conn)
    .await?;
    Ok(())
}

/// Puts an attending's name and the day under a lesson. Says whether there was an unsigned one.
///
/// # Errors
/// What the database says.
pub async fn sign(
    conn: &mut SqliteConnection,
    case_id: i64,
    id: i64,
    user: (i64, &str),
    on: crate::case::measure::Day,
) -> Result<bool, StoreError> {
    let done = sqlx::query(
        "update lessons set signed_by_user = $3, signed_by = $4, signed_on = $5
         where case_id = $1 and id = $2 and signed_by is null and removed_at is null",
    )
    .bind(case_id)
    .bind(id)
    .bind(user.0)
    .bind(user.1)
    .bind(on.to_string())
    .execute(conn)
    .await?;
    Ok(done.rows_affected() > 0)
}

/// A lesson that nobody has signed yet, with its case.
#[derive(Debug, Clone, PartialEq)]
pub struct UnsignedLesson {
    /// The code of its case.
    pub code: CaseCode,
    /// The title of its case.
    pub title: Title,
    /// What it helps to do.
    pub kind: LessonKind,
    /// The lesson.
    pub text: Paragraph,
}

#[derive(FromRow)]
struct UnsignedRow {
    id: i64,
    kind: String,
    text: String,
    code_year: i64,
    code_number: i64,
    title: String,
}

/// The lessons of every case that wait for a signature, the one that was written first at the
/// top; at most `limit` of them.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn list_unsigned(
    conn: &mut SqliteConnection,
    limit: i64,
) -> Result<Vec<UnsignedLesson>, StoreError> {
    let rows: Vec<UnsignedRow> = sqlx::query_as(
        "select lessons.id, kind, text, code_year, code_number, title
         from lessons join cases on cases.id = lessons.case_id
         where signed_by is null and removed_at is null order by lessons.id limit $1",
    )
    .bind(limit)
    .fetch_all(conn)
    .await?;
    rows.iter()
        .map(|row| {
            Ok(UnsignedLesson {
                code: code_of(TABLE, row.code_year, row.code_number)?,
                title: read(TABLE, row.id, &row.title)?,
                kind: read(TABLE, row.id, &row.kind)?,
                text: read(TABLE, row.id, &row.text)?,
            })
        })
        .collect()
}
