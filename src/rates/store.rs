//! The SQL of rates: procedures at risk in and out, and the counts of cases.

mod at_risk;
mod combination;
mod counts;
mod drawn_together_sqlite;
pub mod operators;
mod settings;
mod subject;

use sqlx::SqliteConnection;

use super::at_risk::Denominators;
use super::counts::Counts;
use super::course::{Course, Every, Impossible};
use super::line::{RateLine, Subject};
use super::period::Period;
use super::table::{Inputs, Lines, RatesTable, Within};
use crate::case::Month;
use crate::database::{StoreError, read_opt};
use crate::vocabulary::{MechanismSlug, Stratum, Vocabulary};

pub use at_risk::{at_risk, at_risk_of, at_risk_year, default_period, latest_counted_month, set_at_risk};
pub use combination::{case_facts, cases_like};
pub use counts::{Among, Differs, cases_by_trait, cases_of, compare, rebuild};
pub use drawn_together_sqlite::{counts, denominators};
pub use settings::{set_settings, settings};
pub use subject::{
    DoneAction, SetBaseline, baselines, causes, done_actions, first_counted, held_baselines, set_baseline,
    times,
};

/// A stored count as a number that is not negative.
fn count(table: &'static str, key: &str, number: i64) -> Result<u32, StoreError> {
    u32::try_from(number).map_err(|error| StoreError::Corrupt {
        table,
        key: key.to_owned(),
        why: error.to_string(),
    })
}

/// The first month that has a case.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn recorded_since(conn: &mut SqliteConnection) -> Result<Option<Month>, StoreError> {
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

/// The first month of the period before, or of the period itself, and the last of the period.
fn reach(period: Period) -> (Month, Month) {
    (period.previous().unwrap_or(period).from(), period.to())
}

/// The rates of a period, of all procedures. The vocabulary is that of the same database.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn table(
    conn: &mut SqliteConnection,
    vocabulary: &Vocabulary,
    period: Period,
) -> Result<RatesTable, StoreError> {
    table_within(conn, vocabulary, period, None).await
}

/// The rates of a period among the procedures of a stratum; `None` for all.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn table_within(
    conn: &mut SqliteConnection,
    vocabulary: &Vocabulary,
    period: Period,
    stratum: Option<&Stratum>,
) -> Result<RatesTable, StoreError> {
    let (from, to) = reach(period);
    let within = match stratum.and_then(Within::of) {
        Some(within) => Some(unclassified(conn, within, period).await?),
        None => None,
    };
    let among = within.as_ref().map_or(Among::All, |within| Among::With(within.feature));
    let inputs = Inputs {
        counts: counts(conn, among, from, to).await?,
        denominators: denominators(conn, from, to).await?,
        recorded_since: recorded_since(conn).await?,
        within,
    };
    Ok(RatesTable::of(vocabulary, &inputs, period))
}

/// How many cases of a period do not say whether they belong to a stratum.
async fn unclassified(
    conn: &mut SqliteConnection,
    within: Within,
    period: Period,
) -> Result<Within, StoreError> {
    let reach = (period.from(), period.to());
    let mut left: i64 = 0;
    for (among, sign) in
        [(Among::All, 1), (Among::With(within.feature), -1), (Among::Without(within.feature), -1)]
    {
        let months = cases_of(conn, &Subject::Whole, among, reach).await?;
        left += sign * months.values().copied().map(i64::from).sum::<i64>();
    }
    Ok(Within { unclassified: u64::try_from(left).unwrap_or(0), ..within })
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
    let period = default_period(conn, today).await?;
    line(conn, vocabulary, &Subject::Mechanism(mechanism.clone()), period, None).await
}

/// A subject over time, among the procedures of a stratum or all; `None` when the tree has no such
/// subject.
///
/// # Errors
/// What the database says, or a value in it that cannot be read. The inner error is a month that
/// cannot be as recorded.
pub async fn course(
    conn: &mut SqliteConnection,
    vocabulary: &Vocabulary,
    subject: &Subject,
    (period, every): (Period, Every),
    within: Option<&Within>,
) -> Result<Option<Result<Course, Impossible>>, StoreError> {
    let (Some(own), Some(label)) = (subject.stratum(vocabulary), subject.label(vocabulary)) else {
        return Ok(None);
    };
    let stratum = within.map_or(own, |within| &within.stratum);
    let among = within.map_or(Among::All, |within| Among::With(within.feature));
    let reach = (period.from(), period.to());
    let events = cases_of(conn, subject, among, reach).await?;
    let at_risk: Denominators = at_risk_of(conn, stratum, reach).await?;
    let labels = (label, vocabulary.stratum_label(stratum));
    Ok(Some(Course::of(subject, labels, (period, every), &events, |month| at_risk.get(stratum, month))))
}

/// The rate of one subject over a period, among the procedures of a stratum or all; `None` when the
/// tree has no such subject.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn line(
    conn: &mut SqliteConnection,
    vocabulary: &Vocabulary,
    subject: &Subject,
    period: Period,
    within: Option<&Within>,
) -> Result<Option<RateLine>, StoreError> {
    let Some(own) = subject.stratum(vocabulary) else {
        return Ok(None);
    };
    let stratum = within.map_or(own, |within| &within.stratum);
    let among = within.map_or(Among::All, |within| Among::With(within.feature));
    let months = cases_of(conn, subject, among, reach(period)).await?;
    let denominators: Denominators = at_risk_of(conn, stratum, reach(period)).await?;
    let counts = Counts::of(subject, months);
    let inputs = Inputs { counts, denominators, recorded_since: None, within: within.cloned() };
    Ok(Lines { vocabulary, inputs: &inputs, period }.subject(subject))
}

#[cfg(test)]
mod tests;
