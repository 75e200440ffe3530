//! The SQL of what in the words of a case may identify somebody, what was dismissed, and the department's
//! own words.

use std::collections::BTreeMap;

use sqlx::{FromRow, QueryBuilder, Sqlite, SqliteConnection};

use super::by_case::of_cases;
use crate::accounts::Secret;
use crate::case::code::CaseCode;
use crate::case::identifier::{Dismissal, OpenIdentifier, open, texts};
use crate::case::stored::StoredCase;
use crate::case::text::Sentences;
use crate::database::{StoreError, read};
use crate::deidentify::{OwnEntry, OwnSort, OwnWords};

/// Which finders the kept findings come from. Count it up when they change their mind: cases are looked
/// through again, some at a time, after the next start.
const VERSION: u32 = 1;

/// The department's own words.
///
/// # Errors
/// What the database says.
pub async fn own_words(conn: &mut SqliteConnection) -> Result<OwnWords, StoreError> {
    let salt: Option<(String,)> =
        sqlx::query_as("select salt from own_words_salt").fetch_optional(&mut *conn).await?;
    let rows: Vec<(String, String, String)> =
        sqlx::query_as("select digest, head, sort from own_words").fetch_all(conn).await?;
    let mut entries = Vec::with_capacity(rows.len());
    for (digest, head, sort) in rows {
        let sort = OwnSort::from_slug(&sort).ok_or_else(|| StoreError::Corrupt {
            table: "own_words",
            key: digest.clone(),
            why: format!("{sort} is no sort of word"),
        })?;
        entries.push(OwnEntry { sort, digest, head });
    }
    Ok(OwnWords::new(salt.map(|(salt,)| salt).unwrap_or_default(), entries))
}

/// Gives the list a salt when it has none, before the first digest is made with it.
///
/// # Errors
/// What the database says.
pub async fn give_salt(conn: &mut SqliteConnection, salt: &Secret) -> Result<(), StoreError> {
    sqlx::query(
        "insert into own_words_salt (only, salt, revision) values (1, $1, 0) on conflict (only) do nothing",
    )
    .bind(salt.expose())
    .execute(conn)
    .await?;
    Ok(())
}

/// Adds words to the list; one that is there stays. Says how many are new.
///
/// # Errors
/// What the database says.
pub async fn add_own_words(conn: &mut SqliteConnection, entries: &[OwnEntry]) -> Result<u64, StoreError> {
    if entries.is_empty() {
        return Ok(0);
    }
    let mut added = 0;
    // SQLite takes a bounded number of values in one statement.
    for some in entries.chunks(200) {
        let mut sql = QueryBuilder::<Sqlite>::new("insert into own_words (digest, head, sort) ");
        sql.push_values(some, |mut row, entry| {
            row.push_bind(&entry.digest).push_bind(&entry.head).push_bind(entry.sort.slug());
        });
        sql.push(" on conflict (digest) do nothing");
        added += sql.build().execute(&mut *conn).await?.rows_affected();
    }
    count_up(conn).await?;
    Ok(added)
}

/// Takes a word off the list. Says whether it was there.
///
/// # Errors
/// What the database says.
pub async fn take_own_word(conn: &mut SqliteConnection, entry: &OwnEntry) -> Result<bool, StoreError> {
    let done = sqlx::query("delete from own_words where digest = $1")
        .bind(&entry.digest)
        .execute(&mut *conn)
        .await?;
    count_up(conn).await?;
    Ok(done.rows_affected() > 0)
}

/// Empties one sort of the list. Says how many went.
///
/// # Errors
/// What the database says.
pub async fn empty_own_words(conn: &mut SqliteConnection, sort: OwnSort) -> Result<u64, StoreError> {
    let done =
        sqlx::query("delete from own_words where sort = $1").bind(sort.slug()).execute(&mut *conn).await?;
    count_up(conn).await?;
    Ok(done.rows_affected())
}

async fn count_up(conn: &mut SqliteConnection) -> Result<(), StoreError> {
    sqlx::query("update own_words_salt set revision = revision + 1").execute(conn).await?;
    Ok(())
}

