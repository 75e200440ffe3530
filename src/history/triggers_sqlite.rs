//! The triggers that write the history: what only SQLite knows. They are made from the tables as they are,
//! so that a column that a migration adds is kept from the next start on.

use std::fmt::Write as _;

use sqlx::{AssertSqlSafe, SqliteConnection};

use super::author::Author;
use super::change::Kind;
use super::store::{seal, seal_leftovers};
use super::tracked::{TRACKED, Tracked};

/// The columns of a table: all that are kept, and those of its primary key in their order.
pub(super) struct Columns {
    pub(super) kept: Vec<String>,
    pub(super) key: Vec<String>,
    /// Those that may never be empty.
    pub(super) filled: Vec<String>,
}

pub(super) async fn columns(conn: &mut SqliteConnection, tracked: &Tracked) -> Result<Columns, sqlx::Error> {
    let rows: Vec<(String, i64, bool)> =
        sqlx::query_as("select name, pk, \"notnull\" from pragma_table_info($1) order by cid")
            .bind(tracked.table)
            .fetch_all(conn)
            .await?;
    let mut key: Vec<&(String, i64, bool)> = rows.iter().filter(|(_, place, _)| *place > 0).collect();
    key.sort_by_key(|(_, place, _)| *place);
    let kept = |name: &str| tracked.only.is_empty() || tracked.only.contains(&name);
    Ok(Columns {
        key: key.into_iter().map(|(name, ..)| name.clone()).collect(),
        kept: rows.iter().map(|(name, ..)| name.clone()).filter(|name| kept(name)).collect(),
        filled: rows.iter().filter(|(_, _, filled)| *filled).map(|(name, ..)| name.clone()).collect(),
    })
}

/// The sides of a change that are there: the row before and the row after.
const fn sides(kind: Kind) -> (Option<&'static str>, Option<&'static str>) {
    match kind {
        Kind::Added => (None, Some("new")),
        Kind::Changed => (Some("old"), Some("new")),
        Kind::Deleted => (Some("old"), None),
    }
}

/// What is written down of a change of a row: the columns of the history's table, and their values.
fn written(
    tracked: &Tracked,
    columns: &Columns,
    kind: Kind,
    (old, new): (Option<&str>, Option<&str>),
) -> (&'static str, String) {
    let row = new.or(old).unwrap_or("new");
    let value = |side: Option<&str>, name: &str| {
        side.map_or_else(|| "null".to_owned(), |side| format!("{side}.{name}"))
    };
    let fields: Vec<String> = columns
        .kept
        .iter()
        .map(|name| {
            let (was, is) = (value(old, name), value(new, name));
            format!("select '{name}' as field, {was} as was, {is} as becomes where {was} is not {is}")
        })
        .collect();
    let key: Vec<String> = columns.key.iter().map(|name| format!("{row}.{name}")).collect();
    let case = tracked.case.map_or_else(|| "null".to_owned(), |case| case.replace("ROW", row));
    let values = format!(
        "(select coalesce(max(id), 0) + 1 from history_revisions), {case}, '{table}',
            json_array({key}), '{kind}',
            (select json_group_object(field, json_array(was, becomes)) from ({fields})),
            lower(hex(randomblob(16)))",
        table = tracked.table,
        key = key.join(", "),
        kind = kind.slug(),
        fields = fields.join("\n                union all "),
    );
    ("insert into history_changes (revision, case_id, table_name, row_key, kind, fields, salt)", values)
}

/// The three triggers of a table: name and text.
fn triggers(tracked: &Tracked, columns: &Columns) -> [(String, String); 3] {
    let table = tracked.table;
    [(Kind::Added, "insert"), (Kind::Changed, "update"), (Kind::Deleted, "delete")].map(|(kind, act)| {
        let name = format!("history_of_{table}_{}", kind.slug());
        let mut text = format!("create trigger {name} after {act} on {table}\n");
        if kind == Kind::Changed {
            let changed: Vec<String> =
                columns.kept.iter().map(|name| format!("old.{name} is not new.{name}")).collect();
            let _ = writeln!(text, "when {}", changed.join(" or "));
        }
        let (into, values) = written(tracked, columns, kind, sides(kind));
        let _ = write!(text, "begin\n    {into}\n    values ({values});\nend");
        (name, text)
    })
}

/// Seals what another program changed in the file since Relook was last at it; does nothing where no history
/// has begun.
///
/// # Errors
/// What the database says.
pub async fn seal_what_was_changed_elsewhere(
    conn: &mut SqliteConnection,
    now: &str,
) -> Result<(), sqlx::Error> {
    let begun: Option<(i64,)> =
        sqlx::query_as("select 1 from sqlite_master where type = 'table' and name = 'history_changes'")
            .fetch_optional(&mut *conn)
            .await?;
    match begun {
        Some(_) => seal_leftovers(conn, now).await,
        None => Ok(()),
    }
}

/// Makes the triggers of every table of the record, and writes down what a table holds whose history begins
/// now.
///
/// # Errors
/// What the database says.
pub async fn keep(conn: &mut SqliteConnection, now: &str) -> Result<(), sqlx::Error> {
    // What a migration changed was written by the triggers that were there before it.
    seal(conn, &Author::program(), now, Some("The database was brought to this version.")).await?;
    let held: Vec<(String, String)> = sqlx::query_as(
        "select name, sql from sqlite_master where type = 'trigger' and name like 'history\\_of\\_%' escape '\\'",
    )
    .fetch_all(&mut *conn)
    .await?;
    for tracked in TRACKED {
        let columns = columns(conn, tracked).await?;
        let wanted = triggers(tracked, &columns);
        let there = held.iter().find(|(name, _)| *name == wanted[0].0).map(|(_, text)| text.as_str());
        for (name, text) in &wanted {
            match held.iter().find(|(other, _)| other == name) {
                Some((_, there)) if there == text => continue,
                Some(_) => {
                    sqlx::query(AssertSqlSafe(format!("drop trigger {name}"))).execute(&mut *conn).await?;
                }
                None => {}
            }
            sqlx::query(AssertSqlSafe(text.clone())).execute(&mut *conn).await?;
        }
        begin(conn, tracked, columns, there).await?;
    }
    seal(conn, &Author::program(), now, Some("What was there when the history began.")).await
}

/// Writes down what a table holds in columns that its former trigger, if it had one, did not keep.
async fn begin(
    conn: &mut SqliteConnection,
    tracked: &Tracked,
    mut columns: Columns,
    former: Option<&str>,
) -> Result<(), sqlx::Error> {
    let mut rows = String::new();
    if let Some(former) = former {
        columns.kept.retain(|name| !former.contains(&format!("'{name}' as field")));
        if columns.kept.is_empty() {
            return Ok(());
        }
        let held: Vec<String> = columns.kept.iter().map(|name| format!("new.{name} is not null")).collect();
        rows = format!(" where {}", held.join(" or "));
    }
    let kind = if former.is_some() { Kind::Changed } else { Kind::Added };
    let (into, values) = written(tracked, &columns, kind, (None, Some("new")));
    let sql = format!("{into} select {values} from {} as new{rows}", tracked.table);
    sqlx::query(AssertSqlSafe(sql)).execute(conn).await?;
    Ok(())
}
