//! Where the running server takes backups, one at a time, and what became of the last try.

use std::sync::{Arc, Mutex, PoisonError};

use jiff::Timestamp;

use super::BackupError;
use super::folder::{BackupFolder, Kept};
use super::name::{BackupName, Kind};

/// A try that failed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Failed {
    /// When.
    pub at: Timestamp,
    /// Why, as a sentence.
    pub why: String,
}

/// The desk.
#[derive(Debug, Clone)]
pub struct Desk {
    folder: Arc<BackupFolder>,
    turn: Arc<tokio::sync::Mutex<()>>,
    failed: Arc<Mutex<Option<Failed>>>,
}

impl Desk {
    /// A desk over the backups of a data folder.
    #[must_use]
    pub fn new(folder: BackupFolder) -> Self {
        Self { folder: Arc::new(folder), turn: Arc::default(), failed: Arc::default() }
    }

    /// Where the backups lie.
    #[must_use]
    pub fn folder(&self) -> &BackupFolder {
        &self.folder
    }

    /// The last try, when it failed.
    #[must_use]
    pub fn failed(&self) -> Option<Failed> {
        self.failed.lock().unwrap_or_else(PoisonError::into_inner).clone()
    }

    /// What lies there, newest first.
    ///
    /// # Errors
    /// When the folder cannot be read.
    pub async fn list(&self) -> Result<Vec<Kept>, BackupError> {
        let folder = Arc::clone(&self.folder);
        self.apart(move || folder.list()).await
    }

    /// Takes a backup now.
    ///
    /// # Errors
    /// [`BackupError`], which is also kept for the page and told in the log.
    pub async fn take(&self, now: Timestamp) -> Result<BackupName, BackupError> {
        let _turn = self.turn.lock().await;
        let folder = Arc::clone(&self.folder);
        let taken = self.apart(move || folder.take(Kind::Asked, now)).await;
        self.note(now, &taken);
        taken
    }

    /// Takes the backup of the day when it is due; a failure is kept for the page and told in the log.
    pub async fn take_if_due(&self, now: Timestamp) {
        let _turn = self.turn.lock().await;
        let folder = Arc::clone(&self.folder);
        let taken = self.apart(move || folder.take_if_due(now)).await;
        if let Ok(Some(name)) = &taken {
            tracing::info!(backup = %name, "backup taken and verified");
        }
        // Where nothing was due, the last try stands as it was.
        if !matches!(taken, Ok(None)) {
            self.note(now, &taken);
        }
    }

    fn note<T>(&self, now: Timestamp, taken: &Result<T, BackupError>) {
        if let Err(error) = taken {
            tracing::error!(%error, "the backup failed");
        }
        let failed = taken.as_ref().err().map(|error| Failed { at: now, why: error.to_string() });
        *self.failed.lock().unwrap_or_else(PoisonError::into_inner) = failed;
    }

    /// Does blocking work where it keeps nobody waiting.
    async fn apart<T: Send + 'static>(
        &self,
        work: impl FnOnce() -> Result<T, BackupError> + Send + 'static,
    ) -> Result<T, BackupError> {
        tokio::task::spawn_blocking(work).await.unwrap_or_else(|error| {
            Err(BackupError::System {
                path: self.folder.path().to_owned(),
                doing: "written",
                source: std::io::Error::other(error.to_string()),
            })
        })
    }
}
