//! The data folder and the database in it.

use std::path::{Path, PathBuf};
use std::sync::OnceLock;

use anyhow::{Context, bail};
use jiff::Timestamp;

use super::lock::{self, Held};
use crate::backup::folder::BackupFolder;
use crate::backup::name::Kind;
use crate::case::store as cases;
use crate::database::{Database, whole_sqlite};
use crate::vocabulary::store;

/// The folder that holds the database.
pub(super) struct DataFolder {
    given: Option<PathBuf>,
    /// Held from the first opening until the command ends.
    at_work: OnceLock<Held>,
}

impl DataFolder {
    pub(super) const fn new(given: Option<PathBuf>) -> Self {
        Self { given, at_work: OnceLock::new() }
    }

    /// The folder: the given one, or the one of the XDG base directories.
    pub(super) fn path(&self) -> anyhow::Result<PathBuf> {
        if let Some(given) = self.given.as_ref().filter(|given| !given.as_os_str().is_empty()) {
            return Ok(given.clone());
        }
        // The XDG specification has relative paths ignored.
        let absolute =
            |name: &str| std::env::var_os(name).map(PathBuf::from).filter(|path| path.is_absolute());
        absolute("XDG_DATA_HOME")
            .or_else(|| absolute("HOME").map(|home| home.join(".local/share")))
            .map(|base| base.join("relook"))
            .context("There is no home folder to keep the data in. Say where with --data DIR.")
    }

    /// Opens the database and brings it to this version; makes folder and database when absent.
    pub(super) async fn open(&self) -> anyhow::Result<Database> {
        let folder = self.make()?;
        self.work_in(&folder)?;
        open(&folder).await
    }

    /// The folder, made when it is absent.
    pub(super) fn make(&self) -> anyhow::Result<PathBuf> {
        let folder = self.path()?;
        make_folder(&folder)
            .with_context(|| format!("The data folder {} cannot be made.", folder.display()))?;
        Ok(folder)
    }

    fn work_in(&self, folder: &Path) -> anyhow::Result<()> {
        if self.at_work.get().is_none() {
            let held = lock::work_in(folder)?;
            // The first that is set is held; there is one thread here.
            let _ = self.at_work.set(held);
        }
        Ok(())
    }

    /// The database file, refused when there is none yet; no restore takes its place while this runs.
    pub(super) fn existing(&self) -> anyhow::Result<PathBuf> {
        let folder = self.path()?;
        let file = file_in(&folder);
        if !file.exists() {
            bail!(
                "There is no database in {} yet. Say where it is with --data DIR, or start one with: relook serve",
                folder.display()
            );
        }
        self.work_in(&folder)?;
        Ok(file)
    }

    /// As [`DataFolder::open`], and refused when there is no database yet.
    pub(super) async fn open_existing(&self) -> anyhow::Result<Database> {
        self.existing()?;
        open(&self.path()?).await
    }
}

/// The database file of a data folder.
pub(super) fn file_in(folder: &Path) -> PathBuf {
    folder.join("relook.sqlite")
}

/// Keeps a backup of a database that is there before this version applies a step to it.
async fn back_up_before_steps(file: &Path) -> anyhow::Result<()> {
    if !file.exists() {
        return Ok(());
    }
    let file = file.to_owned();
    tokio::task::spawn_blocking(move || {
        let steps = whole_sqlite::steps_to_apply(&file)
            .with_context(|| format!("The database file {} cannot be opened", file.display()))?;
        let Some(first) = steps.first() else {
            return Ok(());
        };
        let name = BackupFolder::of(&file).take(Kind::BeforeStep(*first), Timestamp::now()).context(
            "Before the database is brought up to this version a backup is kept, and that failed. Nothing was changed",
        )?;
        tracing::info!(backup = %name, "backup taken and verified before the schema changes");
        Ok(())
    })
    .await?
}

/// Opens the database of a folder, puts the shipped trees of this version into it, and works out what
/// this version keeps beside cases. A backup is kept first when the schema changes.
pub(super) async fn open(folder: &Path) -> anyhow::Result<Database> {
    let file = file_in(folder);
    back_up_before_steps(&file).await?;
    let database = Database::open(&file).await?;
    let mut tx = database.write().await?;
    store::seed(&mut tx).await?;
    cases::keep_up(&mut tx).await?;
    tx.commit().await?;
    Ok(database)
}

/// Makes a folder that only its owner can look into; one that is there is left as it is.
pub(super) fn make_folder(folder: &Path) -> std::io::Result<()> {
    let mut builder = std::fs::DirBuilder::new();
    builder.recursive(true);
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
    builder.create(folder)
}
