//! What SQLite's result codes mean to a person: on a page, and at a terminal.

/// Why the file could not be read or written, by the primary result code of SQLite
/// (<https://www.sqlite.org/rescode.html>); the extended codes carry it in their lowest byte.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Fault {
    /// Another connection holds the lock.
    Busy,
    /// The file or its folder cannot be written.
    ReadOnly,
    /// The disk does not do what it was asked.
    Disk,
    /// What stands in the file makes no sense.
    Damaged,
    /// No room is left.
    Full,
    /// The file cannot be opened.
    Closed,
    /// The file is something else.
    NoDatabase,
}

impl Fault {
    /// The fault of a result code, primary or extended; none for what is not the file's fault.
    pub(crate) const fn of(code: i32) -> Option<Self> {
        Some(match code & 0xff {
            5 | 6 => Self::Busy,
            8 => Self::ReadOnly,
            10 => Self::Disk,
            11 => Self::Damaged,
            13 => Self::Full,
            14 => Self::Closed,
            26 => Self::NoDatabase,
            _ => return None,
        })
    }

    /// As [`Fault::of`], for an error of the pool.
    pub(crate) fn of_sqlx(error: &sqlx::Error) -> Option<Self> {
        match error {
            sqlx::Error::Database(inner) => inner.code()?.parse().ok().and_then(Self::of),
            sqlx::Error::PoolTimedOut => Some(Self::Busy),
            _ => None,
        }
    }

    /// What a page says of a save that met it.
    pub(crate) const fn on_a_page(self) -> &'static str {
        match self {
            Self::Busy => "The database is busy. Nothing was saved; try again in a moment.",
            Self::ReadOnly => "The data folder is read-only. Nothing was saved; ask who keeps the server.",
            Self::Disk => {
                "The disk does not take what is written. Nothing was saved; ask who keeps the server to look at the disk."
            }
            Self::Full => "The disk is full. Nothing was saved; make room and try again.",
            Self::Closed => {
                "The database file cannot be opened. Nothing was saved; ask who keeps the server whether the data folder is there."
            }
            Self::Damaged | Self::NoDatabase => {
                "The database file is damaged. Nothing was saved; ask who keeps the server to restore a backup."
            }
        }
    }

    /// What a terminal says of a file that met it.
    pub(crate) const fn at_a_terminal(self) -> &'static str {
        match self {
            Self::Busy => "another program holds it locked; end that program, or try again in a moment",
            Self::ReadOnly => {
                "it is read-only, or its folder or a file beside it is; give Relook the right to write there"
            }
            Self::Disk => "the disk does not read or write it; look at the disk before anything else",
            Self::Full => "the disk is full; make room and try again",
            Self::Closed => {
                "it is not there, or may not be opened; look at the rights of the file and its folder"
            }
            Self::Damaged => {
                "it is damaged; keep it as it is, and put a backup in place with: relook restore FILE --replace"
            }
            Self::NoDatabase => {
                "it is not a database; if it was one, put a backup in place with: relook restore FILE --replace"
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Fault;

    /// The extended codes as <https://www.sqlite.org/rescode.html> lists them.
    #[test]
    fn an_extended_code_means_what_its_primary_code_means() {
        for (code, fault) in [
            (5, Some(Fault::Busy)),
            (261, Some(Fault::Busy)), // SQLITE_BUSY_RECOVERY
            (517, Some(Fault::Busy)), // SQLITE_BUSY_SNAPSHOT
            (262, Some(Fault::Busy)), // SQLITE_LOCKED_SHAREDCACHE
            (8, Some(Fault::ReadOnly)),
            (264, Some(Fault::ReadOnly)),  // SQLITE_READONLY_RECOVERY
            (1544, Some(Fault::ReadOnly)), // SQLITE_READONLY_DIRECTORY
            (778, Some(Fault::Disk)),      // SQLITE_IOERR_WRITE
            (522, Some(Fault::Disk)),      // SQLITE_IOERR_SHORT_READ
            (267, Some(Fault::Damaged)),   // SQLITE_CORRUPT_VTAB
            (13, Some(Fault::Full)),
            (14, Some(Fault::Closed)),
            (26, Some(Fault::NoDatabase)),
            (19, None),   // SQLITE_CONSTRAINT
            (1555, None), // SQLITE_CONSTRAINT_PRIMARYKEY
            (1, None),
        ] {
            assert_eq!(Fault::of(code), fault, "{code}");
        }
    }
}
