//! One backup: copied beside its place, looked over, proven, forced to the disk, and only then given its
//! name. Whatever goes wrong leaves nothing behind and nothing overwritten.

use std::fs::{File, OpenOptions};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

use sha2::{Digest as _, Sha256};

use super::proof::{Proof, judge};
use super::seal::{self, Passphrase};
use super::{BackupError, system};
use crate::database::whole_sqlite::{self, Rows};

/// What is asked for.
pub struct Order<'a> {
    /// The database; others may have it open and write.
    pub source: &'a Path,
    /// Where the backup goes.
    pub target: &'a Path,
    /// Whether a file that is there may be written over.
    pub replace: bool,
    /// The passphrase to seal it with.
    pub passphrase: Option<&'a Passphrase>,
    /// Asked again and again; when it says no, the work stops.
    pub wanted: &'a dyn Fn() -> bool,
}

/// Writes a backup and proves it.
///
/// # Errors
/// [`BackupError`]; then a file that was there is still there, and nothing else is.
pub fn write(order: &Order<'_>) -> Result<Proof, BackupError> {
    refuse(order)?;
    let Some(passphrase) = order.passphrase else {
        let part = Part::make(order.target)?;
        let proof = copy_proven(order, part.path())?;
        part.become_file(order.target, order.replace)?;
        return Ok(proof);
    };
    // The plain copy lies where the plain database lies, never where the sealed one goes.
    let plain = Part::make(&order.source.with_extension("to-seal"))?;
    let proof = copy_proven(order, plain.path())?;
    let mut part = Part::make(order.target)?;
    seal::seal(plain.path(), &mut part.file, passphrase).map_err(system(order.target, "written"))?;
    prove_sealed(part.path(), passphrase, &proof)?;
    part.become_file(order.target, order.replace)?;
    Ok(proof)
}

fn refuse(order: &Order<'_>) -> Result<(), BackupError> {
    match (order.passphrase.is_some(), seal::is_sealed(order.target)) {
        (true, false) => {
            return Err(BackupError::Seal(
                "A sealed backup has a name that ends in .age. Nothing was written.",
            ));
        }
        (false, true) => {
            return Err(BackupError::Seal(
                "A name that ends in .age is for a sealed backup, which needs a passphrase. Nothing was written.",
            ));
        }
        _ => {}
    }
    let same = |path: &Path| path.canonicalize().ok();
    if let Some(target) = same(order.target) {
        if Some(target) == same(order.source) {
            return Err(BackupError::Itself(order.target.to_owned()));
        }
        if !order.replace {
            return Err(BackupError::Taken(order.target.to_owned()));
        }
    }
    Ok(())
}

/// Copies the database and proves the copy; gives its proof.
fn copy_proven(order: &Order<'_>, part: &Path) -> Result<Proof, BackupError> {
    let rows = whole_sqlite::copy(order.source, part, order.wanted)
        .map_err(|source| BackupError::Copy { path: order.source.to_owned(), source })?;
    prove(part, Some(&rows))
}

/// Looks over a database file that nobody has open, and gives its proof. The file is one file then.
///
/// # Errors
/// [`BackupError::Unproven`], or when it cannot be read.
pub fn prove(file: &Path, expected: Option<&Rows>) -> Result<Proof, BackupError> {
    let unread = |source| BackupError::Copy { path: file.to_owned(), source };
    let look = whole_sqlite::look(file).map_err(unread)?;
    let step = judge(&look, expected, &whole_sqlite::known_steps())
        .map_err(|faults| BackupError::Unproven { path: file.to_owned(), faults })?;
    whole_sqlite::make_one_file(file).map_err(unread)?;
    let (bytes, sha256) = digest(file).map_err(system(file, "read"))?;
    Ok(Proof { step, tables: look.rows.len(), rows: look.rows.values().sum(), bytes, sha256 })
}

/// How many bytes a file has, and their SHA-256. Never of a database that is open: closing the file would
/// take SQLite's locks away (<https://www.sqlite.org/howtocorrupt.html>, 2.2).
///
/// # Errors
/// When it cannot be read.
pub(super) fn digest(file: &Path) -> io::Result<(u64, String)> {
    let mut hasher = Sha256::new();
    let bytes = io::copy(&mut File::open(file)?, &mut hasher)?;
    Ok((bytes, hex(&hasher.finalize())))
}

fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}

fn prove_sealed(part: &Path, passphrase: &Passphrase, proof: &Proof) -> Result<(), BackupError> {
    struct Hashing(Sha256);
    impl Write for Hashing {
        fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
            self.0.update(bytes);
            Ok(bytes.len())
        }
        fn flush(&mut self) -> io::Result<()> {
            Ok(())
        }
    }
    let mut hashing = Hashing(Sha256::new());
    seal::unseal(part, &mut hashing, passphrase)?;
    if hex(&hashing.0.finalize()) == proof.sha256 {
        return Ok(());
    }
    Err(BackupError::Sealed {
        path: part.to_owned(),
        why: "what comes out is not what went in; the disk may be at fault".to_owned(),
    })
}

/// A file in the making, for its owner alone; it goes when it does not become a file of its name.
pub(super) struct Part {
    path: PathBuf,
    pub(super) file: File,
    done: bool,
}

impl Part {
    /// Makes it beside its place: `.NAME.part`. One that an interrupted run left is taken away.
    pub(super) fn make(place: &Path) -> Result<Self, BackupError> {
        let name = place.file_name().unwrap_or_default().to_string_lossy();
        let path = place.with_file_name(format!(".{name}.part"));
        clear(&path);
        let mut options = OpenOptions::new();
        options.read(true).write(true).create_new(true);
        #[cfg(unix)]
        std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
        let file = options.open(&path).map_err(system(place, "written"))?;
        Ok(Self { path, file, done: false })
    }

    pub(super) fn path(&self) -> &Path {
        &self.path
    }

    /// Forces it to the disk and gives it its name; both last through a power cut then.
    pub(super) fn become_file(mut self, place: &Path, replace: bool) -> Result<(), BackupError> {
        let written = || system(place, "written");
        self.file.sync_all().map_err(written())?;
        if !replace && place.exists() {
            return Err(BackupError::Taken(place.to_owned()));
        }
        std::fs::rename(&self.path, place).map_err(written())?;
        self.done = true;
        sync_folder_of(place).map_err(written())
    }
}

impl Drop for Part {
    fn drop(&mut self) {
        if !self.done {
            clear(&self.path);
        }
    }
}

/// Takes a file away with the side files of a database. What cannot be taken away now goes with the next
/// run, which makes its own under the same name.
fn clear(path: &Path) {
    for end in ["", "-journal", "-wal", "-shm"] {
        let mut name = path.as_os_str().to_owned();
        name.push(end);
        let _ = std::fs::remove_file(name);
    }
}

/// Forces a folder to the disk, so that a new name in it lasts.
pub(super) fn sync_folder_of(file: &Path) -> io::Result<()> {
    let folder = file.parent().filter(|folder| !folder.as_os_str().is_empty());
    File::open(folder.unwrap_or(Path::new(".")))?.sync_all()
}
