//! The backups that the server keeps in the data folder: `backups/`, each with its proof beside it.

use std::path::{Path, PathBuf};

use jiff::{Timestamp, ToSpan as _};

use super::name::{BackupName, Kind};
use super::proof::Proof;
use super::rotation;
use super::write::{self, Order};
use super::{BackupError, system};

/// The folder of a data folder in which backups lie.
#[derive(Debug, Clone)]
pub struct BackupFolder {
    database: PathBuf,
    folder: PathBuf,
}

/// A backup that lies there.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Kept {
    /// When and why it was taken.
    pub name: BackupName,
    /// How many bytes the file has.
    pub bytes: u64,
    /// What was proven of it when it was written; none when the proof is missing, or the file has
    /// another size than it had.
    pub proof: Option<Proof>,
}

impl BackupFolder {
    /// The backups of a database: the folder `backups` beside it.
    #[must_use]
    pub fn of(database: &Path) -> Self {
        Self { database: database.to_owned(), folder: database.with_file_name("backups") }
    }

    /// Where it is.
    #[must_use]
    pub fn path(&self) -> &Path {
        &self.folder
    }

    /// What lies there, newest first. Other files of the folder are left alone.
    ///
    /// # Errors
    /// When the folder cannot be read; one that is not there yet holds nothing.
    pub fn list(&self) -> Result<Vec<Kept>, BackupError> {
        let read = || system(&self.folder, "read");
        let entries = match std::fs::read_dir(&self.folder) {
            Err(error) if error.kind() == std::io::ErrorKind::NotFound => return Ok(Vec::new()),
            entries => entries.map_err(read())?,
        };
        let mut kept = Vec::new();
        for entry in entries {
            let entry = entry.map_err(read())?;
            let Some(name) = entry.file_name().to_str().and_then(|name| name.parse::<BackupName>().ok())
            else {
                continue;
            };
            let bytes = entry.metadata().map_err(read())?.len();
            let proof = self.proof(name).filter(|proof| proof.bytes == bytes);
            kept.push(Kept { name, bytes, proof });
        }
        kept.sort_by_key(|kept| std::cmp::Reverse((kept.name.at, kept.name.kind)));
        Ok(kept)
    }

    fn names(&self) -> Result<Vec<BackupName>, BackupError> {
        Ok(self.list()?.into_iter().map(|kept| kept.name).collect())
    }

    /// The file of a backup.
    #[must_use]
    pub fn file(&self, name: BackupName) -> PathBuf {
        self.folder.join(name.to_string())
    }

    fn proof_file(&self, name: BackupName) -> PathBuf {
        self.file(name).with_extension("proof.json")
    }

    fn proof(&self, name: BackupName) -> Option<Proof> {
        serde_json::from_slice(&std::fs::read(self.proof_file(name)).ok()?).ok()
    }

    /// Takes a backup, and takes away those that have served their time.
    ///
    /// # Errors
    /// [`BackupError`]; what was there is still there.
    pub fn take(&self, kind: Kind, now: Timestamp) -> Result<BackupName, BackupError> {
        make_private(&self.folder).map_err(system(&self.folder, "made"))?;
        let mut name = BackupName::new(now, kind);
        while self.file(name).exists() {
            name.at += 1.second();
        }
        let file = self.file(name);
        let order = Order {
            source: &self.database,
            target: &file,
            replace: false,
            passphrase: None,
            wanted: &|| true,
        };
        let proof = write::write(&order)?;
        self.keep_proof(name, &proof)?;
        self.rotate(now)?;
        Ok(name)
    }

    fn keep_proof(&self, name: BackupName, proof: &Proof) -> Result<(), BackupError> {
        let place = self.proof_file(name);
        let mut part = write::Part::make(&place)?;
        serde_json::to_writer(&mut part.file, proof)
            .map_err(std::io::Error::from)
            .map_err(system(&place, "written"))?;
        part.become_file(&place, true)
    }

    /// Takes the backup of the day when it is due.
    ///
    /// # Errors
    /// [`BackupError`].
    pub fn take_if_due(&self, now: Timestamp) -> Result<Option<BackupName>, BackupError> {
        if rotation::is_due(&self.names()?, now) { self.take(Kind::Daily, now).map(Some) } else { Ok(None) }
    }

    fn rotate(&self, now: Timestamp) -> Result<(), BackupError> {
        for name in rotation::served(&self.names()?, now) {
            let file = self.file(name);
            std::fs::remove_file(&file).map_err(system(&file, "taken away"))?;
            // A proof without its file says nothing, and is looked at by nobody.
            let _ = std::fs::remove_file(self.proof_file(name));
        }
        Ok(())
    }
}

/// Makes a folder that only its owner can look into.
fn make_private(folder: &Path) -> std::io::Result<()> {
    let mut builder = std::fs::DirBuilder::new();
    builder.recursive(true);
    #[cfg(unix)]
    std::os::unix::fs::DirBuilderExt::mode(&mut builder, 0o700);
    builder.create(folder)
}
