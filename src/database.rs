//! The database: one SQLite file, opened with what keeps a save safe, brought to this version.

mod fault;
pub mod log_sqlite;
pub mod tables_sqlite;
pub mod whole_sqlite;

use std::path::{Path, PathBuf};
use std::str::FromStr;
use std::time::Duration;

use sqlx::sqlite::{
    SqliteConnectOptions, SqliteJournalMode, SqlitePool, SqlitePoolOptions, SqliteSynchronous,
};
use sqlx::{Connection as _, Sqlite, SqliteConnection, Transaction};

use crate::history::{self, Author};
use fault::Fault;

static MIGRATIONS: sqlx::migrate::Migrator = sqlx::migrate!("./migrations");

/// Why the database could not be opened.
#[derive(Debug, thiserror::Error)]
pub enum OpenError {
    /// It holds a migration that this program does not know.
    #[error(
        "This database was written by a newer Relook (it has step {0}, which this one does not know). Start the newer program; nothing was changed."
    )]
    Newer(i64),
    /// A migration was edited after it had been applied.
    #[error(
        "This database was written by another build of Relook: its step {0} differs from this program's. Nothing was changed."
    )]
    Different(i64),
    /// A migration failed; its transaction was rolled back.
    #[error("Bringing the database up to date failed, and that step was undone: {}", migration_said(.0))]
    Migration(sqlx::migrate::MigrateError),
    /// The file could not be opened.
    #[error("The database file {path} cannot be opened: {}", said(source))]
    File {
        /// The file.
        path: String,
        /// What the system said.
        source: sqlx::Error,
    },
}

fn said(error: &sqlx::Error) -> String {
    match Fault::of_sqlx(error) {
        Some(fault) => format!("{} ({error})", fault.at_a_terminal()),
        None => error.to_string(),
    }
}

fn migration_said(error: &sqlx::migrate::MigrateError) -> String {
    use sqlx::migrate::MigrateError;
    match error {
        MigrateError::Execute(inner) | MigrateError::ExecuteMigration(inner, _) => said(inner),
        other => other.to_string(),
    }
}

/// Why a store could not do what was asked.
#[derive(Debug, thiserror::Error)]
pub enum StoreError {
    /// A stored value is not one that this program writes.
    #[error("the database holds a value in {table} ({key}) that cannot be read: {why}")]
    Corrupt {
        /// The table.
        table: &'static str,
        /// The row's key.
        key: String,
        /// What is wrong with it.
        why: String,
    },
    /// A named constraint of the schema refused the write.
    #[error("the rule {0} refused the write")]
    Constraint(String),
    /// Anything else that the database said.
    #[error("the database does not answer: {}", said(.0))]
    Sql(sqlx::Error),
}

impl From<sqlx::Error> for StoreError {
    fn from(error: sqlx::Error) -> Self {
        if let sqlx::Error::Database(inner) = &error
            && inner.kind() != sqlx::error::ErrorKind::Other
        {
            return Self::Constraint(inner.message().to_owned());
        }
        Self::Sql(error)
    }
}

impl StoreError {
    /// Whether a rule with this in its name or columns refused the write.
    #[must_use]
    pub fn is_constraint(&self, part: &str) -> bool {
        matches!(self, Self::Constraint(text) if text.contains(part))
    }

    /// What a person is told when the file is at fault rather than what was asked: it is busy, full,
    /// read-only, damaged. None when the fault is ours.
    #[must_use]
    pub fn sentence(&self) -> Option<&'static str> {
        match self {
            Self::Sql(error) => Fault::of_sqlx(error).map(Fault::on_a_page),
            _ => None,
        }
    }
}