#[derive(FromRow)]
struct DismissalRow {
    id: i64,
    case_id: Option<i64>,
    words_digest: String,
    kind: String,
    because: String,
    dismissed_by: String,
    dismissed_at: String,
}

/// What was dismissed in a case, and everywhere.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn dismissals(conn: &mut SqliteConnection, case_id: i64) -> Result<Vec<Dismissal>, StoreError> {
    let rows: Vec<DismissalRow> = sqlx::query_as(
        "select id, case_id, words_digest, kind, because, dismissed_by, dismissed_at
         from dismissed_identifiers where case_id = $1 or case_id is null order by id",
    )
    .bind(case_id)
    .fetch_all(conn)
    .await?;
    read_dismissals(rows)
}

/// What was dismissed, in whatever case and everywhere.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn all_dismissals(conn: &mut SqliteConnection) -> Result<Vec<Dismissal>, StoreError> {
    let rows: Vec<DismissalRow> = sqlx::query_as(
        "select id, case_id, words_digest, kind, because, dismissed_by, dismissed_at from dismissed_identifiers order by id",
    )
    .fetch_all(conn)
    .await?;
    read_dismissals(rows)
}

/// What was dismissed everywhere.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn dismissals_everywhere(conn: &mut SqliteConnection) -> Result<Vec<Dismissal>, StoreError> {
    let rows: Vec<DismissalRow> = sqlx::query_as(
        "select id, case_id, words_digest, kind, because, dismissed_by, dismissed_at
         from dismissed_identifiers where case_id is null order by id",
    )
    .fetch_all(conn)
    .await?;
    read_dismissals(rows)
}

fn read_dismissals(rows: Vec<DismissalRow>) -> Result<Vec<Dismissal>, StoreError> {
    let table = "dismissed_identifiers";
    rows.into_iter()
        .map(|row| {
            Ok(Dismissal {
                because: read(table, row.id, &row.because)?,
                at: read(table, row.id, &row.dismissed_at)?,
                id: row.id,
                everywhere: row.case_id.is_none(),
                digest: row.words_digest,
                kind: row.kind,
                by: row.dismissed_by,
            })
        })
        .collect()
}

/// What is said of words that identify nobody.
#[derive(Debug)]
pub struct Dismissing<'a> {
    /// The case; none for everywhere.
    pub case_id: Option<i64>,
    /// The digest of the words.
    pub digest: &'a str,
    /// What they were taken for.
    pub kind: &'a str,
    /// Why they identify nobody.
    pub because: &'a Sentences,
    /// Who says so.
    pub by: &'a str,
}

/// Says that words identify nobody; a later reason stands in the place of an earlier one. What is dismissed
/// everywhere has every case looked through again ([`read_some`]).
///
/// # Errors
/// What the database says.
pub async fn dismiss(
    conn: &mut SqliteConnection,
    said: &Dismissing<'_>,
    now: jiff::Timestamp,
) -> Result<(), StoreError> {
    sqlx::query(
        "delete from dismissed_identifiers where case_id is not distinct from $1 and words_digest = $2",
    )
    .bind(said.case_id)
    .bind(said.digest)
    .execute(&mut *conn)
    .await?;
    sqlx::query(
        "insert into dismissed_identifiers (case_id, words_digest, kind, because, dismissed_by, dismissed_at)
         values ($1, $2, $3, $4, $5, $6)",
    )
    .bind(said.case_id)
    .bind(said.digest)
    .bind(said.kind)
    .bind(said.because.as_str())
    .bind(said.by)
    .bind(now.to_string())
    .execute(&mut *conn)
    .await?;
    changed(conn, said.case_id, now).await
}

/// What follows from a dismissal that came or went.
async fn changed(
    conn: &mut SqliteConnection,
    case_id: Option<i64>,
    now: jiff::Timestamp,
) -> Result<(), StoreError> {
    match case_id {
        Some(case_id) => super::rows::touch(conn, case_id, now).await,
        None => count_up(conn).await,
    }
}

