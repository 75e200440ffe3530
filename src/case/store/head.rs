//! The SQL of a case's head.

use std::collections::BTreeMap;

use sqlx::{FromRow, SqliteConnection};

use super::by_case::of_cases;
use crate::case::code::CaseCode;
use crate::case::measure::{Age, MeasureError};
use crate::case::record::{Head, Outcome, Patient, Procedure};
use crate::case::words::Stage;
use crate::database::{StoreError, number_opt, read, read_opt};

const TABLE: &str = "cases";

/// A head with what the database adds to it.
pub(super) struct FoundHead {
    pub(super) id: i64,
    pub(super) code: CaseCode,
    pub(super) recorded_by: Option<i64>,
    pub(super) updated_at: jiff::Timestamp,
    pub(super) head: Head,
}

#[derive(FromRow)]
struct HeadRow {
    id: i64,
    code_year: i64,
    code_number: i64,
    title: String,
    procedure_month: String,
    stage: String,
    time_zero: Option<String>,
    situation: Option<String>,
    narrative: Option<String>,
    patient_age: Option<i64>,
    sex: Option<String>,
    presentation: Option<String>,
    egfr: Option<i64>,
    weight_kg: Option<i64>,
    urgency: Option<String>,
    strategy: Option<String>,
    discharge: Option<String>,
    harm: Option<String>,
    recorded_by: Option<i64>,
    updated_at: String,
}

/// The heads of some cases, in the order of their codes. One that is not there, or was withdrawn, is left out.
pub(super) async fn list(conn: &mut SqliteConnection, cases: &[i64]) -> Result<Vec<FoundHead>, StoreError> {
    let mut sql = of_cases(
        "select id, code_year, code_number, title, procedure_month, stage, time_zero, situation, narrative,
                patient_age, sex, presentation, egfr, weight_kg, urgency, strategy, discharge, harm,
                recorded_by, updated_at
         from cases where id in ",
        cases,
        "order by code_year, code_number",
    );
    let rows: Vec<HeadRow> = sql.build_query_as().fetch_all(&mut *conn).await?;
    let mut sql = of_cases(
        "select case_id, term from case_history_terms where case_id in ",
        cases,
        "order by case_id, position",
    );
    let history: Vec<(i64, String)> = sql.build_query_as().fetch_all(&mut *conn).await?;
    let mut sql = of_cases(
        "select case_id, access from case_accesses where case_id in ",
        cases,
        "order by case_id, position",
    );
    let access: Vec<(i64, String)> = sql.build_query_as().fetch_all(&mut *conn).await?;
    let (mut history, mut access) = (by_case(history), by_case(access));
    rows.iter()
        .map(|row| {
            let history = history.remove(&row.id).unwrap_or_default();
            row.head((&history, &access.remove(&row.id).unwrap_or_default()))
        })
        .collect()
}

/// Texts by the ids of their cases.
fn by_case(rows: Vec<(i64, String)>) -> BTreeMap<i64, Vec<String>> {
    let mut by_case: BTreeMap<i64, Vec<String>> = BTreeMap::new();
    for (case, text) in rows {
        by_case.entry(case).or_default().push(text);
    }
    by_case
}

impl HeadRow {
    fn head(&self, (history, access): (&[String], &[String])) -> Result<FoundHead, StoreError> {
        let key = super::code_of(TABLE, self.code_year, self.code_number)?;
        Ok(FoundHead {
            id: self.id,
            code: key,
            recorded_by: self.recorded_by,
            updated_at: read(TABLE, key, &self.updated_at)?,
            head: Head {
                title: read(TABLE, key, &self.title)?,
                month: read(TABLE, key, &self.procedure_month)?,
                stage: read(TABLE, key, &self.stage)?,
                time_zero: read_opt(TABLE, key, self.time_zero.as_ref())?,
                situation: read_opt(TABLE, key, self.situation.as_ref())?,
                narrative: read_opt(TABLE, key, self.narrative.as_ref())?,
                patient: Patient {
                    age: self.patient_age.map(Age::from_years).transpose().map_err(
                        |error: MeasureError| StoreError::Corrupt {
                            table: TABLE,
                            key: key.to_string(),
                            why: error.to_string(),
                        },
                    )?,
                    sex: read_opt(TABLE, key, self.sex.as_ref())?,
                    presentation: read_opt(TABLE, key, self.presentation.as_ref())?,
                    history: history.iter().map(|term| read(TABLE, key, term)).collect::<Result<_, _>>()?,
                    egfr: number_opt(TABLE, key, self.egfr)?,
                    weight_kg: number_opt(TABLE, key, self.weight_kg)?,
                },
                procedure: Procedure {
                    access: access.iter().map(|word| read(TABLE, key, word)).collect::<Result<_, _>>()?,
                    urgency: read_opt(TABLE, key, self.urgency.as_ref())?,
                    strategy: read_opt(TABLE, key, self.strategy.as_ref())?,
                },
                outcome: Outcome {
                    discharge: read_opt(TABLE, key, self.discharge.as_ref())?,
                    harm: read_opt(TABLE, key, self.harm.as_ref())?,
                },
            },
        })
    }
}

