//! A backup back into a data folder: opened and proven in a place of its own first, and put in the place
//! of the database in one step. The former database is kept beside it.

use std::fs::File;
use std::io;
use std::path::{Path, PathBuf};

use jiff::Timestamp;

use super::name::stamp;
use super::proof::Proof;
use super::seal::{self, Passphrase};
use super::write::{Part, prove, sync_folder_of};
use super::{BackupError, system};
use crate::database::whole_sqlite::fold_log;

/// Brings what a backup holds to a new file at `place`, and proves it there.
///
/// # Errors
/// [`BackupError`]; then there is no file at `place`.
pub fn unpack(backup: &Path, place: &Path, passphrase: Option<&Passphrase>) -> Result<Proof, BackupError> {
    let mut part = Part::make(place)?;
    match (passphrase, seal::is_sealed(backup)) {
        (Some(passphrase), true) => seal::unseal(backup, &mut part.file, passphrase)?,
        (None, true) => {
            return Err(BackupError::Seal("This backup is sealed. Give the passphrase it was sealed with."));
        }
        (Some(_), false) => {
            return Err(BackupError::Seal(
                "This backup is not sealed: its name does not end in .age. Restore it without a passphrase.",
            ));
        }
        (None, false) => {
            let mut file = File::open(backup).map_err(system(backup, "read"))?;
            io::copy(&mut file, &mut part.file).map_err(system(place, "written"))?;
        }
    }
    let proof = prove(part.path(), None).map_err(|error| of_backup(error, backup))?;
    part.become_file(place, false)?;
    Ok(proof)
}

/// An error about the unpacked file, told of the backup that it came from.
fn of_backup(error: BackupError, backup: &Path) -> BackupError {
    let path = backup.to_owned();
    match error {
        BackupError::Unproven { faults, .. } => BackupError::Unproven { path, faults },
        BackupError::Copy { source, .. } => BackupError::Copy { path, source },
        other => other,
    }
}

/// Puts a proven file in the place of the database. Nobody may have the database open. Gives the name
/// under which the former database is kept, when there was one.
///
/// There is a database in the place at every moment: the former gets its second name first, and then the
/// new one takes the place in one step.
///
/// # Errors
/// [`BackupError::System`]; the database is then the former one.
pub fn put_in_place(fresh: &Path, database: &Path, now: Timestamp) -> Result<Option<PathBuf>, BackupError> {
    let written = || system(database, "written");
    let mut former = None;
    if database.exists() {
        // What the log holds belongs to the former database. A damaged one keeps its log beside it.
        let folded = fold_log(database).is_ok();
        let place = free_name(database, now);
        second_name(database, &place).map_err(written())?;
        let log = side_file(database, "-wal");
        if log.exists() {
            if !folded {
                second_name(&log, &side_file(&place, "-wal")).map_err(written())?;
            }
            // It would be read into the database that takes the place.
            std::fs::remove_file(&log).map_err(written())?;
        }
        former = Some(place);
    }
    for end in ["-wal", "-shm", "-journal"] {
        match std::fs::remove_file(side_file(database, end)) {
            Err(error) if error.kind() != io::ErrorKind::NotFound => return Err(written()(error)),
            _ => {}
        }
    }
    std::fs::rename(fresh, database).map_err(written())?;
    sync_folder_of(database).map_err(written())?;
    Ok(former)
}

fn side_file(database: &Path, end: &str) -> PathBuf {
    let mut name = database.as_os_str().to_owned();
    name.push(end);
    name.into()
}

/// `relook-replaced-2026-11-29T024500Z.sqlite`, or the next second's when that is taken.
fn free_name(database: &Path, now: Timestamp) -> PathBuf {
    let named = |seconds: i64| {
        let at = Timestamp::from_second(now.as_second() + seconds).unwrap_or(now);
        database.with_file_name(format!("relook-replaced-{}.sqlite", stamp(at)))
    };
    (0..600).map(named).find(|name| !name.exists()).unwrap_or_else(|| named(600))
}

/// Gives a file a second name; where the file system has none, a copy.
fn second_name(file: &Path, name: &Path) -> io::Result<()> {
    match std::fs::hard_link(file, name) {
        Ok(()) => Ok(()),
        Err(error) if error.kind() == io::ErrorKind::AlreadyExists => Err(error),
        Err(_) => {
            std::fs::copy(file, name)?;
            File::open(name)?.sync_all()
        }
    }
}
