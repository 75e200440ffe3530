//! Backups: a copy of the whole record, taken while people write, proven, and put back.
//!
//! The pure parts say what counts: [`proof`] when a copy is verified, [`rotation`] which backups stay,
//! [`name`] what a file name says. The others do it: [`write`] one file, [`seal`] with a passphrase,
//! [`folder`] the ones that the server keeps, [`restore`] back into a data folder. All of it blocks.

pub mod desk;
pub mod folder;
pub mod name;
pub mod proof;
pub mod restore;
pub mod rotation;
pub mod seal;
pub mod write;

use std::io;
use std::path::{Path, PathBuf};

use crate::database::whole_sqlite::WholeError;
use proof::Faults;

/// Why a backup could not be made or put back. Each is a sentence for who asked.
#[derive(Debug, thiserror::Error)]
pub enum BackupError {
    /// A file is in the way.
    #[error("{0} is there already. Write over it with --replace, or choose another name.")]
    Taken(PathBuf),
    /// The backup would be written over the database itself.
    #[error("{0} is the database itself. Choose another name for the backup.")]
    Itself(PathBuf),
    /// A passphrase was given for a plain file, or none for a sealed one.
    #[error("{0}")]
    Seal(&'static str),
    /// The passphrase does not open the file, or the file was changed.
    #[error("{path} does not open: {why}")]
    Sealed {
        /// The file.
        path: PathBuf,
        /// What is wrong.
        why: String,
    },
    /// The database could not be read or copied.
    #[error("{path} cannot be copied: {source}")]
    Copy {
        /// The file.
        path: PathBuf,
        /// What SQLite said.
        source: WholeError,
    },
    /// The copy was made and is not what it must be; it was taken away again.
    #[error("{path} is not a sound copy of the record: {faults}")]
    Unproven {
        /// The file.
        path: PathBuf,
        /// What is wrong with it.
        faults: Faults,
    },
    /// The system refused.
    #[error("{path} cannot be {doing}: {}", in_words(.source))]
    System {
        /// The file.
        path: PathBuf,
        /// What was being done to it: `written`, `read`.
        doing: &'static str,
        /// What the system said.
        source: io::Error,
    },
}

/// What the system said, with what to do where that is known.
fn in_words(error: &io::Error) -> String {
    match error.kind() {
        io::ErrorKind::StorageFull => "the disk is full; make room and try again".to_owned(),
        io::ErrorKind::ReadOnlyFilesystem | io::ErrorKind::PermissionDenied => {
            "it is read-only, or its folder is; give Relook the right to write there".to_owned()
        }
        io::ErrorKind::NotFound => "it is not there, or its folder is not".to_owned(),
        _ => error.to_string(),
    }
}

/// Turns what the system said of a file into an error with its name.
fn system(path: &Path, doing: &'static str) -> impl FnOnce(io::Error) -> BackupError {
    let path = path.to_owned();
    move |source| BackupError::System { path, doing, source }
}
