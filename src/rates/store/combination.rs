//! The SQL of the plain facts by which cases could be told apart.

use sqlx::{FromRow, SqliteConnection};

use crate::case::store::code_of;
use crate::case::{Age, CaseCode};
use crate::database::{StoreError, read, read_opt};
use crate::rates::combination::CaseFacts;

const TABLE: &str = "cases";

#[derive(FromRow)]
struct FactsRow {
    code_year: i64,
    code_number: i64,
    procedure_month: String,
    patient_age: Option<i64>,
    sex: Option<String>,
    presentation: Option<String>,
    harm: Option<String>,
    mechanism: Option<String>,
    segment: Option<String>,
    access: Option<String>,
}

/// How many cases share month, age, sex and mechanism with a case, itself included: by the month's index,
/// so that a page can ask it each time.
///
/// # Errors
/// What the database says.
pub async fn cases_like(conn: &mut SqliteConnection, code: CaseCode) -> Result<u64, StoreError> {
    let (count,): (i64,) = sqlx::query_as(
        "with own as (
             select c.id, c.procedure_month, coalesce(c.patient_age, 0) as age, coalesce(c.sex, '') as sex
             from cases c where c.code_year = $1 and c.code_number = $2),
         near as (
             select c.id, (select x.mechanism from complications x
                 left join complications p on p.id = x.consequence_of and p.removed_at is null
                 where x.case_id = c.id and x.removed_at is null
                 order by case when p.id is null then 0 else 1 end, x.id limit 1) as mechanism
             from own join cases c on c.procedure_month = own.procedure_month
             where coalesce(c.patient_age, 0) = own.age and coalesce(c.sex, '') = own.sex)
         select count(*) from near
         where coalesce(mechanism, '') = (select coalesce(n.mechanism, '') from near n join own on own.id = n.id)",
    )
    .bind(code.year())
    .bind(code.number())
    .fetch_one(conn)
    .await?;
    Ok(u64::try_from(count).unwrap_or(0))
}

/// The plain facts of every case, in the order of their codes: the mechanism and the place of the index
/// harm, which is the first that is no consequence of another, and the first access.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn case_facts(conn: &mut SqliteConnection) -> Result<Vec<CaseFacts>, StoreError> {
    let rows: Vec<FactsRow> = sqlx::query_as(
        "select c.code_year, c.code_number, c.procedure_month, c.patient_age, c.sex, c.presentation, c.harm,
                h.mechanism, h.segment, a.access
         from cases c
         left join complications h on h.id =
             (select x.id from complications x
              left join complications p on p.id = x.consequence_of and p.removed_at is null
              where x.case_id = c.id and x.removed_at is null
              order by case when p.id is null then 0 else 1 end, x.id limit 1)
         left join case_accesses a on a.case_id = c.id
              and a.position = (select min(y.position) from case_accesses y where y.case_id = c.id)
         order by c.code_year, c.code_number",
    )
    .fetch_all(conn)
    .await?;
    rows.into_iter().map(facts).collect()
}

fn facts(row: FactsRow) -> Result<CaseFacts, StoreError> {
    let code = code_of(TABLE, row.code_year, row.code_number)?;
    Ok(CaseFacts {
        code,
        month: read(TABLE, code, &row.procedure_month)?,
        age: row.patient_age.map(Age::from_years).transpose().map_err(|error| StoreError::Corrupt {
            table: TABLE,
            key: code.to_string(),
            why: error.to_string(),
        })?,
        sex: read_opt(TABLE, code, row.sex.as_ref())?,
        mechanism: read_opt("complications", code, row.mechanism.as_ref())?,
        segment: read_opt("complications", code, row.segment.as_ref())?,
        presentation: read_opt(TABLE, code, row.presentation.as_ref())?,
        access: read_opt("case_accesses", code, row.access.as_ref())?,
        harm: read_opt(TABLE, code, row.harm.as_ref())?,
    })
}
