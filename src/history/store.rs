//! The SQL of the history.

use sqlx::{FromRow, SqliteConnection};

use super::author::{Author, Door};
use super::change::{Change, Kind, Revision};
use super::digest::{self, Digest};

#[derive(FromRow)]
struct ChangeRow {
    id: i64,
    revision: i64,
    case_id: Option<i64>,
    table_name: String,
    row_key: String,
    kind: String,
    fields: Option<String>,
    salt: Option<String>,
    erased: Option<String>,
}

/// A value that this program does not write stands as what makes the chain fail, and never stops a check.
fn change(row: ChangeRow) -> Change {
    Change {
        id: row.id,
        revision: row.revision,
        case_id: row.case_id,
        table: row.table_name,
        row_key: row.row_key,
        kind: row.kind.parse().unwrap_or(Kind::Changed),
        fields: row.fields,
        salt: row.salt,
        erased: row.erased.and_then(|text| text.parse().ok()),
    }
}

#[derive(FromRow)]
struct RevisionRow {
    id: i64,
    written_at: String,
    author_id: Option<i64>,
    author: String,
    door: String,
    note: Option<String>,
    previous: String,
    digest: String,
}

fn revision(row: RevisionRow) -> Revision {
    let digest = |text: &str| text.parse().unwrap_or_else(|_| Digest::beginning());
    Revision {
        id: row.id,
        at: row.written_at,
        author: Author {
            account: row.author_id,
            name: row.author,
            door: row.door.parse().unwrap_or(Door::Elsewhere),
        },
        note: row.note,
        previous: digest(&row.previous),
        digest: digest(&row.digest),
    }
}

/// The last revision's number and digest; none when nothing was ever changed.
///
/// # Errors
/// What the database says.
pub async fn head(conn: &mut SqliteConnection) -> Result<Option<(i64, Digest)>, sqlx::Error> {
    let row: Option<(i64, String)> =
        sqlx::query_as("select id, digest from history_revisions order by id desc limit 1")
            .fetch_optional(conn)
            .await?;
    Ok(row.map(|(id, text)| (id, text.parse().unwrap_or_else(|_| Digest::beginning()))))
}

/// The changes of some revisions, from the first number to the last, in their order.
///
/// # Errors
/// What the database says.
pub async fn changes_of(conn: &mut SqliteConnection, from: i64, to: i64) -> Result<Vec<Change>, sqlx::Error> {
    let rows: Vec<ChangeRow> = sqlx::query_as(
        "select id, revision, case_id, table_name, row_key, kind, fields, salt, erased
         from history_changes where revision between $1 and $2 order by revision, id",
    )
    .bind(from)
    .bind(to)
    .fetch_all(conn)
    .await?;
    Ok(rows.into_iter().map(change).collect())
}

/// The changes of a case, in their order.
///
/// # Errors
/// What the database says.
pub async fn changes_of_case(conn: &mut SqliteConnection, case_id: i64) -> Result<Vec<Change>, sqlx::Error> {
    let rows: Vec<ChangeRow> = sqlx::query_as(
        "select id, revision, case_id, table_name, row_key, kind, fields, salt, erased
         from history_changes where case_id = $1 order by id",
    )
    .bind(case_id)
    .fetch_all(conn)
    .await?;
    Ok(rows.into_iter().map(change).collect())
}

/// The changes of a table, in their order.
///
/// # Errors
/// What the database says.
pub async fn changes_of_table(conn: &mut SqliteConnection, table: &str) -> Result<Vec<Change>, sqlx::Error> {
    let rows: Vec<ChangeRow> = sqlx::query_as(
        "select id, revision, case_id, table_name, row_key, kind, fields, salt, erased
         from history_changes where table_name = $1 order by id",
    )
    .bind(table)
    .fetch_all(conn)
    .await?;
    Ok(rows.into_iter().map(change).collect())
}

/// At most `count` revisions after a number, in their order.
///
/// # Errors
/// What the database says.
pub async fn revisions_after(
    conn: &mut SqliteConnection,
    after: i64,
    count: i64,
) -> Result<Vec<Revision>, sqlx::Error> {
    let rows: Vec<RevisionRow> = sqlx::query_as(
        "select id, written_at, author_id, author, door, note, previous, digest
         from history_revisions where id > $1 order by id limit $2",
    )
    .bind(after)
    .bind(count)
    .fetch_all(conn)
    .await?;
    Ok(rows.into_iter().map(revision).collect())
}

/// The revisions that changed a case, the last first.
///
/// # Errors
/// What the database says.
pub async fn revisions_of_case(
    conn: &mut SqliteConnection,
    case_id: i64,
) -> Result<Vec<Revision>, sqlx::Error> {
    let rows: Vec<RevisionRow> = sqlx::query_as(
        "select id, written_at, author_id, author, door, note, previous, digest
         from history_revisions
         where id in (select revision from history_changes where case_id = $1)
         order by id desc",
    )
    .bind(case_id)
    .fetch_all(conn)
    .await?;
    Ok(rows.into_iter().map(revision).collect())
}

/// Seals what was changed since the last revision as one; does nothing when nothing was.
///
/// # Errors
/// What the database says.
pub async fn seal(
    conn: &mut SqliteConnection,
    author: &Author,
    now: &str,
    note: Option<&str>,
) -> Result<(), sqlx::Error> {
    let last = head(conn).await?;
    let (before, previous) = last.unwrap_or_else(|| (0, Digest::beginning()));
    let id = before + 1;
    let changes = changes_of(conn, id, i64::MAX).await?;
    if changes.is_empty() {
        return Ok(());
    }
    let digest = digest::of_revision(&previous, id, (now, author, note), &changes);
    sqlx::query(
        "insert into history_revisions
             (id, written_at, author_id, author, door, note, previous, digest)
         values ($1, $2, $3, $4, $5, $6, $7, $8)",
    )
    .bind(id)
    .bind(now)
    .bind(author.account)
    .bind(&author.name)
    .bind(author.door.slug())
    .bind(note)
    .bind(previous.as_str())
    .bind(digest.as_str())
    .execute(conn)
    .await?;
    Ok(())
}

/// Seals what another program changed in the file, so that it is not taken for what comes now.
///
/// # Errors
/// What the database says.
pub async fn seal_leftovers(conn: &mut SqliteConnection, now: &str) -> Result<(), sqlx::Error> {
    seal(conn, &Author::elsewhere(), now, Some("Changed in the file, not through Relook.")).await
}

/// Erases what the history holds of a case, also what the transaction under way has written of its rows;
/// the digests stay. Rows that went with the case in this transaction lead to no case any more, and
/// are erased too.
///
/// # Errors
/// What the database says.
pub async fn erase_case(conn: &mut SqliteConnection, case_id: i64) -> Result<(), sqlx::Error> {
    let (sealed,): (i64,) =
        sqlx::query_as("select coalesce(max(id), 0) from history_revisions").fetch_one(&mut *conn).await?;
    let rows: Vec<ChangeRow> = sqlx::query_as(
        "select id, revision, case_id, table_name, row_key, kind, fields, salt, erased
         from history_changes
         where erased is null and (case_id = $1 or (revision > $2 and kind = 'deleted'))",
    )
    .bind(case_id)
    .bind(sealed)
    .fetch_all(&mut *conn)
    .await?;
    let digests: std::collections::BTreeMap<String, String> = rows
        .into_iter()
        .map(change)
        .map(|change| (change.id.to_string(), digest::of_content(&change).to_string()))
        .collect();
    super::rows_sqlite::erase(conn, &digests).await
}
