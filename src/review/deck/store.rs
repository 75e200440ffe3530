//! The SQL of what a presenter gave to a deck.

use sqlx::{FromRow, QueryBuilder, Sqlite, SqliteConnection};

use super::order::{Arranged, Notes};
use crate::database::{StoreError, read};

const TABLE: &str = "deck_screens";

/// The place, as it is kept, of a screen that stands where the record puts it: after all others.
const UNPLACED: u32 = u32::MAX;

#[derive(FromRow)]
struct ScreenRow {
    screen: String,
    position: i64,
    hidden: i64,
    notes: Option<String>,
}

impl ScreenRow {
    fn arranged(self) -> Result<Arranged, StoreError> {
        let position = u32::try_from(self.position).map_err(|error| StoreError::Corrupt {
            table: TABLE,
            key: self.screen.clone(),
            why: error.to_string(),
        })?;
        let notes = match self.notes {
            None => Notes::Suggested,
            Some(text) if text.is_empty() => Notes::None,
            Some(text) => Notes::Own(read(TABLE, position, &text)?),
        };
        Ok(Arranged {
            screen: read(TABLE, position, &self.screen)?,
            position: Some(position).filter(|place| *place != UNPLACED),
            hidden: self.hidden != 0,
            notes,
        })
    }
}

/// What was given to the deck of a case, by position; empty while nobody changed anything.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn load(conn: &mut SqliteConnection, case_id: i64) -> Result<Vec<Arranged>, StoreError> {
    let rows: Vec<ScreenRow> = sqlx::query_as(
        "select screen, position, hidden, notes from deck_screens where case_id = $1 order by position, screen",
    )
    .bind(case_id)
    .fetch_all(conn)
    .await?;
    rows.into_iter().map(ScreenRow::arranged).collect()
}

/// Keeps what was given to the deck of a case. Screens that it does not name now keep what they had,
/// so that an event that is put back finds its notes again.
///
/// # Errors
/// What the database says.
pub async fn save(conn: &mut SqliteConnection, case_id: i64, given: &[Arranged]) -> Result<(), StoreError> {
    let before = load(conn, case_id).await?;
    let unnamed = before.into_iter().filter(|old| given.iter().all(|new| new.screen != old.screen));
    let all: Vec<Arranged> = given.iter().cloned().chain(unnamed).collect();
    sqlx::query("delete from deck_screens where case_id = $1").bind(case_id).execute(&mut *conn).await?;
    // Few enough columns and rows for one statement: a deck has some dozens of screens.
    for part in all.chunks(1_000) {
        let mut sql: QueryBuilder<Sqlite> =
            QueryBuilder::new("insert into deck_screens (case_id, screen, position, hidden, notes) ");
        sql.push_values(part, |mut row, one| {
            row.push_bind(case_id)
                .push_bind(one.screen.as_str().to_owned())
                .push_bind(i64::from(one.position.unwrap_or(UNPLACED)));
            row.push_bind(i64::from(one.hidden)).push_bind(match &one.notes {
                Notes::Suggested => None,
                Notes::None => Some(String::new()),
                Notes::Own(text) => Some(text.as_str().to_owned()),
            });
        });
        sql.build().execute(&mut *conn).await?;
    }
    Ok(())
}

/// Lets the screens of a case stand where its record puts them, all of them shown; notes are kept.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn forget_order(conn: &mut SqliteConnection, case_id: i64) -> Result<(), StoreError> {
    sqlx::query("delete from deck_screens where case_id = $1 and notes is null")
        .bind(case_id)
        .execute(&mut *conn)
        .await?;
    sqlx::query("update deck_screens set hidden = 0, position = $2 where case_id = $1")
        .bind(case_id)
        .bind(i64::from(UNPLACED))
        .execute(conn)
        .await?;
    Ok(())
}
