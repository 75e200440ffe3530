//! The SQL of procedures at risk.

use std::collections::BTreeMap;

use sqlx::{FromRow, QueryBuilder, Sqlite, SqliteConnection};

use super::count;
use crate::case::Month;
use crate::database::{StoreError, read, read_opt};
use crate::rates::at_risk::{AtRisk, Denominators};
use crate::rates::period::Period;
use crate::vocabulary::StratumSlug;

const TABLE: &str = "procedures_at_risk";
/// Cells a statement; SQLite takes 32,766 values in one.
const CELLS_AT_ONCE: usize = 4_000;

/// Writes cells of the grid. `None` takes a cell away: not counted. Where a cell is named twice,
/// the last holds.
///
/// # Errors
/// A stratum that does not exist, and more than [`AtRisk::MOST`], are refused by rules of the
/// schema; or what else the database says. Run it in a transaction, so that all is written or
/// nothing.
pub async fn set_at_risk(conn: &mut SqliteConnection, cells: &[AtRisk]) -> Result<(), StoreError> {
    let last: BTreeMap<(&StratumSlug, Month), Option<u32>> =
        cells.iter().map(|cell| ((&cell.stratum, cell.month), cell.procedures)).collect();
    let counted: Vec<(&StratumSlug, Month, u32)> =
        last.iter().filter_map(|((stratum, month), n)| Some((*stratum, *month, (*n)?))).collect();
    let not_counted: Vec<(&StratumSlug, Month)> =
        last.iter().filter(|(_, n)| n.is_none()).map(|(cell, _)| *cell).collect();
    for some in counted.chunks(CELLS_AT_ONCE) {
        QueryBuilder::<Sqlite>::new("insert into procedures_at_risk (month, stratum, procedures) ")
            .push_values(some, |mut row, (stratum, month, procedures)| {
                row.push_bind(month.to_string()).push_bind(stratum.as_str()).push_bind(*procedures);
            })
            .push(" on conflict (month, stratum) do update set procedures = excluded.procedures")
            .build()
            .execute(&mut *conn)
            .await?;
    }
    for some in not_counted.chunks(CELLS_AT_ONCE) {
        QueryBuilder::<Sqlite>::new("delete from procedures_at_risk where (month, stratum) in (")
            .push_values(some, |mut row, (stratum, month)| {
                row.push_bind(month.to_string()).push_bind(stratum.as_str());
            })
            .push(")")
            .build()
            .execute(&mut *conn)
            .await?;
    }
    Ok(())
}

#[derive(FromRow)]
struct AtRiskRow {
    month: String,
    stratum: String,
    procedures: i64,
}

/// The counted cells from one month to another, both included, by month and stratum.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn at_risk(conn: &mut SqliteConnection, from: Month, to: Month) -> Result<Vec<AtRisk>, StoreError> {
    let rows: Vec<AtRiskRow> = sqlx::query_as(
        "select month, stratum, procedures from procedures_at_risk
         where month between $1 and $2 order by month, stratum",
    )
    .bind(from.to_string())
    .bind(to.to_string())
    .fetch_all(conn)
    .await?;
    rows.iter().map(cell).collect()
}

/// The counted cells of a year; none for a year outside the record's calendar.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn at_risk_year(conn: &mut SqliteConnection, year: i64) -> Result<Vec<AtRisk>, StoreError> {
    match (Month::new(year, 1), Month::new(year, 12)) {
        (Ok(from), Ok(to)) => at_risk(conn, from, to).await,
        _ => Ok(Vec::new()),
    }
}

/// The counted cells of one stratum, from one month to another, both included.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn at_risk_of(
    conn: &mut SqliteConnection,
    stratum: &StratumSlug,
    (from, to): (Month, Month),
) -> Result<Denominators, StoreError> {
    let rows: Vec<AtRiskRow> = sqlx::query_as(
        "select month, stratum, procedures from procedures_at_risk
         where month between $1 and $2 and stratum = $3",
    )
    .bind(from.to_string())
    .bind(to.to_string())
    .bind(stratum.as_str())
    .fetch_all(conn)
    .await?;
    rows.iter().map(cell).collect()
}

fn cell(row: &AtRiskRow) -> Result<AtRisk, StoreError> {
    let key = || format!("{}, {}", row.month, row.stratum);
    Ok(AtRisk {
        month: read(TABLE, key(), &row.month)?,
        stratum: read(TABLE, key(), &row.stratum)?,
        procedures: Some(count(TABLE, &key(), row.procedures)?),
    })
}

/// The last month, not after today's, in which any stratum was counted; `None` when none was.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn latest_counted_month(
    conn: &mut SqliteConnection,
    today: Month,
) -> Result<Option<Month>, StoreError> {
    let (month,): (Option<String>,) =
        sqlx::query_as("select max(month) from procedures_at_risk where month <= $1")
            .bind(today.to_string())
            .fetch_one(conn)
            .await?;
    read_opt(TABLE, "last month", month.as_ref())
}

/// The period when nobody chose one ([`Period::to_last_counted`]).
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn default_period(conn: &mut SqliteConnection, today: Month) -> Result<Period, StoreError> {
    Ok(Period::to_last_counted(latest_counted_month(conn, today).await?, today))
}
