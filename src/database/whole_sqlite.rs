//! The database as a whole file: copied while people write, looked over, and asked for its steps.
//!
//! This is what the pool cannot do. `rusqlite` binds the same SQLite that the pool binds, and its
//! `backup` is the safe door to SQLite's own online backup (<https://www.sqlite.org/backup.html>). All
//! of it blocks: call it where blocking is allowed.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::time::Duration;

use rusqlite::backup::{Backup, StepResult};
use rusqlite::{Connection, OpenFlags};

use super::{Fault, MIGRATIONS};

/// How many rows each table holds.
pub type Rows = BTreeMap<String, u64>;

/// Why a whole file could not be copied or looked over.
#[derive(Debug, thiserror::Error)]
pub enum WholeError {
    /// Whoever asked wants it no longer.
    #[error("it was interrupted")]
    Interrupted,
    /// What SQLite said.
    #[error("{}", said(.0))]
    Sqlite(rusqlite::Error),
}

impl From<rusqlite::Error> for WholeError {
    fn from(error: rusqlite::Error) -> Self {
        Self::Sqlite(error)
    }
}

fn fault(error: &rusqlite::Error) -> Option<Fault> {
    error.sqlite_error().and_then(|error| Fault::of(error.extended_code))
}

fn said(error: &rusqlite::Error) -> String {
    match fault(error) {
        Some(fault) => format!("{} ({error})", fault.at_a_terminal()),
        None => error.to_string(),
    }
}

/// What a look over a whole database file found.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Look {
    /// What SQLite's integrity check complains of; nothing when the file is sound. When it complains,
    /// nothing else was looked at.
    pub complaints: Vec<String>,
    /// How many rows name a row that is not there.
    pub broken_references: u64,
    /// The steps of the schema that were applied, in order.
    pub steps: Vec<i64>,
    /// How many rows each table holds.
    pub rows: Rows,
}

/// Pages between two questions whether to go on.
const PAGES_AT_ONCE: i32 = 1_000;
/// How long a connection waits for another that holds the lock.
const PATIENCE: Duration = Duration::from_secs(5);

fn open(path: &Path) -> Result<Connection, rusqlite::Error> {
    // Reading a database in WAL mode writes its side files; none is made where there is none.
    let conn = Connection::open_with_flags(path, OpenFlags::SQLITE_OPEN_READ_WRITE)?;
    conn.busy_timeout(PATIENCE)?;
    Ok(conn)
}

/// Copies a database over an empty file, as it stood at one moment, while others write. Gives the rows
/// of that moment.
///
/// A read transaction holds the moment for as long as the copy takes: without it, each write of
/// somebody else would have SQLite begin the copy again.
///
/// # Errors
/// [`WholeError`]; the target is then worth nothing.
pub fn copy(source: &Path, target: &Path, wanted: &dyn Fn() -> bool) -> Result<Rows, WholeError> {
    let source = open(source)?;
    source.execute_batch("begin")?;
    let rows = count_rows(&source)?;
    let mut target = open(target)?;
    // The file is worth nothing until it is whole and its maker has forced it to the disk.
    target.execute_batch("pragma synchronous = off")?;
    let backup = Backup::new(&source, &mut target)?;
    loop {
        if !wanted() {
            return Err(WholeError::Interrupted);
        }
        match backup.step(PAGES_AT_ONCE)? {
            StepResult::Done => return Ok(rows),
            StepResult::Busy | StepResult::Locked => std::thread::sleep(Duration::from_millis(20)),
            _ => {}
        }
    }
}

/// Looks over a database file; others may have it open.
///
/// # Errors
/// When it cannot be read at all.
pub fn look(path: &Path) -> Result<Look, WholeError> {
    let conn = open(path)?;
    // One moment for all questions.
    conn.execute_batch("begin")?;
    let complaints = match column(&conn, "pragma integrity_check(20)") {
        Err(error) if fault(&error) == Some(Fault::Damaged) => vec![error.to_string()],
        complaints => complaints?,
    };
    if complaints != ["ok"] {
        // What else a damaged file says is not worth asking.
        return Ok(Look { complaints, ..Look::default() });
    }
    Ok(Look {
        complaints: Vec::new(),
        broken_references: conn.query_row("select count(*) from pragma_foreign_key_check", [], count)?,
        steps: steps(&conn)?,
        rows: count_rows(&conn)?,
    })
}

/// Has a database file that nobody has open be one file, without side files, that can be read where
/// nothing can be written.
///
/// # Errors
/// When it cannot be written.
pub fn make_one_file(path: &Path) -> Result<(), WholeError> {
    Ok(open(path)?.query_row("pragma journal_mode = delete", [], |_| Ok(()))?)
}

/// Takes what lies in the write-ahead log into the file, so that the file alone is the database.
///
/// # Errors
/// When the file cannot be written, or somebody has it open.
pub fn fold_log(path: &Path) -> Result<(), WholeError> {
    open(path)?.query_row("pragma wal_checkpoint(truncate)", [], |_| Ok(()))?;
    Ok(())
}

/// The steps that this program would apply to a database file; none when it is up to date, or is not a
/// database of ours yet.
///
/// # Errors
/// When the file cannot be read.
pub fn steps_to_apply(path: &Path) -> Result<Vec<i64>, WholeError> {
    let applied: BTreeSet<i64> = steps(&open(path)?)?.into_iter().collect();
    if applied.is_empty() {
        return Ok(Vec::new());
    }
    Ok(known_steps().into_iter().filter(|step| !applied.contains(step)).collect())
}

/// The steps that this program knows, in order.
#[must_use]
pub fn known_steps() -> Vec<i64> {
    MIGRATIONS.iter().map(|step| step.version).collect()
}

fn steps(conn: &Connection) -> Result<Vec<i64>, rusqlite::Error> {
    if !conn.table_exists(None, "_sqlx_migrations")? {
        return Ok(Vec::new());
    }
    let mut statement =
        conn.prepare("select version from _sqlx_migrations where success = 1 order by version")?;
    statement.query_map([], |row| row.get(0))?.collect()
}

fn count_rows(conn: &Connection) -> Result<Rows, rusqlite::Error> {
    let tables = column(
        conn,
        "select name from pragma_table_list
         where schema = 'main' and type = 'table' and name not like 'sqlite\\_%' escape '\\'",
    )?;
    let mut rows = Rows::new();
    for table in tables {
        // A name of the schema, quoted as a name.
        let counting = format!("select count(*) from \"{}\"", table.replace('"', "\"\""));
        let counted = conn.query_row(&counting, [], count)?;
        rows.insert(table, counted);
    }
    Ok(rows)
}

fn count(row: &rusqlite::Row<'_>) -> Result<u64, rusqlite::Error> {
    Ok(row.get::<_, i64>(0)?.unsigned_abs())
}

fn column(conn: &Connection, sql: &str) -> Result<Vec<String>, rusqlite::Error> {
    let mut statement = conn.prepare(sql)?;
    statement.query_map([], |row| row.get(0))?.collect()
}