/// Takes back what was said of words of a case, or, without a case, what was said everywhere. Says whether
/// there was such a word.
///
/// # Errors
/// What the database says.
pub async fn take_dismissal_back(
    conn: &mut SqliteConnection,
    case_id: Option<i64>,
    id: i64,
    now: jiff::Timestamp,
) -> Result<bool, StoreError> {
    let done =
        sqlx::query("delete from dismissed_identifiers where case_id is not distinct from $1 and id = $2")
            .bind(case_id)
            .bind(id)
            .execute(&mut *conn)
            .await?;
    changed(conn, case_id, now).await?;
    Ok(done.rows_affected() > 0)
}

/// Writes other words into a lesson that several cases share. Every one of them is changed.
///
/// # Errors
/// What the database says.
pub async fn reword_recurring(
    conn: &mut SqliteConnection,
    from: &Sentences,
    to: &Sentences,
    now: jiff::Timestamp,
) -> Result<(), StoreError> {
    sqlx::query("update recurring_lessons set text = $2 where text = $1")
        .bind(from.as_str())
        .bind(to.as_str())
        .execute(&mut *conn)
        .await?;
    let cases: Vec<(i64,)> = sqlx::query_as(
        "select distinct lessons.case_id from lessons join recurring_lessons on recurring_lessons.id = recurring_id
         join cases on cases.id = lessons.case_id where recurring_lessons.text = $1",
    )
    .bind(to.as_str())
    .fetch_all(&mut *conn)
    .await?;
    for (case,) in cases {
        super::rows::touch(conn, case, now).await?;
    }
    Ok(())
}

/// The open findings of some cases, with their words.
pub(super) async fn fill(conn: &mut SqliteConnection, cases: &mut [StoredCase]) -> Result<(), StoreError> {
    let ids: Vec<i64> = cases.iter().map(|case| case.id).collect();
    let mut sql = of_cases(
        "select case_id, place, starts, ends, kind from case_findings where case_id in ",
        &ids,
        "order by case_id, place, starts",
    );
    let rows: Vec<(i64, String, i64, i64, String)> = sql.build_query_as().fetch_all(conn).await?;
    let mut by_case: BTreeMap<i64, Vec<Found>> = BTreeMap::new();
    for (case, place, starts, ends, kind) in rows {
        by_case.entry(case).or_default().push((place, starts, ends, kind));
    }
    for case in cases {
        if let Some(rows) = by_case.remove(&case.id) {
            fill_one(case, &rows);
        }
    }
    Ok(())
}

/// A finding as the database holds it: the address of its text, where it starts and ends there, what it may be.
type Found = (String, i64, i64, String);

fn fill_one(case: &mut StoredCase, rows: &[Found]) {
    let mut found = Vec::with_capacity(rows.len());
    for (order, (place, text)) in texts(case).into_iter().enumerate() {
        let address = place.to_string();
        for (_, starts, ends, kind) in rows.iter().filter(|(held, ..)| *held == address) {
            let span =
                usize::try_from(*starts).unwrap_or_default()..usize::try_from(*ends).unwrap_or_default();
            let words = text.get(span.clone()).unwrap_or_default().to_owned();
            found.push((
                order,
                *starts,
                OpenIdentifier { place: place.clone(), span, words, kind: kind.clone() },
            ));
        }
    }
    found.sort_by_key(|(order, starts, _)| (*order, *starts));
    case.identifiers = found.into_iter().map(|(_, _, one)| one).collect();
}

/// Looks a case through that was just stored from a file, whose rows have no ids there.
pub(super) async fn keep_new(
    conn: &mut SqliteConnection,
    case_id: i64,
    code: CaseCode,
    of_file: &StoredCase,
) -> Result<(), StoreError> {
    let own = own_words(conn).await?;
    let version = version(conn).await?;
    if open(of_file, &own, &[]).is_empty() {
        return say_read(conn, case_id, &version).await;
    }
    match super::find(conn, code).await? {
        Some(case) => keep_with(conn, &case, &own, &[], &version).await,
        None => Ok(()),
    }
}

