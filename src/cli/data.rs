//! The data folder and the database in it.

use std::path::{Path, PathBuf};

use anyhow::{Context, bail};

use crate::case::store as cases;
use crate::database::Database;
use crate::vocabulary::store;

/// The folder that holds the database.
pub(super) struct DataFolder {
    given: Option<PathBuf>,
}

impl DataFolder {
    pub(super) const fn new(given: Option<PathBuf>) -> Self {
        Self { given }
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
        let folder = self.path()?;
        make_folder(&folder)
            .with_context(|| format!("The data folder {} cannot be made.", folder.display()))?;
        open(&folder).await
    }

    /// As [`DataFolder::open`], and refused when there is no database yet.
    pub(super) async fn open_existing(&self) -> anyhow::Result<Database> {
        let folder = self.path()?;
        if !file_in(&folder).exists() {
            bail!(
                "There is no database in {} yet. Say where it is with --data DIR, or start one with: relook serve",
                folder.display()
            );
        }
        open(&folder).await
    }
}

/// The database file of a data folder.
pub(super) fn file_in(folder: &Path) -> PathBuf {
    folder.join("relook.sqlite")
}

/// Opens the database of a folder, puts the shipped trees of this version into it, and works out what
/// this version keeps beside cases.
pub(super) async fn open(folder: &Path) -> anyhow::Result<Database> {
    let database = Database::open(&file_in(folder)).await?;
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
