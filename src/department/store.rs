//! The SQL of a department's settings.

use sqlx::{QueryBuilder, Sqlite, SqliteConnection};

use super::{Department, PromptWords, UsualUnits, prompt_store};
use crate::clinical::Choices;
use crate::database::StoreError;
use crate::response::{PromptList, standard_lists};
use crate::vocabulary::Vocabulary;

const CHOICE: &str = "choice.";
const UNIT: &str = "unit.";

/// A department's settings.
///
/// A choice that this version does not offer counts as not made: the default is taken, and every
/// grade says which.
///
/// # Errors
/// What the database says, or a list that ships and whose words the database has lost.
pub async fn load(conn: &mut SqliteConnection, vocabulary: &Vocabulary) -> Result<Department, StoreError> {
    let held: Vec<(String, String)> =
        sqlx::query_as("select name, value from settings order by name").fetch_all(&mut *conn).await?;
    let mut choices = Choices::default();
    let mut units = Vec::new();
    for (name, value) in held {
        if let Some(question) = name.strip_prefix(CHOICE) {
            let _ = choices.take(question, &value);
        } else if let Some(quantity) = name.strip_prefix(UNIT) {
            units.push((quantity.to_owned(), value));
        }
    }
    let prompts = prompts(conn, vocabulary).await?;
    Ok(Department { choices, units: UsualUnits::of(units), prompts })
}

/// The lists of response prompts: the shipped ones, then the department's own. One of its own that
/// cannot be read is left out, so that the rest of the record can be used; the settings show it.
async fn prompts(
    conn: &mut SqliteConnection,
    vocabulary: &Vocabulary,
) -> Result<Vec<PromptList>, StoreError> {
    let words = PromptWords::of(vocabulary);
    let mut lists = standard_lists(&words.allowed()).map_err(|error| StoreError::Corrupt {
        table: "mechanisms",
        key: error.slug.to_owned(),
        why: error.to_string(),
    })?;
    let own = prompt_store::list(conn, &words).await?;
    lists.extend(own.into_iter().filter(|list| !list.retired).filter_map(|list| list.read.ok()));
    Ok(lists)
}

/// Writes settings over those of the same names.
///
/// # Errors
/// What the database says.
pub async fn set(conn: &mut SqliteConnection, values: &[(String, String)]) -> Result<(), StoreError> {
    if values.is_empty() {
        return Ok(());
    }
    QueryBuilder::<Sqlite>::new("insert into settings (name, value) ")
        .push_values(values, |mut row, (name, value)| {
            row.push_bind(name.as_str()).push_bind(value.as_str());
        })
        .push(" on conflict (name) do update set value = excluded.value")
        .build()
        .execute(conn)
        .await?;
    Ok(())
}

/// Takes answers where sources clash.
///
/// # Errors
/// What the database says.
pub async fn take_choices(conn: &mut SqliteConnection, choices: &Choices) -> Result<(), StoreError> {
    let named: Vec<(String, String)> = choices
        .questions()
        .iter()
        .map(|question| (format!("{CHOICE}{}", question.slug), question.taken.to_owned()))
        .collect();
    set(conn, &named).await
}

/// Remembers the units that quantities were given in.
///
/// # Errors
/// What the database says.
pub async fn remember_units(
    conn: &mut SqliteConnection,
    used: &[(&'static str, String)],
) -> Result<(), StoreError> {
    let named: Vec<(String, String)> =
        used.iter().map(|(quantity, unit)| (format!("{UNIT}{quantity}"), unit.clone())).collect();
    set(conn, &named).await
}