/// Looks a case through and keeps what is open.
pub(super) async fn keep(conn: &mut SqliteConnection, case: &StoredCase) -> Result<(), StoreError> {
    let own = own_words(conn).await?;
    let version = version(conn).await?;
    let dismissed = dismissals(conn, case.id).await?;
    keep_with(conn, case, &own, &dismissed, &version).await
}

async fn keep_with(
    conn: &mut SqliteConnection,
    case: &StoredCase,
    own: &OwnWords,
    dismissed: &[Dismissal],
    version: &str,
) -> Result<(), StoreError> {
    let open = open(case, own, dismissed);
    sqlx::query("delete from case_findings where case_id = $1").bind(case.id).execute(&mut *conn).await?;
    for some in open.chunks(100) {
        let mut sql =
            QueryBuilder::<Sqlite>::new("insert into case_findings (case_id, place, starts, ends, kind) ");
        sql.push_values(some, |mut row, one| {
            row.push_bind(case.id)
                .push_bind(one.place.to_string())
                .push_bind(i64::try_from(one.span.start).unwrap_or(i64::MAX))
                .push_bind(i64::try_from(one.span.end).unwrap_or(i64::MAX))
                .push_bind(&one.kind);
        });
        sql.build().execute(&mut *conn).await?;
    }
    say_read(conn, case.id, version).await
}

async fn say_read(conn: &mut SqliteConnection, case_id: i64, version: &str) -> Result<(), StoreError> {
    sqlx::query(
        "insert into case_findings_read (case_id, version) values ($1, $2)
         on conflict (case_id) do update set version = excluded.version",
    )
    .bind(case_id)
    .bind(version)
    .execute(conn)
    .await?;
    Ok(())
}

/// What cases are looked through with now.
async fn version(conn: &mut SqliteConnection) -> Result<String, StoreError> {
    let revision: Option<(i64,)> =
        sqlx::query_as("select revision from own_words_salt").fetch_optional(conn).await?;
    Ok(format!("{VERSION}.{}", revision.map_or(0, |(revision,)| revision)))
}

/// How many cases were not yet looked through with the present finders and list.
///
/// # Errors
/// What the database says.
pub async fn unread(conn: &mut SqliteConnection) -> Result<i64, StoreError> {
    let version = version(conn).await?;
    let (count,): (i64,) = sqlx::query_as(
        "select count(*) from cases where id not in (select case_id from case_findings_read where version = $1)",
    )
    .bind(version)
    .fetch_one(conn)
    .await?;
    Ok(count)
}

/// Looks through at most so many cases that were not yet looked through with the present finders and list.
/// Says how many it was. Run it in a transaction, again and again until it says 0.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn read_some(conn: &mut SqliteConnection, at_most: u32) -> Result<usize, StoreError> {
    let version = version(conn).await?;
    let codes: Vec<(i64, i64)> = sqlx::query_as(
        "select code_year, code_number from cases
         where id not in (select case_id from case_findings_read where version = $1)
         order by id desc limit $2",
    )
    .bind(&version)
    .bind(at_most)
    .fetch_all(&mut *conn)
    .await?;
    let own = own_words(conn).await?;
    for (year, number) in &codes {
        let code: CaseCode = super::code_of("cases", *year, *number)?;
        if let Some(case) = super::find(conn, code).await? {
            let dismissed = dismissals(conn, case.id).await?;
            keep_with(conn, &case, &own, &dismissed, &version).await?;
        }
    }
    Ok(codes.len())
}

/// The codes of the cases that are held back.
///
/// # Errors
/// What the database says.
pub async fn held(conn: &mut SqliteConnection) -> Result<Vec<CaseCode>, StoreError> {
    let rows: Vec<(i64, i64)> = sqlx::query_as(
        "select code_year, code_number from cases
         where exists (select 1 from case_findings where case_id = cases.id) order by code_year, code_number",
    )
    .fetch_all(conn)
    .await?;
    rows.into_iter().map(|(year, number)| super::code_of("cases", year, number)).collect()
}
