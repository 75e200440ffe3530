//! The command line: the second door to the same record, beside the pages.
//!
//! Each command is a module with its arguments and what it does. What a command answers goes to
//! standard output, what was refused to standard error. Exit code: 0 fine, 1 problems found or
//! refused, 2 a command line that cannot be understood.

mod address;
mod backup;
mod check;
mod data;
mod demo;
mod export;
mod export_all;
mod files;
mod held;
mod import;
mod lock;
mod log;
mod passphrase;
mod reach;
mod restore;
mod serve;
mod temporary;
mod trees;
mod user;
mod votes;

use std::io::Write;
use std::path::PathBuf;

use clap::{Parser, Subcommand};

use crate::history::{Author, as_author};

use data::DataFolder;

pub use log::log_filter;

/// Relook: the complication review of a cath-lab department, from the first note to the rate.
///
/// For peer review and teaching; not for the care of an individual patient.
#[derive(Debug, Parser)]
#[command(name = "relook", version, arg_required_else_help = true, after_help = EXAMPLES)]
pub struct Cli {
    /// The folder that holds the database
    ///
    /// The database is the file relook.sqlite in it. Default: $XDG_DATA_HOME/relook, or else
    /// ~/.local/share/relook. When the folder is absent it is made, for its owner alone to read.
    #[arg(long, global = true, env = "RELOOK_DATA", value_name = "DIR", hide_env_values = true)]
    data: Option<PathBuf>,

    /// How the log is written to standard error
    #[arg(
        long,
        global = true,
        env = "RELOOK_LOG_FORMAT",
        value_enum,
        default_value_t,
        hide_env_values = true
    )]
    log_format: LogFormat,

    #[command(subcommand)]
    command: Command,
}

/// How the log is written.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, clap::ValueEnum)]
pub enum LogFormat {
    /// A line of text for each event.
    #[default]
    Text,
    /// A JSON object on a line for each event.
    Json,
}

const EXAMPLES: &str = "\
Examples:
  relook demo                          look around in an invented department
  relook serve                         run the department's own
  relook check my-case.toml            say what is wrong with a case file
  relook import my-case.toml           take a case file in
  relook export --to outbox            write every case to a folder
  relook backup /mnt/stick/relook.sqlite.age   keep the whole record, sealed
  relook user add \"Dr A\" --role fellow";

#[derive(Debug, Subcommand)]
enum Command {
    /// Run an invented department in a temporary folder
    ///
    /// Builds a fresh database of invented cases, prints a sign-in link for each of its people, and
    /// serves it until Ctrl-C. Nothing of it is kept, and no data folder is touched.
    Demo(demo::Demo),
    /// Run the department's server
    ///
    /// Serves the data folder until Ctrl-C. The first start makes the account "Quality lead" and
    /// prints its sign-in link.
    Serve(serve::Serve),
    /// Take case files and counts of procedures at risk into the record
    ///
    /// All files are read first. When any has a problem, every problem is told and nothing is
    /// imported.
    Import(import::Import),
    /// Write cases to files
    ///
    /// Each case becomes a file named by its code, such as 2026-014.toml, that can be imported again.
    /// With --all, everything in the record leaves as open files.
    Export(export::Export),
    /// Say what is wrong with case files; changes nothing
    ///
    /// Each problem is printed as path:line:column: what is wrong. Leaves are looked up in the trees of
    /// the data folder's database, or in those that ship when there is none.
    Check(check::Check),
    /// Write a backup of the whole record, also while people write
    ///
    /// The copy is of one moment, is verified before it gets its name, and can be sealed with a
    /// passphrase. A running server keeps backups of its own in the data folder too.
    Backup(backup::Backup),
    /// Put a backup in the place of the database
    ///
    /// The backup is opened and verified in a place of its own first. The former database is kept
    /// beside the new one. The server has to be stopped.
    Restore(restore::Restore),
    /// Add accounts, give them roles and sign-in links
    ///
    /// An account signs in by a one-time link and then chooses a password.
    User(user::User),
}

/// How a command ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    /// All was done.
    Fine,
    /// There were problems, which have been told.
    Problems,
}

impl Cli {
    /// How much is logged when nothing else is asked: each request of a server, and of the demo only
    /// what is wrong, so that its links stay in sight.
    #[must_use]
    pub const fn usual_log(&self) -> &'static str {
        match self.command {
            Command::Demo(_) => "warn",
            _ => "relook=info,warn",
        }
    }

    /// How the log is written.
    #[must_use]
    pub const fn log_format(&self) -> LogFormat {
        self.log_format
    }

    /// Does what the command line says. What it answers is written to `out`, and what it refuses to
    /// `complaints`.
    ///
    /// # Errors
    /// Why the command could not be done, as a sentence.
    pub async fn run(self, out: &mut dyn Write, complaints: &mut dyn Write) -> anyhow::Result<Verdict> {
        as_author(Author::command_line(), self.answer(out, complaints)).await
    }

    async fn answer(self, out: &mut dyn Write, complaints: &mut dyn Write) -> anyhow::Result<Verdict> {
        let data = DataFolder::new(self.data);
        match self.command {
            Command::Demo(command) => command.run(out).await,
            Command::Serve(command) => command.run(&data, out).await,
            Command::Import(command) => command.run(&data, out, complaints).await,
            Command::Export(command) => command.run(&data, out, complaints).await,
            Command::Check(command) => command.run(&data, out, complaints).await,
            Command::Backup(command) => command.run(&data, out).await,
            Command::Restore(command) => command.run(&data, out).await,
            Command::User(command) => command.run(&data, out, complaints).await,
        }
    }
}
