//! The SQL of the kept counts: cases of a subject by month, and whether all of them are right.

use sqlx::{FromRow, SqliteConnection};

use super::count;
use crate::case::Month;
use crate::case::traits::Trait;
use crate::database::{StoreError, read};
use crate::rates::counts::ByMonth;
use crate::rates::line::Subject;

/// Among which cases is counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Among {
    /// All of them.
    All,
    /// Those of which a feature holds.
    With(Trait),
    /// Those of which it does not hold; a case that does not speak of it is neither.
    Without(Trait),
}

impl Among {
    pub(super) const fn key(self) -> (&'static str, i64) {
        match self {
            Self::All => ("any", 1),
            Self::With(one) => (one.slug(), 1),
            Self::Without(one) => (one.slug(), 0),
        }
    }
}

const OF_ONE: &str = "select month, cases from kept_counts
     where kind = $1 and subject = $2 and trait = $3 and holds = $4 and month between $5 and $6
       and cases > 0";

/// Cases of one subject by month from one month to another, both included.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn cases_of(
    conn: &mut SqliteConnection,
    subject: &Subject,
    among: Among,
    (from, to): (Month, Month),
) -> Result<ByMonth, StoreError> {
    let ((kind, slug), (name, holds)) = (subject.key(), among.key());
    let rows: Vec<(String, i64)> = sqlx::query_as(OF_ONE)
        .bind(kind)
        .bind(slug)
        .bind(name)
        .bind(holds)
        .bind(from.to_string())
        .bind(to.to_string())
        .fetch_all(conn)
        .await?;
    let mut months = ByMonth::new();
    for (month, cases) in &rows {
        put(&mut months, month, *cases)?;
    }
    Ok(months)
}

fn put(months: &mut ByMonth, month: &str, cases: i64) -> Result<(), StoreError> {
    months.insert(read("kept_counts", month, month)?, count("kept_counts", month, cases)?);
    Ok(())
}

const BY_TRAIT: &str = "select trait, holds, sum(cases) from kept_counts
     where kind = $1 and subject = $2 and month between $3 and $4 group by trait, holds";

/// How many cases of a subject have each feature and lack it, over some months: `(feature, holds,
/// cases)`. What is known of no case is absent.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn cases_by_trait(
    conn: &mut SqliteConnection,
    subject: &Subject,
    (from, to): (Month, Month),
) -> Result<Vec<(Trait, bool, u64)>, StoreError> {
    let (kind, slug) = subject.key();
    let rows: Vec<(String, bool, i64)> = sqlx::query_as(BY_TRAIT)
        .bind(kind)
        .bind(slug)
        .bind(from.to_string())
        .bind(to.to_string())
        .fetch_all(conn)
        .await?;
    rows.into_iter()
        .filter(|(name, ..)| name != "any")
        .map(|(name, holds, cases)| {
            Ok((read("kept_counts", &name, &name)?, holds, count("kept_counts", &name, cases)?.into()))
        })
        .collect()
}

/// A kept count that is not what the record gives.
#[derive(Debug, Clone, PartialEq, Eq, FromRow)]
pub struct Differs {
    /// The feature that the cases were counted under; `any` for all.
    #[sqlx(rename = "trait")]
    pub under: String,
    /// Whether the feature holds in them.
    pub holds: bool,
    /// The month.
    pub month: String,
    /// `whole`, `branch` or `mechanism`.
    pub kind: String,
    /// The slug; empty for the whole.
    pub subject: String,
    /// What is kept.
    pub kept: i64,
    /// What the record gives.
    pub counted: i64,
}

const COMPARE: &str = "with counted as (
         select trait, holds, month, kind, subject, count(*) as cases
         from case_contributions group by trait, holds, month, kind, subject
     ),
     both_sides as (
         select trait, holds, month, kind, subject, cases as kept, 0 as counted from kept_counts
         union all
         select trait, holds, month, kind, subject, 0, cases from counted
     )
     select trait, holds, month, kind, subject, sum(kept) as kept, sum(counted) as counted
     from both_sides group by trait, holds, month, kind, subject
     having sum(kept) <> sum(counted) order by month, trait, holds, kind, subject";

/// Counts everything anew from the record and gives what differs from what is kept; nothing when
/// all is right.
///
/// # Errors
/// What the database says.
pub async fn compare(conn: &mut SqliteConnection) -> Result<Vec<Differs>, StoreError> {
    Ok(sqlx::query_as(COMPARE).fetch_all(conn).await?)
}

/// Counts everything anew from the record and keeps that. Run it in a transaction.
///
/// # Errors
/// What the database says.
pub async fn rebuild(conn: &mut SqliteConnection) -> Result<(), StoreError> {
    sqlx::query("delete from kept_counts").execute(&mut *conn).await?;
    sqlx::query(
        "insert into kept_counts (trait, holds, month, kind, subject, cases)
         select trait, holds, month, kind, subject, count(*) from case_contributions
         group by trait, holds, month, kind, subject",
    )
    .execute(conn)
    .await?;
    Ok(())
}

#[cfg(test)]
pub(super) const STATEMENTS: [&str; 2] = [OF_ONE, BY_TRAIT];
