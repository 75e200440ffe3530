//! `relook check`: what is wrong with case files, or with the database. Unless it is told to count anew, it
//! changes nothing and makes nothing.

use std::io::Write;
use std::path::PathBuf;

use anyhow::Context;
use clap::Args;

use super::Verdict;
use super::data::DataFolder;
use super::files::Files;
use super::trees;
use crate::backup::proof::judge;
use crate::case::store as cases;
use crate::database::Database;
use crate::database::whole_sqlite::{self, WholeError};
use crate::export::case_file::schema;
use crate::rates::store::{self as rates, Differs};

/// The arguments of `relook check`.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Check {
    /// Case files (.toml or .json), or folders of them
    #[arg(required_unless_present_any = ["schema", "database"], value_name = "FILE|DIR")]
    files: Vec<PathBuf>,

    /// Print the JSON Schema of a case file instead
    #[arg(long, conflicts_with = "files")]
    schema: bool,

    /// Check the database of the data folder instead: that the file is sound, and that the kept counts
    /// behind the rates are those of the record
    #[arg(long, conflicts_with_all = ["files", "schema"])]
    database: bool,

    /// With --database: count everything anew from the record
    #[arg(long, requires = "database", conflicts_with = "files")]
    rebuild: bool,
}

const EXAMPLES: &str = "\
Examples:
  relook check case.toml
  relook check cases/
  relook check --schema > case.schema.json
  relook check --database
  relook check --database --rebuild

Exit code: 0 when nothing is wrong, 1 when something is.";

impl Check {
    pub(super) async fn run(
        self,
        data: &DataFolder,
        out: &mut dyn Write,
        complaints: &mut dyn Write,
    ) -> anyhow::Result<Verdict> {
        if self.schema {
            writeln!(out, "{:#}", schema())?;
            return Ok(Verdict::Fine);
        }
        if self.database {
            return check_database(data, self.rebuild, out, complaints).await;
        }
        let files = Files::read(&self.files, &trees::of(data).await?);
        files.tell(out)?;
        if files.problems.is_empty() {
            let looked_at =
                if files.looked_at == 1 { "1 file".to_owned() } else { format!("{} files", files.looked_at) };
            writeln!(out, "{looked_at} read, nothing wrong.")?;
            return Ok(Verdict::Fine);
        }
        let problems = match files.problems.len() {
            1 => "1 problem".to_owned(),
            many => format!("{many} problems"),
        };
        writeln!(complaints, "{problems}. Nothing was changed.")?;
        Ok(Verdict::Problems)
    }
}

/// Compares the kept counts with a count from scratch, and with `rebuild` keeps the latter.
async fn check_database(
    data: &DataFolder,
    rebuild: bool,
    out: &mut dyn Write,
    complaints: &mut dyn Write,
) -> anyhow::Result<Verdict> {
    if whole_file(data, out, complaints).await? == Verdict::Problems {
        return Ok(Verdict::Problems);
    }
    let database = data.open_existing().await?;
    let verdict = compare(&database, rebuild, out, complaints).await;
    // Whatever the transaction held is given back by now, or the database could not close.
    database.close().await;
    verdict
}

/// Looks over the file as a whole, as a backup is looked over, before anything in it is believed.
async fn whole_file(
    data: &DataFolder,
    out: &mut dyn Write,
    complaints: &mut dyn Write,
) -> anyhow::Result<Verdict> {
    let file = data.existing()?;
    let place = file.display().to_string();
    let found = tokio::task::spawn_blocking(move || {
        let look = whole_sqlite::look(&file)?;
        Ok::<_, WholeError>(judge(&look, None, &whole_sqlite::known_steps()))
    })
    .await?
    .with_context(|| format!("The database file {place} cannot be read"))?;
    match found {
        Ok(step) => {
            writeln!(out, "The file is sound, and every reference is met (schema step {step}).")?;
            Ok(Verdict::Fine)
        }
        Err(faults) => {
            writeln!(complaints, "{place} is not sound: {faults}")?;
            writeln!(
                complaints,
                "Nothing was changed. Keep the file, and put a backup in place with: relook restore FILE --replace"
            )?;
            Ok(Verdict::Problems)
        }
    }
}

/// Compares in an open database, and keeps the new count with `rebuild`.
pub(super) async fn compare(
    database: &Database,
    rebuild: bool,
    out: &mut dyn Write,
    complaints: &mut dyn Write,
) -> anyhow::Result<Verdict> {
    let mut tx = database.write().await?;
    let otherwise = cases::kept_otherwise(&mut tx).await?;
    for code in &otherwise {
        writeln!(out, "{code}: other features are kept than the case has")?;
    }
    let differences = rates::compare(&mut tx).await?;
    for difference in &differences {
        writeln!(out, "{}", in_words(difference))?;
    }
    match (otherwise.len() + differences.len(), rebuild) {
        (0, _) => {
            writeln!(out, "The kept counts are those of the record.")?;
            Ok(Verdict::Fine)
        }
        (found, true) => {
            cases::keep_all(&mut tx).await?;
            rates::rebuild(&mut tx).await?;
            tx.commit().await?;
            writeln!(out, "{}. Counted anew from the record.", counted(found))?;
            Ok(Verdict::Fine)
        }
        (found, false) => {
            writeln!(
                complaints,
                "{}. Nothing was changed; count anew with: relook check --database --rebuild",
                counted(found)
            )?;
            Ok(Verdict::Problems)
        }
    }
}

fn counted(differences: usize) -> String {
    match differences {
        1 => "1 thing that is kept is not what the record gives".to_owned(),
        many => format!("{many} things that are kept are not what the record gives"),
    }
}

fn in_words(difference: &Differs) -> String {
    let Differs { under, holds, month, kind, subject, kept, counted } = difference;
    let among = match (under.as_str(), holds) {
        ("any", _) => String::new(),
        (name, true) => format!(" among cases with {name}"),
        (name, false) => format!(" among cases without {name}"),
    };
    let subject = if subject.is_empty() { String::new() } else { format!(" {subject}") };
    format!("{month}, {kind}{subject}{among}: kept {kept}, the record has {counted}")
}
