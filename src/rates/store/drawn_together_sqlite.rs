//! Whole series in one row each: the statements that only SQLite knows. A page over fifteen years reads
//! some ten thousand counts, and a row for each would cost more than all that is worked out from them.

use sqlx::SqliteConnection;

use super::count;
use super::counts::Among;
use crate::case::Month;
use crate::database::{StoreError, read};
use crate::rates::at_risk::Denominators;
use crate::rates::counts::{ByMonth, Counts};

/// Months and numbers, `2024-01:12,2024-02:7`, in any order.
fn series(table: &'static str, key: &str, text: &str) -> Result<ByMonth, StoreError> {
    let corrupt =
        || StoreError::Corrupt { table, key: key.to_owned(), why: "a series that cannot be read".to_owned() };
    text.split(',')
        .map(|pair| {
            let (month, number) = pair.split_once(':').ok_or_else(corrupt)?;
            Ok((read(table, key, month)?, count(table, key, number.parse().map_err(|_| corrupt())?)?))
        })
        .collect()
}

pub(super) const EVERY: &str = "select kind, subject, group_concat(month || ':' || cases) from kept_counts
     where trait = $1 and holds = $2 and month between $3 and $4 and cases > 0 group by kind, subject";

/// Cases by month from one month to another, both included.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn counts(
    conn: &mut SqliteConnection,
    among: Among,
    from: Month,
    to: Month,
) -> Result<Counts, StoreError> {
    let (name, holds) = among.key();
    let rows: Vec<(String, String, String)> = sqlx::query_as(EVERY)
        .bind(name)
        .bind(holds)
        .bind(from.to_string())
        .bind(to.to_string())
        .fetch_all(conn)
        .await?;
    let mut counts = Counts::default();
    for (kind, subject, text) in rows {
        let months = series("kept_counts", &subject, &text)?;
        match kind.as_str() {
            "whole" => counts.whole = months,
            "branch" => {
                counts.branches.insert(subject, months);
            }
            _ => {
                counts.mechanisms.insert(read("kept_counts", &subject, &subject)?, months);
            }
        }
    }
    Ok(counts)
}

/// The counted procedures of every stratum from one month to another, both included.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn denominators(
    conn: &mut SqliteConnection,
    from: Month,
    to: Month,
) -> Result<Denominators, StoreError> {
    const TABLE: &str = "procedures_at_risk";
    let rows: Vec<(String, String)> = sqlx::query_as(
        "select stratum, group_concat(month || ':' || procedures) from procedures_at_risk
         where month between $1 and $2 group by stratum",
    )
    .bind(from.to_string())
    .bind(to.to_string())
    .fetch_all(conn)
    .await?;
    rows.iter()
        .map(|(stratum, text)| Ok((read(TABLE, stratum, stratum)?, series(TABLE, stratum, text)?)))
        .collect::<Result<_, StoreError>>()
        .map(Denominators::of)
}