/// Reads a stored text back into its type.
///
/// # Errors
/// [`StoreError::Corrupt`], naming the table and the row.
pub fn read<T>(table: &'static str, key: impl ToString, text: &str) -> Result<T, StoreError>
where
    T: FromStr,
    T::Err: ToString,
{
    text.parse().map_err(|error: T::Err| StoreError::Corrupt {
        table,
        key: key.to_string(),
        why: error.to_string(),
    })
}

/// As [`read`], for a column that may be null.
///
/// # Errors
/// [`StoreError::Corrupt`], naming the table and the row.
pub fn read_opt<T>(
    table: &'static str,
    key: impl ToString,
    text: Option<&String>,
) -> Result<Option<T>, StoreError>
where
    T: FromStr,
    T::Err: ToString,
{
    text.map(|text| read(table, key, text)).transpose()
}

/// As [`read`], for a number.
///
/// # Errors
/// [`StoreError::Corrupt`], naming the table and the row.
pub fn number_opt<T>(
    table: &'static str,
    key: impl ToString,
    number: Option<i64>,
) -> Result<Option<T>, StoreError>
where
    T: TryFrom<i64>,
    T::Error: ToString,
{
    number
        .map(|number| {
            T::try_from(number).map_err(|error| StoreError::Corrupt {
                table,
                key: key.to_string(),
                why: error.to_string(),
            })
        })
        .transpose()
}

/// The open database.
#[derive(Debug, Clone)]
pub struct Database {
    pool: SqlitePool,
    file: PathBuf,
}

impl Database {
    /// Opens the file, makes it when it is absent, and brings it to this version.
    ///
    /// WAL, so that reading never waits for writing; foreign keys on; a writer waits up to five
    /// seconds for another; `synchronous=FULL`, so that what was acknowledged survives a power cut.
    ///
    /// # Errors
    /// [`OpenError`], each with a sentence for the terminal.
    pub async fn open(path: &Path) -> Result<Self, OpenError> {
        let options = SqliteConnectOptions::new()
            .filename(path)
            .create_if_missing(true)
            .journal_mode(SqliteJournalMode::Wal)
            .synchronous(SqliteSynchronous::Full)
            .foreign_keys(true)
            .busy_timeout(Duration::from_secs(5))
            .statement_cache_capacity(200)
            // Kibibytes for each connection: a list over many cases walks an index and many rows.
            .pragma("cache_size", "-8000")
            // What is purged is overwritten in the file.
            .pragma("secure_delete", "on")
            .optimize_on_close(true, Some(400));
        let pool = SqlitePoolOptions::new()
            .max_connections(6)
            .acquire_timeout(Duration::from_secs(8))
            // Where SQLite itself undid a transaction, as it does when the disk is full, sqlx's own
            // rollback finds none and the connection is believed to be in it for good.
            .before_acquire(|conn, _| Box::pin(async move { Ok(!conn.is_in_transaction()) }))
            .connect_with(options)
            .await
            .map_err(|source| OpenError::File { path: path.display().to_string(), source })?;
        let told = |source: sqlx::Error| OpenError::File { path: path.display().to_string(), source };
        let mut conn = pool.acquire().await.map_err(told)?;
        history::seal_what_was_changed_elsewhere(&mut conn, &now()).await.map_err(told)?;
        drop(conn);
        MIGRATIONS.run(&pool).await.map_err(|error| match error {
            sqlx::migrate::MigrateError::VersionMissing(version)
            | sqlx::migrate::MigrateError::VersionTooNew(version, _) => OpenError::Newer(version),
            sqlx::migrate::MigrateError::VersionMismatch(version) => OpenError::Different(version),
            other => OpenError::Migration(other),
        })?;
        let database = Self { pool, file: path.to_owned() };
        database.keep_history().await.map_err(told)?;
        Ok(database)
    }

    /// Has every change of the record written down from now on.
    async fn keep_history(&self) -> Result<(), sqlx::Error> {
        let mut tx = self.pool.begin_with("BEGIN IMMEDIATE").await?;
        history::keep(&mut tx, &now()).await?;
        tx.commit().await
    }

    /// Opens a database that is there, to read only: it is neither made nor brought up to date.
    ///
    /// # Errors
    /// [`OpenError::File`] when it is absent or cannot be read.
    pub async fn open_to_read(path: &Path) -> Result<Self, OpenError> {
        let options = SqliteConnectOptions::new().filename(path).read_only(true);
        let pool = SqlitePoolOptions::new()
            .max_connections(1)
            .connect_with(options)
            .await
            .map_err(|source| OpenError::File { path: path.display().to_string(), source })?;
        Ok(Self { pool, file: path.to_owned() })
    }

    /// The file that is open.
    #[must_use]
    pub fn file(&self) -> &Path {
        &self.file
    }

    /// A connection for reading.
    ///
    /// # Errors
    /// When none is free in time.
    pub async fn read(&self) -> Result<sqlx::pool::PoolConnection<Sqlite>, StoreError> {
        Ok(self.pool.acquire().await?)
    }

    /// A transaction for reading much: all that is read in it is of one moment, while others write.
    ///
    /// # Errors
    /// When no connection is free in time.
    pub async fn read_together(&self) -> Result<Transaction<'static, Sqlite>, StoreError> {
        Ok(self.pool.begin().await?)
    }

    /// A transaction for writing. It takes the write lock at once, so that what it reads is what
    /// it writes over. What it changes goes into the history under the name of who acts now
    /// ([`history::as_author`]).
    ///
    /// # Errors
    /// When another writer does not finish in time.
    pub async fn write(&self) -> Result<Writing, StoreError> {
        let mut tx = self.pool.begin_with("BEGIN IMMEDIATE").await?;
        history::store::seal_leftovers(&mut tx, &now()).await?;
        Ok(Writing { tx, note: None })
    }

    /// Whether the database answers, and holds every step of this version and no other.
    ///
    /// # Errors
    /// What the database says.
    pub async fn is_up_to_date(&self) -> Result<bool, StoreError> {
        let held: Vec<(i64, bool)> =
            sqlx::query_as("select version, success from _sqlx_migrations order by version")
                .fetch_all(&self.pool)
                .await?;
        let wanted = MIGRATIONS.iter().map(|step| (step.version, true));
        Ok(held.into_iter().eq(wanted))
    }

    /// Closes every connection, so that the file is whole without its side files.
    pub async fn close(&self) {
        self.pool.close().await;
    }
}

/// The present moment, in UTC, as the history writes it.
fn now() -> String {
    jiff::Timestamp::now().to_string()
}

/// A transaction for writing. Without [`Writing::commit`] nothing of it stays.
#[derive(Debug)]
pub struct Writing {
    tx: Transaction<'static, Sqlite>,
    note: Option<String>,
}

impl Writing {
    /// Says in the history why this is done.
    pub fn because(&mut self, note: impl Into<String>) {
        self.note = Some(note.into());
    }

    /// Keeps what was written, and seals it in the history as one revision.
    ///
    /// # Errors
    /// What the database says; then nothing is kept.
    pub async fn commit(mut self) -> Result<(), StoreError> {
        history::store::seal(&mut self.tx, &Author::now(), &now(), self.note.as_deref()).await?;
        Ok(self.tx.commit().await?)
    }

    /// Lets go of what was written.
    ///
    /// # Errors
    /// What the database says.
    pub async fn rollback(self) -> Result<(), StoreError> {
        Ok(self.tx.rollback().await?)
    }
}

impl std::ops::Deref for Writing {
    type Target = SqliteConnection;
    fn deref(&self) -> &SqliteConnection {
        &self.tx
    }
}

impl std::ops::DerefMut for Writing {
    fn deref_mut(&mut self) -> &mut SqliteConnection {
        &mut self.tx
    }
}
