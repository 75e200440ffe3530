//! The trees to check a file against: the department's own, or those that ship.

use anyhow::Context;

use super::data::{self, DataFolder, file_in};
use super::temporary::TemporaryFolder;
use crate::database::Database;
use crate::vocabulary::{Vocabulary, store};

/// The trees of the data folder's database, read without changing it; those that ship when there
/// is none.
pub(super) async fn of(data: &DataFolder) -> anyhow::Result<Vocabulary> {
    // Without a home there is no data folder, and a file can be checked all the same.
    let Some(file) = data.path().ok().map(|folder| file_in(&folder)).filter(|file| file.exists()) else {
        return shipped().await;
    };
    let database = Database::open_to_read(&file).await?;
    let trees = store::load(&mut *database.read().await?).await.with_context(|| {
        format!(
            "The trees in {} cannot be read. Start the server once to bring it up to date",
            file.display()
        )
    })?;
    database.close().await;
    Ok(trees)
}

/// The trees as a fresh database holds them.
async fn shipped() -> anyhow::Result<Vocabulary> {
    let folder = TemporaryFolder::make("relook-check")?;
    let database = data::open(folder.path()).await?;
    let trees = store::load(&mut *database.read().await?).await?;
    database.close().await;
    Ok(trees)
}