/// The next free number of a year; a number that was given once is not given again.
///
/// # Errors
/// What the database says.
pub async fn next_number(conn: &mut SqliteConnection, year: i64) -> Result<i64, StoreError> {
    let (last,): (Option<i64>,) = sqlx::query_as(
        "select max(code_number) from (select code_year, code_number from case_records
                                       union all select code_year, code_number from purged_cases) as given
         where code_year = $1",
    )
    .bind(year)
    .fetch_one(conn)
    .await?;
    Ok(last.unwrap_or(0) + 1)
}

pub(super) async fn next_code(conn: &mut SqliteConnection, year: i64) -> Result<CaseCode, StoreError> {
    let number = next_number(conn, year).await?;
    super::code_of(TABLE, year, number)
}

pub(super) async fn insert(
    conn: &mut SqliteConnection,
    code: CaseCode,
    head: &Head,
    recorded_by: Option<i64>,
    now: jiff::Timestamp,
) -> Result<i64, StoreError> {
    let (id,): (i64,) = sqlx::query_as(
        "insert into case_records (id, code_year, code_number, title, procedure_month, stage, recorded_by,
                                   created_at, updated_at)
         select coalesce(max(id), 0) + 1, $1, $2, $3, $4, $5, $6, $7, $7
         from (select id from case_records union all select case_id from purged_cases) as given
         returning id",
    )
    .bind(code.year())
    .bind(code.number())
    .bind(head.title.as_str())
    .bind(head.month.to_string())
    .bind(head.stage.slug())
    .bind(recorded_by)
    .bind(now.to_string())
    .fetch_one(&mut *conn)
    .await?;
    write(conn, id, head, now).await?;
    Ok(id)
}

/// Writes the head of a case over the one it has, and marks the case as changed now.
///
/// # Errors
/// What the database says.
pub async fn update_head(
    conn: &mut SqliteConnection,
    case_id: i64,
    head: &Head,
    now: jiff::Timestamp,
) -> Result<(), StoreError> {
    write(conn, case_id, head, now).await?;
    super::kept::refresh(conn, case_id).await?;
    crate::case::search_sqlite::refresh(conn, case_id).await
}

async fn write(
    conn: &mut SqliteConnection,
    id: i64,
    head: &Head,
    now: jiff::Timestamp,
) -> Result<(), StoreError> {
    sqlx::query(
        "update case_records set title = $2, procedure_month = $3, stage = $4, time_zero = $5,
                situation = $6, narrative = $7, patient_age = $8, sex = $9, presentation = $10,
                egfr = $11, weight_kg = $12, urgency = $13, strategy = $14, discharge = $15,
                harm = $16, updated_at = $17
         where id = $1",
    )
    .bind(id)
    .bind(head.title.as_str())
    .bind(head.month.to_string())
    .bind(head.stage.slug())
    .bind(head.time_zero.as_ref().map(|text| text.as_str()))
    .bind(head.situation.as_ref().map(|text| text.as_str()))
    .bind(head.narrative.as_ref().map(|text| text.as_str()))
    .bind(head.patient.age.map(Age::stored))
    .bind(head.patient.sex.map(|word| word.slug()))
    .bind(head.patient.presentation.map(|word| word.slug()))
    .bind(head.patient.egfr.map(|number| number.get()))
    .bind(head.patient.weight_kg.map(|number| number.get()))
    .bind(head.procedure.urgency.map(|word| word.slug()))
    .bind(head.procedure.strategy.as_ref().map(|text| text.as_str()))
    .bind(head.outcome.discharge.as_ref().map(|text| text.as_str()))
    .bind(head.outcome.harm.map(|word| word.slug()))
    .bind(now.to_string())
    .execute(&mut *conn)
    .await?;
    sqlx::query("delete from case_history_terms where case_id = $1").bind(id).execute(&mut *conn).await?;
    let terms: Vec<&str> = head.patient.history.iter().map(|term| term.as_str()).collect();
    insert_list(conn, "insert into case_history_terms (case_id, position, term) ", id, &terms).await?;
    sqlx::query("delete from case_accesses where case_id = $1").bind(id).execute(&mut *conn).await?;
    let accesses: Vec<&str> = head.procedure.access.iter().map(|word| word.slug()).collect();
    insert_list(conn, "insert into case_accesses (case_id, position, access) ", id, &accesses).await
}

/// Inserts a short list of texts with their places, in one statement.
async fn insert_list(
    conn: &mut SqliteConnection,
    into: &'static str,
    id: i64,
    texts: &[&str],
) -> Result<(), StoreError> {
    if texts.is_empty() {
        return Ok(());
    }
    let mut sql = sqlx::QueryBuilder::<sqlx::Sqlite>::new(into);
    sql.push_values((0_i64..).zip(texts), |mut row, (position, text)| {
        row.push_bind(id).push_bind(position).push_bind(*text);
    });
    sql.build().execute(conn).await?;
    Ok(())
}

/// Moves a case to a stage.
///
/// # Errors
/// What the database says.
pub async fn set_stage(
    conn: &mut SqliteConnection,
    case_id: i64,
    stage: Stage,
    now: jiff::Timestamp,
) -> Result<(), StoreError> {
    sqlx::query("update case_records set stage = $2, updated_at = $3 where id = $1")
        .bind(case_id)
        .bind(stage.slug())
        .bind(now.to_string())
        .execute(conn)
        .await?;
    Ok(())
}
