//! Who is at work in a data folder: locks that the system gives back when a program ends, however it ends.
//!
//! `relook.lock` is shared by every command that opens the database to write, and is a restore's alone.
//! `serving.lock` is the server's alone.

use std::fs::{File, OpenOptions, TryLockError};
use std::path::Path;

use anyhow::{Context, bail};

/// A lock that is held until it is dropped, or the program ends.
pub(super) struct Held(#[expect(dead_code, reason = "it is held, and never looked at")] File);

const AT_WORK: &str = "relook.lock";
const SERVING: &str = "serving.lock";

/// Says that a command works in the folder. Others may too, but for a restore.
pub(super) fn work_in(folder: &Path) -> anyhow::Result<Held> {
    let file = open(folder, AT_WORK)?;
    take(folder, file.try_lock_shared(), "A restore runs in {}. Try again when it is done.")?;
    Ok(Held(file))
}

/// Says that the server serves the folder, as no other does.
pub(super) fn serve(folder: &Path) -> anyhow::Result<Held> {
    let file = open(folder, SERVING)?;
    take(folder, file.try_lock(), "A server runs on {} already. Stop it first, or choose another folder.")?;
    Ok(Held(file))
}

/// Has the folder for a restore alone.
pub(super) fn alone(folder: &Path) -> anyhow::Result<[Held; 2]> {
    let server = open(folder, SERVING)?;
    take(folder, server.try_lock(), "A server runs on {}. Stop it first; nothing was changed.")?;
    let file = open(folder, AT_WORK)?;
    take(
        folder,
        file.try_lock(),
        "Another relook command works in {}. Try again when it is done; nothing was changed.",
    )?;
    Ok([Held(server), Held(file)])
}

fn open(folder: &Path, name: &str) -> anyhow::Result<File> {
    let mut options = OpenOptions::new();
    options.write(true).create(true).truncate(false);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    options.open(folder.join(name)).with_context(|| {
        format!(
            "The data folder {} cannot be written. Give Relook the right to write there, and look whether the disk is full or read-only",
            folder.display()
        )
    })
}

/// The sentence, with the folder in it, when somebody else has the lock.
fn take(folder: &Path, taken: Result<(), TryLockError>, sentence: &str) -> anyhow::Result<()> {
    match taken {
        Ok(()) => Ok(()),
        Err(TryLockError::WouldBlock) => bail!(sentence.replace("{}", &folder.display().to_string())),
        Err(TryLockError::Error(error)) => {
            Err(error).with_context(|| format!("The data folder {} cannot be locked", folder.display()))
        }
    }
}
