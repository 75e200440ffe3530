//! What is worked out from a case and kept beside it, so that rates need not read cases: what is
//! true of it, how long each harm took, and what in its words may identify somebody. The counts themselves follow by the triggers of
//! migration 6.

use sqlx::{QueryBuilder, Sqlite, SqliteConnection};

use super::identifiers;
use crate::case::code::CaseCode;
use crate::case::harm_times::HarmTimes;
use crate::case::record::Case;
use crate::case::stored::StoredCase;
use crate::case::traits::Trait;
use crate::database::StoreError;

/// Which working out the kept rows come from. Count it up when [`Trait`] or [`HarmTimes`] changes
/// its mind about a case: the next start works all of them out again.
const VERSION: &str = "2";
const SETTING: &str = "kept.version";

/// Works out anew what is kept of a case that was changed.
pub(super) async fn refresh(conn: &mut SqliteConnection, case_id: i64) -> Result<(), StoreError> {
    let (year, number): (i64, i64) = sqlx::query_as("select code_year, code_number from cases where id = $1")
        .bind(case_id)
        .fetch_one(&mut *conn)
        .await?;
    let code = super::code_of("cases", year, number)?;
    match super::find(conn, code).await? {
        Some(stored) => keep(conn, &stored).await,
        None => Ok(()),
    }
}

/// Keeps what is worked out from a case that was just stored.
pub(super) async fn keep_new(
    conn: &mut SqliteConnection,
    case_id: i64,
    code: CaseCode,
    case: &Case,
) -> Result<(), StoreError> {
    let stored = StoredCase { id: case_id, ..StoredCase::of_file(case.clone(), code) };
    write_traits(conn, case_id, case).await?;
    write_times(conn, &stored).await?;
    identifiers::keep_new(conn, case_id, code, &stored).await
}

async fn keep(conn: &mut SqliteConnection, stored: &StoredCase) -> Result<(), StoreError> {
    write_traits(conn, stored.id, &stored.to_case()).await?;
    write_times(conn, stored).await?;
    identifiers::keep(conn, stored).await
}

/// The features that are kept of a case.
async fn held_traits(conn: &mut SqliteConnection, case_id: i64) -> Result<Vec<(String, bool)>, StoreError> {
    Ok(sqlx::query_as(
        "select trait, holds from case_traits where case_id = $1 and trait <> 'any' order by trait",
    )
    .bind(case_id)
    .fetch_all(conn)
    .await?)
}

/// Writes the features that changed, and no others: each takes the case in or out of many counts.
async fn write_traits(conn: &mut SqliteConnection, case_id: i64, case: &Case) -> Result<(), StoreError> {
    let held = held_traits(conn, case_id).await?;
    let now: Vec<(&str, bool)> =
        Trait::all_of(case).into_iter().map(|(one, holds)| (one.slug(), holds)).collect();
    let gone: Vec<&str> = held
        .iter()
        .filter(|(name, holds)| !now.contains(&(name.as_str(), *holds)))
        .map(|(name, _)| name.as_str())
        .collect();
    let new: Vec<&(&str, bool)> = now
        .iter()
        .filter(|(name, holds)| !held.iter().any(|(old, was)| old == name && was == holds))
        .collect();
    if !gone.is_empty() {
        let mut sql = QueryBuilder::<Sqlite>::new("delete from case_traits where case_id = ");
        sql.push_bind(case_id).push(" and trait in (");
        let mut list = sql.separated(", ");
        for name in gone {
            list.push_bind(name);
        }
        sql.push(")").build().execute(&mut *conn).await?;
    }
    if !new.is_empty() {
        QueryBuilder::<Sqlite>::new("insert into case_traits (case_id, trait, holds) ")
            .push_values(new, |mut row, (name, holds)| {
                row.push_bind(case_id).push_bind(*name).push_bind(i64::from(*holds));
            })
            .build()
            .execute(conn)
            .await?;
    }
    Ok(())
}

async fn write_times(conn: &mut SqliteConnection, stored: &StoredCase) -> Result<(), StoreError> {
    let times = HarmTimes::all_of(&stored.events, &stored.complications);
    if times.is_empty() {
        return Ok(());
    }
    let mut sql = QueryBuilder::<Sqlite>::new(
        "insert into complication_times (complication_id, recognised_after, without_flow, restored)
         select complications.id, took.column2, took.column3, took.column4 from (",
    );
    sql.push_values(times, |mut row, harm| {
        row.push_bind(harm.complication.as_str().to_owned())
            .push_bind(harm.recognised_after)
            .push_bind(harm.without_flow.map(|flow| flow.seconds))
            .push_bind(harm.without_flow.map(|flow| i64::from(flow.restored)));
    });
    sql.push(") as took join complications on complications.key = took.column1 and complications.case_id = ")
        .push_bind(stored.id)
        .push(
            " where true on conflict (complication_id) do update set recognised_after = excluded.recognised_after,
              without_flow = excluded.without_flow, restored = excluded.restored",
        );
    sql.build().execute(conn).await?;
    Ok(())
}

/// Works out what is kept of every case, when that was done by another version of this program or
/// never. Says how many cases it read.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn keep_up(conn: &mut SqliteConnection) -> Result<usize, StoreError> {
    let held: Option<(String,)> = sqlx::query_as("select value from settings where name = $1")
        .bind(SETTING)
        .fetch_optional(&mut *conn)
        .await?;
    if held.is_some_and(|(version,)| version == VERSION) {
        return Ok(0);
    }
    let cases = keep_all(conn).await?;
    sqlx::query(
        "insert into settings (name, value) values ($1, $2)
         on conflict (name) do update set value = excluded.value",
    )
    .bind(SETTING)
    .bind(VERSION)
    .execute(conn)
    .await?;
    Ok(cases)
}

/// Works out anew what is kept of every case, and says how many there are. Run it in a transaction.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn keep_all(conn: &mut SqliteConnection) -> Result<usize, StoreError> {
    let codes = super::codes(conn).await?;
    for &code in &codes {
        if let Some(stored) = super::find(conn, code).await? {
            keep(conn, &stored).await?;
        }
    }
    Ok(codes.len())
}

/// The cases of which other features are kept than they have. It reads every case.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn kept_otherwise(conn: &mut SqliteConnection) -> Result<Vec<CaseCode>, StoreError> {
    let mut otherwise = Vec::new();
    for code in super::codes(conn).await? {
        let Some(stored) = super::find(conn, code).await? else { continue };
        let mut has: Vec<(String, bool)> = Trait::all_of(&stored.to_case())
            .into_iter()
            .map(|(one, holds)| (one.slug().to_owned(), holds))
            .collect();
        has.sort();
        if held_traits(conn, stored.id).await? != has {
            otherwise.push(code);
        }
    }
    Ok(otherwise)
}
