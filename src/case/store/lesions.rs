//! The SQL of lesions.

use sqlx::{FromRow, SqliteConnection};

use super::by_case::{ByCase, of_cases};
use crate::case::measure::{MeasureError, Millimetres};
use crate::case::record::Lesion;
use crate::case::stored::Row;
use crate::database::{StoreError, read, read_opt};

const TABLE: &str = "lesions";

#[derive(FromRow)]
struct LesionRow {
    case_id: i64,
    id: i64,
    segment: String,
    calcification: Option<String>,
    tortuosity: Option<String>,
    medina: Option<String>,
    cto: bool,
    ostial: bool,
    length_hundredths_mm: Option<i64>,
    reference_hundredths_mm: Option<i64>,
}

fn lesion(row: &LesionRow) -> Result<Row<Lesion>, StoreError> {
    let length = |hundredths: Option<i64>| {
        hundredths.map(Millimetres::from_hundredths).transpose().map_err(|error: MeasureError| {
            StoreError::Corrupt { table: TABLE, key: row.id.to_string(), why: error.to_string() }
        })
    };
    Ok(Row {
        id: row.id,
        value: Lesion {
            segment: read(TABLE, row.id, &row.segment)?,
            calcification: read_opt(TABLE, row.id, row.calcification.as_ref())?,
            tortuosity: read_opt(TABLE, row.id, row.tortuosity.as_ref())?,
            medina: read_opt(TABLE, row.id, row.medina.as_ref())?,
            cto: row.cto,
            ostial: row.ostial,
            length_mm: length(row.length_hundredths_mm)?,
            reference_mm: length(row.reference_hundredths_mm)?,
        },
    })
}

pub(super) async fn list(conn: &mut SqliteConnection, cases: &[i64]) -> Result<ByCase<Lesion>, StoreError> {
    let mut sql = of_cases(
        "select case_id, id, segment, calcification, tortuosity, medina, cto, ostial, length_hundredths_mm,
                reference_hundredths_mm
         from lesions where removed_at is null and case_id in ",
        cases,
        "order by id",
    );
    let rows: Vec<LesionRow> = sql.build_query_as().fetch_all(conn).await?;
    ByCase::of(rows.iter().map(|row| Ok((row.case_id, lesion(row)?))))
}

pub(super) async fn insert(
    conn: &mut SqliteConnection,
    case_id: i64,
    lesion: &Lesion,
) -> Result<i64, StoreError> {
    let (id,): (i64,) = sqlx::query_as(
        "insert into lesions (case_id, segment, calcification, tortuosity, medina, cto, ostial,
                              length_hundredths_mm, reference_hundredths_mm)
         values ($1, $2, $3, $4, $5, $6, $7, $8, $9) returning id",
    )
    .bind(case_id)
    .bind(lesion.segment.slug())
    .bind(lesion.calcification.map(|word| word.slug()))
    .bind(lesion.tortuosity.map(|word| word.slug()))
    .bind(lesion.medina.map(|class| class.to_string()))
    .bind(lesion.cto)
    .bind(lesion.ostial)
    .bind(lesion.length_mm.map(Millimetres::hundredths))
    .bind(lesion.reference_mm.map(Millimetres::hundredths))
    .fetch_one(conn)
    .await?;
    Ok(id)
}

pub(super) async fn update(
    conn: &mut SqliteConnection,
    case_id: i64,
    id: i64,
    lesion: &Lesion,
) -> Result<(), StoreError> {
    sqlx::query(
        "update lesions set segment = $3, calcification = $4, tortuosity = $5, medina = $6, cto = $7,
                ostial = $8, length_hundredths_mm = $9, reference_hundredths_mm = $10
         where case_id = $1 and id = $2",
    )
    .bind(case_id)
    .bind(id)
    .bind(lesion.segment.slug())
    .bind(lesion.calcification.map(|word| word.slug()))
    .bind(lesion.tortuosity.map(|word| word.slug()))
    .bind(lesion.medina.map(|class| class.to_string()))
    .bind(lesion.cto)
    .bind(lesion.ostial)
    .bind(lesion.length_mm.map(Millimetres::hundredths))
    .bind(lesion.reference_mm.map(Millimetres::hundredths))
    .execute(conn)
    .await?;
    Ok(())
}
