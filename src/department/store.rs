//! The SQL of a department's settings.

use sqlx::SqliteConnection;

use super::{Department, PromptWords, UsualUnits};
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
/// What the database says, or a list of prompts in it that cannot be read.
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

/// The lists of response prompts: the shipped ones, then the department's own.
async fn prompts(
    conn: &mut SqliteConnection,
    vocabulary: &Vocabulary,
) -> Result<Vec<PromptList>, StoreError> {
    let words = PromptWords::of(vocabulary);
    let corrupt =
        |key: &str, why: String| StoreError::Corrupt { table: "prompt_lists", key: key.to_owned(), why };
    let mut lists = standard_lists(&words.allowed()).map_err(|error| corrupt(error.slug, error.to_string()))?;
    let own: Vec<(String, String)> =
        sqlx::query_as("select slug, text from prompt_lists where retired = 0 order by slug")
            .fetch_all(conn)
            .await?;
    for (slug, text) in own {
        let list = PromptList::parse(&text, &words.allowed()).map_err(|problems| {
            let first = problems.first().map(ToString::to_string).unwrap_or_default();
            corrupt(&slug, first)
        })?;
        lists.push(list);
    }
    Ok(lists)
}

async fn set(conn: &mut SqliteConnection, name: &str, value: &str) -> Result<(), StoreError> {
    sqlx::query(
        "insert into settings (name, value) values ($1, $2)
         on conflict (name) do update set value = excluded.value",
    )
    .bind(name)
    .bind(value)
    .execute(conn)
    .await?;
    Ok(())
}

/// Takes answers where sources clash.
///
/// # Errors
/// What the database says.
pub async fn take_choices(conn: &mut SqliteConnection, choices: &Choices) -> Result<(), StoreError> {
    for question in choices.questions() {
        set(conn, &format!("{CHOICE}{}", question.slug), question.taken).await?;
    }
    Ok(())
}

/// Remembers the units that quantities were given in.
///
/// # Errors
/// What the database says.
pub async fn remember_units(
    conn: &mut SqliteConnection,
    used: &[(&'static str, String)],
) -> Result<(), StoreError> {
    for (quantity, unit) in used {
        set(conn, &format!("{UNIT}{quantity}"), unit).await?;
    }
    Ok(())
}
