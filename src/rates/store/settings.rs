//! The SQL of what a department sets for its rates.

use sqlx::SqliteConnection;

use crate::database::{StoreError, read};
use crate::department::store as department;
use crate::rates::settings::Settings;

const SMALLEST: &str = "rates.smallest-count";
const GROUP: &str = "rates.smallest-group";
const FEWEST: &str = "rates.fewest-compared";
const FALSE_ALARM: &str = "rates.false-alarm-years";

/// What the department set; the usual value where nobody did.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn settings(conn: &mut SqliteConnection) -> Result<Settings, StoreError> {
    let held: Vec<(String, String)> =
        sqlx::query_as("select name, value from settings where name in ($1, $2, $3, $4)")
            .bind(SMALLEST)
            .bind(GROUP)
            .bind(FEWEST)
            .bind(FALSE_ALARM)
            .fetch_all(conn)
            .await?;
    let mut settings = Settings::default();
    for (name, value) in &held {
        match name.as_str() {
            SMALLEST => settings.smallest = read("settings", name, value)?,
            GROUP => settings.group = read("settings", name, value)?,
            FEWEST => settings.fewest_compared = read("settings", name, value)?,
            _ => settings.false_alarm = read("settings", name, value)?,
        }
    }
    Ok(settings)
}

/// Takes the settings.
///
/// # Errors
/// What the database says.
pub async fn set_settings(conn: &mut SqliteConnection, settings: &Settings) -> Result<(), StoreError> {
    let values = [
        (SMALLEST, settings.smallest.to_string()),
        (GROUP, settings.group.to_string()),
        (FEWEST, settings.fewest_compared.to_string()),
        (FALSE_ALARM, settings.false_alarm.to_string()),
    ]
    .map(|(name, value)| (name.to_owned(), value));
    department::set(conn, &values).await
}
