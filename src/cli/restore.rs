//! `relook restore`: a backup in the place of the database.

use std::io::Write;
use std::path::{Path, PathBuf};

use anyhow::{Context, bail};
use clap::Args;
use jiff::Timestamp;

use super::Verdict;
use super::check::{check_history, compare};
use super::data::{self, DataFolder, file_in, make_folder};
use super::lock;
use super::passphrase::{Asking, PassphraseArguments};
use crate::backup::restore::{put_in_place, unpack};

/// The arguments of `relook restore`.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Restore {
    /// The backup; one whose name ends in .age is opened with its passphrase
    file: PathBuf,

    /// Put it in the place of a database that is there. The former one is kept beside it
    #[arg(long)]
    replace: bool,

    #[command(flatten)]
    passphrase: PassphraseArguments,
}

const EXAMPLES: &str = "\
Examples:
  relook restore /mnt/stick/relook.sqlite
  relook restore /mnt/stick/relook.sqlite.age --passphrase-file /root/relook.passphrase
  relook restore ~/.local/share/relook/backups/relook-2026-11-29T024500Z-daily.sqlite --replace

Exit code: 0 when the backup is in place, 1 when nothing was changed.";

/// The place in the data folder where a backup is opened and checked first.
const PLACE: &str = "restoring";

impl Restore {
    pub(super) async fn run(self, data: &DataFolder, out: &mut dyn Write) -> anyhow::Result<Verdict> {
        let folder = data.path()?;
        let database = file_in(&folder);
        if database.exists() && !self.replace {
            bail!(
                "There is a database in {} already. Put the backup in its place with --replace; the former one is kept beside it. Nothing was changed.",
                folder.display()
            );
        }
        if !self.file.is_file() {
            bail!("{} cannot be read: it is not there. Nothing was changed.", self.file.display());
        }
        let passphrase = self.passphrase.get(&self.file, Asking::Once)?;
        data.make()?;
        let _alone = lock::alone(&folder)?;
        let place = Place::make(&folder)?;
        let fresh = place.database();
        let (backup, target) = (self.file.clone(), fresh.clone());
        let proof =
            tokio::task::spawn_blocking(move || unpack(&backup, &target, passphrase.as_ref())).await??;
        check(place.path(), out).await?;
        let former = put_in_place(&fresh, &database, Timestamp::now())?;
        writeln!(out, "Restored {}: {proof}.", self.file.display())?;
        if let Some(former) = former {
            writeln!(out, "The former database is kept as {}.", former.display())?;
        }
        Ok(Verdict::Fine)
    }
}

/// Brings the restored database to this version, in its own place, and checks it as
/// `relook check --database` does.
async fn check(folder: &Path, out: &mut dyn Write) -> anyhow::Result<()> {
    let database = data::open(folder).await?;
    let mut told = Vec::new();
    // A history that is not whole is told, and stops nothing: the record may be needed all the same.
    if check_history(&database, None, out, &mut told).await? == Verdict::Problems {
        out.write_all(&told)?;
        told.clear();
    }
    let verdict = compare(&database, false, out, &mut told).await;
    database.close().await;
    if verdict? == Verdict::Problems {
        // The record itself is sound; the counts kept beside it can be made anew from it.
        writeln!(
            out,
            "What is kept beside the record differs from it. Count anew with: relook check --database --rebuild"
        )?;
    }
    Ok(())
}

/// A folder in the data folder, on the same disk, that goes when the restore is done.
struct Place(PathBuf);

impl Place {
    fn make(folder: &Path) -> anyhow::Result<Self> {
        let path = folder.join(PLACE);
        // One that an interrupted restore left: nobody else is at work here.
        if path.exists() {
            std::fs::remove_dir_all(&path)
                .with_context(|| format!("{} cannot be taken away", path.display()))?;
        }
        make_folder(&path).with_context(|| {
            format!(
                "{} cannot be made. Give Relook the right to write there, and look whether the disk is full",
                path.display()
            )
        })?;
        Ok(Self(path))
    }

    fn path(&self) -> &Path {
        &self.0
    }

    fn database(&self) -> PathBuf {
        file_in(&self.0)
    }
}

impl Drop for Place {
    fn drop(&mut self) {
        // What stays is taken away by the next restore.
        let _ = std::fs::remove_dir_all(&self.0);
    }
}
