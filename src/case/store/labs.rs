//! The SQL of laboratory values.

use sqlx::{FromRow, SqliteConnection};

use super::by_case::{ByCase, of_cases};
use crate::case::lab::{Lab, LabResult};
use crate::case::stored::Row;
use crate::database::{StoreError, read};
use crate::quantity::{Offset, QuantityError};

const TABLE: &str = "labs";

#[derive(FromRow)]
struct LabRow {
    case_id: i64,
    id: i64,
    test: String,
    drawn_seconds: i64,
    returned_seconds: Option<i64>,
    value: String,
    reference_limit: Option<String>,
}

fn lab(row: &LabRow) -> Result<Row<Lab>, StoreError> {
    let corrupt = |why: String| StoreError::Corrupt { table: TABLE, key: row.id.to_string(), why };
    let offset =
        |seconds| Offset::from_seconds(seconds).map_err(|error: QuantityError| corrupt(error.to_string()));
    let test = read(TABLE, row.id, &row.test)?;
    Ok(Row {
        id: row.id,
        value: Lab {
            drawn: offset(row.drawn_seconds)?,
            returned: row.returned_seconds.map(offset).transpose()?,
            result: LabResult::read(test, &row.value, row.reference_limit.as_deref())
                .map_err(|error| corrupt(error.to_string()))?,
        },
    })
}

pub(super) async fn list(conn: &mut SqliteConnection, cases: &[i64]) -> Result<ByCase<Lab>, StoreError> {
    let mut sql = of_cases(
        "select case_id, id, test, drawn_seconds, returned_seconds, value, reference_limit
         from labs where removed_at is null and case_id in ",
        cases,
        "order by drawn_seconds, id",
    );
    let rows: Vec<LabRow> = sql.build_query_as().fetch_all(conn).await?;
    ByCase::of(rows.iter().map(|row| Ok((row.case_id, lab(row)?))))
}

pub(super) async fn insert(conn: &mut SqliteConnection, case_id: i64, lab: &Lab) -> Result<i64, StoreError> {
    let (id,): (i64,) = sqlx::query_as(
        "insert into labs (case_id, test, drawn_seconds, returned_seconds, value, reference_limit)
         values ($1, $2, $3, $4, $5, $6) returning id",
    )
    .bind(case_id)
    .bind(lab.result.test().slug())
    .bind(lab.drawn.seconds())
    .bind(lab.returned.map(Offset::seconds))
    .bind(lab.result.value())
    .bind(lab.result.limit())
    .fetch_one(conn)
    .await?;
    Ok(id)
}

pub(super) async fn update(
    conn: &mut SqliteConnection,
    case_id: i64,
    id: i64,
    lab: &Lab,
) -> Result<(), StoreError> {
    sqlx::query(
        "update labs set test = $3, drawn_seconds = $4, returned_seconds = $5, value = $6,
                reference_limit = $7
         where case_id = $1 and id = $2",
    )
    .bind(case_id)
    .bind(id)
    .bind(lab.result.test().slug())
    .bind(lab.drawn.seconds())
    .bind(lab.returned.map(Offset::seconds))
    .bind(lab.result.value())
    .bind(lab.result.limit())
    .execute(conn)
    .await?;
    Ok(())
}
