//! A folder that goes when it is no longer needed.

use std::path::{Path, PathBuf};

use anyhow::Context;

use super::data::make_folder;
use crate::accounts::Secret;

/// A new folder among the system's temporary ones, for its owner alone; removed when dropped.
pub(super) struct TemporaryFolder(PathBuf);

impl TemporaryFolder {
    pub(super) fn make(name: &str) -> anyhow::Result<Self> {
        // The name cannot be guessed, so that nobody else can have put something there.
        let secret = Secret::generate().context("The system gives no random numbers")?;
        let unguessed: String = secret.expose().chars().take(16).collect();
        let path = std::env::temp_dir().join(format!("{name}-{unguessed}"));
        make_folder(&path).with_context(|| format!("The folder {} cannot be made", path.display()))?;
        Ok(Self(path))
    }

    pub(super) fn path(&self) -> &Path {
        &self.0
    }
}

impl Drop for TemporaryFolder {
    fn drop(&mut self) {
        // What cannot be removed is left to the system, which clears its temporary folder.
        let _ = std::fs::remove_dir_all(&self.0);
    }
}
