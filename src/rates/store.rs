//! The SQL of rates: procedures at risk in and out, and the counts of cases.

use std::collections::BTreeMap;

use sqlx::{FromRow, QueryBuilder, Sqlite, SqliteConnection};

use super::at_risk::{AtRisk, Denominators};
use super::counts::{ByMonth, Counts};
use super::line::RateLine;
use super::period::Period;
use super::table::{Inputs, Lines, RatesTable};
use crate::case::Month;
use crate::database::{StoreError, read, read_opt};
use crate::vocabulary::{MechanismSlug, StratumSlug, Vocabulary};

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

/// The counted cells of one stratum.
async fn at_risk_of(
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

/// A stored count as a number that is not negative.
fn count(table: &'static str, key: &str, number: i64) -> Result<u32, StoreError> {
    u32::try_from(number).map_err(|error| StoreError::Corrupt {
        table,
        key: key.to_owned(),
        why: error.to_string(),
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

/// The first month that has a case.
async fn recorded_since(conn: &mut SqliteConnection) -> Result<Option<Month>, StoreError> {
    let (month,): (Option<String>,) =
        sqlx::query_as("select min(procedure_month) from cases").fetch_one(conn).await?;
    read_opt("cases", "first month", month.as_ref())
}

/// A number that changes with every row that a rate is made of; see migration 3.
///
/// # Errors
/// What the database says.
pub async fn version(conn: &mut SqliteConnection) -> Result<i64, StoreError> {
    let (version,): (i64,) = sqlx::query_as("select version from rates_version").fetch_one(conn).await?;
    Ok(version)
}

/// Cases with a complication that was not taken out, by month. A complication holds the month of
/// its case, so that an index answers alone.
const WHOLE: &str = "select procedure_month, count(distinct case_id) from complications
     where removed_at is null and procedure_month between $1 and $2
     group by procedure_month";

/// The same for each branch. The branch is looked up rather than joined, so that no planner starts
/// from the tree and walks through every complication there is.
const BY_BRANCH: &str = "select procedure_month,
            (select branch from mechanisms where slug = mechanism) as branch_slug,
            count(distinct case_id)
     from complications
     where removed_at is null and procedure_month between $1 and $2
     group by procedure_month, branch_slug";

/// The same for each mechanism.
const BY_MECHANISM: &str = "select procedure_month, mechanism, count(distinct case_id)
     from complications
     where removed_at is null and procedure_month between $1 and $2
     group by procedure_month, mechanism";

/// Cases by month from one month to another, both included.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn counts(conn: &mut SqliteConnection, from: Month, to: Month) -> Result<Counts, StoreError> {
    let mut counts = Counts::default();
    for (month, cases) in grouped::<(String, i64)>(conn, WHOLE, from, to).await? {
        insert(&mut counts.whole, &month, cases)?;
    }
    for (month, branch, cases) in grouped::<(String, String, i64)>(conn, BY_BRANCH, from, to).await? {
        insert(counts.branches.entry(branch).or_default(), &month, cases)?;
    }
    for (month, mechanism, cases) in grouped::<(String, String, i64)>(conn, BY_MECHANISM, from, to).await? {
        let slug = read("complications", &mechanism, &mechanism)?;
        insert(counts.mechanisms.entry(slug).or_default(), &month, cases)?;
    }
    Ok(counts)
}

/// The rows of a statement over months.
async fn grouped<R>(
    conn: &mut SqliteConnection,
    sql: &'static str,
    from: Month,
    to: Month,
) -> Result<Vec<R>, StoreError>
where
    R: for<'r> FromRow<'r, sqlx::sqlite::SqliteRow> + Send + Unpin,
{
    Ok(sqlx::query_as(sql).bind(from.to_string()).bind(to.to_string()).fetch_all(conn).await?)
}

/// Puts a month's count among the others.
fn insert(months: &mut ByMonth, month: &str, cases: i64) -> Result<(), StoreError> {
    months.insert(read("cases", month, month)?, count("cases", month, cases)?);
    Ok(())
}

/// Cases with one mechanism, by month.
const CASES_WITH: &str = "select procedure_month, count(distinct case_id) from complications
     where mechanism = $3 and removed_at is null and procedure_month between $1 and $2
     group by procedure_month";

async fn cases_with(
    conn: &mut SqliteConnection,
    mechanism: &MechanismSlug,
    (from, to): (Month, Month),
) -> Result<ByMonth, StoreError> {
    let rows: Vec<(String, i64)> = sqlx::query_as(CASES_WITH)
        .bind(from.to_string())
        .bind(to.to_string())
        .bind(mechanism.as_str())
        .fetch_all(conn)
        .await?;
    let mut months = ByMonth::new();
    for (month, cases) in &rows {
        insert(&mut months, month, *cases)?;
    }
    Ok(months)
}

/// The first month of the period before, or of the period itself, and the last of the period.
fn reach(period: Period) -> (Month, Month) {
    (period.previous().unwrap_or(period).from(), period.to())
}

/// The rates of a period. The vocabulary is that of the same database.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn table(
    conn: &mut SqliteConnection,
    vocabulary: &Vocabulary,
    period: Period,
) -> Result<RatesTable, StoreError> {
    let (from, to) = reach(period);
    let inputs = Inputs {
        counts: counts(conn, from, to).await?,
        denominators: at_risk(conn, from, to).await?.into_iter().collect(),
        recorded_since: recorded_since(conn).await?,
    };
    Ok(RatesTable::of(vocabulary, &inputs, period))
}

/// The rate of one mechanism over the period when nobody chose one, for a teaching summary; `None`
/// when the tree has no such mechanism.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn case_rate(
    conn: &mut SqliteConnection,
    vocabulary: &Vocabulary,
    mechanism: &MechanismSlug,
    today: Month,
) -> Result<Option<RateLine>, StoreError> {
    let Some(leaf) = vocabulary.mechanism(mechanism) else {
        return Ok(None);
    };
    let period = default_period(conn, today).await?;
    let months = cases_with(conn, mechanism, reach(period)).await?;
    let inputs = Inputs {
        counts: Counts { mechanisms: BTreeMap::from([(mechanism.clone(), months)]), ..Counts::default() },
        denominators: at_risk_of(conn, &leaf.at_risk, reach(period)).await?,
        recorded_since: None,
    };
    Ok(Some(Lines { vocabulary, inputs: &inputs, period }.mechanism(leaf)))
}

#[cfg(test)]
#[path = "store_tests.rs"]
mod tests;
