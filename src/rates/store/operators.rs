//! The SQL of operators: what is set, pseudonyms, their procedures, the operator of a case.

mod counted;
mod recorded;

use sqlx::{FromRow, SqliteConnection};

pub use self::counted::{ByOperator, by_operator};
pub use self::recorded::{assign, cases, procedures, set_procedures};
use crate::database::{StoreError, read};
use crate::department::store as department;
use crate::rates::operators::{Operator, OperatorSettings, Pseudonym};

const VIEW: &str = "operators.view";
const FEWEST: &str = "operators.fewest-procedures";

/// What the department set for its operators; off where nobody said otherwise.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn settings(conn: &mut SqliteConnection) -> Result<OperatorSettings, StoreError> {
    let held: Vec<(String, String)> =
        sqlx::query_as("select name, value from settings where name in ($1, $2)")
            .bind(VIEW)
            .bind(FEWEST)
            .fetch_all(conn)
            .await?;
    let mut settings = OperatorSettings::default();
    for (name, value) in &held {
        match name.as_str() {
            VIEW => settings.view = read("settings", name, value)?,
            _ => settings.fewest = read("settings", name, value)?,
        }
    }
    Ok(settings)
}

/// Takes the settings. Turning operators off takes nothing away.
///
/// # Errors
/// What the database says.
pub async fn set_settings(
    conn: &mut SqliteConnection,
    settings: &OperatorSettings,
) -> Result<(), StoreError> {
    let values = [(VIEW, settings.view.to_string()), (FEWEST, settings.fewest.to_string())]
        .map(|(name, value)| (name.to_owned(), value));
    department::set(conn, &values).await
}

#[derive(FromRow)]
struct OperatorRow {
    id: i64,
    pseudonym: String,
    ended: bool,
}

impl OperatorRow {
    fn read(&self) -> Result<Operator, StoreError> {
        Ok(Operator {
            id: self.id,
            pseudonym: read("operators", self.id, &self.pseudonym)?,
            ended: self.ended,
        })
    }
}

/// Every operator, ended ones too, in the order of the pseudonyms.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn list(conn: &mut SqliteConnection) -> Result<Vec<Operator>, StoreError> {
    let rows: Vec<OperatorRow> =
        sqlx::query_as("select id, pseudonym, ended from operators").fetch_all(conn).await?;
    let mut operators = rows.iter().map(OperatorRow::read).collect::<Result<Vec<_>, _>>()?;
    operators.sort_by(|one, other| one.pseudonym.cmp(&other.pseudonym));
    Ok(operators)
}

/// Adds an operator and gives its id.
///
/// # Errors
/// A pseudonym that is taken is refused by the rule `operators.pseudonym`; or what the database says.
pub async fn add(conn: &mut SqliteConnection, pseudonym: &Pseudonym) -> Result<i64, StoreError> {
    let (id,): (i64,) = sqlx::query_as("insert into operators (pseudonym) values ($1) returning id")
        .bind(pseudonym.as_str())
        .fetch_one(conn)
        .await?;
    Ok(id)
}

/// Gives an operator another pseudonym; the one before is not kept. `false` when there is none of
/// this id.
///
/// # Errors
/// As [`add`].
pub async fn rename(conn: &mut SqliteConnection, id: i64, pseudonym: &Pseudonym) -> Result<bool, StoreError> {
    let done = sqlx::query("update operators set pseudonym = $1 where id = $2")
        .bind(pseudonym.as_str())
        .bind(id)
        .execute(conn)
        .await?;
    Ok(done.rows_affected() > 0)
}

/// Ends an operator or takes it up again; what is recorded for it stays. `false` when there is none
/// of this id.
///
/// # Errors
/// What the database says.
pub async fn set_ended(conn: &mut SqliteConnection, id: i64, ended: bool) -> Result<bool, StoreError> {
    let done = sqlx::query("update operators set ended = $1 where id = $2")
        .bind(i64::from(ended))
        .bind(id)
        .execute(conn)
        .await?;
    Ok(done.rows_affected() > 0)
}
