//! The SQL of lessons.

use super::code_of;
use sqlx::{FromRow, SqliteConnection};

use super::by_case::{ByCase, of_cases};
use super::keys::Keys;
use crate::case::code::{CaseCode, Key};
use crate::case::measure::Day;
use crate::case::record::Lesson;
use crate::case::reference::Reference;
use crate::case::stored::Row;
use crate::case::text::{Paragraph, Title, Words};
use crate::case::words::LessonKind;
use crate::database::{StoreError, read, read_opt};

const TABLE: &str = "lessons";

#[derive(FromRow)]
struct LessonRow {
    case_id: i64,
    id: i64,
    kind: String,
    text: String,
    event_id: Option<i64>,
    decision_id: Option<i64>,
    reference: Option<String>,
    recurring: Option<String>,
    signed_by: Option<String>,
    signed_on: Option<String>,
}

pub(super) async fn list(
    conn: &mut SqliteConnection,
    cases: &[i64],
    events: &Keys,
    decisions: &Keys,
) -> Result<ByCase<Lesson>, StoreError> {
    let mut sql = of_cases(
        "select case_id, lessons.id, kind, lessons.text, event_id, decision_id, reference,
                recurring_lessons.text as recurring, signed_by, signed_on
         from lessons left join recurring_lessons on recurring_lessons.id = recurring_id
         where removed_at is null and case_id in ",
        cases,
        "order by lessons.id",
    );
    let rows: Vec<LessonRow> = sql.build_query_as().fetch_all(conn).await?;
    ByCase::of(rows.iter().map(|row| {
        let value = Lesson {
            kind: read(TABLE, row.id, &row.kind)?,
            text: read(TABLE, row.id, &row.text)?,
            event: events.get(row.event_id),
            decision: decisions.get(row.decision_id),
            reference: read_opt(TABLE, row.id, row.reference.as_ref())?,
            recurring: read_opt(TABLE, row.id, row.recurring.as_ref())?,
            signed_by: read_opt(TABLE, row.id, row.signed_by.as_ref())?,
            signed_on: read_opt(TABLE, row.id, row.signed_on.as_ref())?,
        };
        Ok((row.case_id, Row { id: row.id, value }))
    }))
}

pub(super) async fn insert(
    conn: &mut SqliteConnection,
    case_id: i64,
    lesson: &Lesson,
) -> Result<i64, StoreError> {
    let recurring = recurring_id(conn, lesson).await?;
    let (id,): (i64,) = sqlx::query_as(
        "insert into lessons
             (case_id, kind, text, event_id, signed_by, signed_on, decision_id, reference, recurring_id)
         values ($1, $2, $3, (select id from events where case_id = $1 and key = $4), $5, $6,
                 (select id from decisions where case_id = $1 and key = $7), $8, $9) returning id",
    )
    .bind(case_id)
    .bind(lesson.kind.slug())
    .bind(lesson.text.as_str())
    .bind(lesson.event.as_ref().map(Key::as_str))
    .bind(lesson.signed_by.as_ref().map(|name| name.as_str()))
    .bind(lesson.signed_on.map(|day| day.to_string()))
    .bind(lesson.decision.as_ref().map(Key::as_str))
    .bind(lesson.reference.as_ref().map(ToString::to_string))
    .bind(recurring)
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
    keep_signed_words(conn, id, lesson).await?;
    let recurring = recurring_id(conn, lesson).await?;
    sqlx::query(
        "update lessons set kind = $3, text = $4,
                event_id = (select id from events where case_id = $1 and key = $5),
                signed_by = $6, signed_on = $7,
                decision_id = (select id from decisions where case_id = $1 and key = $8),
                reference = $9, recurring_id = $10,
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
    .bind(lesson.decision.as_ref().map(Key::as_str))
    .bind(lesson.reference.as_ref().map(ToString::to_string))
    .bind(recurring)
    .execute(conn)
    .await?;
    Ok(())
}

/// Keeps a lesson as it was signed, when these words are others: it becomes the next version.
async fn keep_signed_words(conn: &mut SqliteConnection, id: i64, lesson: &Lesson) -> Result<(), StoreError> {
    let kept = sqlx::query(
        "insert into lesson_versions (lesson_id, version, kind, text, reference, signed_by, signed_on)
         select id, version, kind, text, reference, signed_by, signed_on from lessons
         where id = $1 and signed_by is not null
           and (kind <> $2 or text <> $3 or coalesce(reference, '') <> $4)",
    )
    .bind(id)
    .bind(lesson.kind.slug())
    .bind(lesson.text.as_str())
    .bind(lesson.reference.as_ref().map(ToString::to_string).unwrap_or_default())
    .execute(&mut *conn)
    .await?;
    if kept.rows_affected() > 0 {
        sqlx::query("update lessons set version = version + 1 where id = $1").bind(id).execute(conn).await?;
    }
    Ok(())
}

/// A lesson as it was signed before its words changed.
#[derive(Debug, Clone, PartialEq)]
pub struct EarlierLesson {
    /// The id of the lesson.
    pub lesson: i64,
    /// Counts up from 1.
    pub version: i64,
    /// What it helped to do.
    pub kind: LessonKind,
    /// Its words.
    pub text: Paragraph,
    /// What it rested on in print.
    pub reference: Option<Reference>,
    /// Who signed it.
    pub signed_by: Words,
    /// When.
    pub signed_on: Day,
}

/// The earlier versions of a case's lessons, the first one first.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn earlier_lessons(
    conn: &mut SqliteConnection,
    case_id: i64,
) -> Result<Vec<EarlierLesson>, StoreError> {
    type Version = (i64, i64, String, String, Option<String>, String, String);
    let rows: Vec<Version> = sqlx::query_as(
        "select lesson_id, lesson_versions.version, lesson_versions.kind, lesson_versions.text,
                lesson_versions.reference, lesson_versions.signed_by, lesson_versions.signed_on
         from lesson_versions join lessons on lessons.id = lesson_id
         where case_id = $1 and removed_at is null order by lesson_id, lesson_versions.version",
    )
    .bind(case_id)
    .fetch_all(conn)
    .await?;
    rows.iter()
        .map(|(lesson, version, kind, text, reference, by, on)| {
            Ok(EarlierLesson {
                lesson: *lesson,
                version: *version,
                kind: read(TABLE, *lesson, kind)?,
                text: read(TABLE, *lesson, text)?,
                reference: read_opt(TABLE, *lesson, reference.as_ref())?,
                signed_by: read(TABLE, *lesson, by)?,
                signed_on: read(TABLE, *lesson, on)?,
            })
        })
        .collect()
}

/// The recurring lesson that a lesson joins, which is made when it is the first one.
async fn recurring_id(conn: &mut SqliteConnection, lesson: &Lesson) -> Result<Option<i64>, StoreError> {
    let Some(text) = &lesson.recurring else {
        return Ok(None);
    };
    sqlx::query("insert into recurring_lessons (text) values ($1) on conflict (text) do nothing")
        .bind(text.as_str())
        .execute(&mut *conn)
        .await?;
    let (id,): (i64,) = sqlx::query_as("select id from recurring_lessons where text = $1")
        .bind(text.as_str())
        .fetch_one(conn)
        .await?;
    Ok(Some(id))
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
    on: Day,
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
