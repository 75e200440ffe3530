//! `relook check`: what is wrong with case files, or with the database. Unless it is told to count anew, it
//! changes nothing and makes nothing.

use std::io::Write;
use std::path::PathBuf;
use std::str::FromStr;

use anyhow::Context;
use clap::Args;

use super::Verdict;
use super::data::DataFolder;
use super::files::Files;
use super::held;
use super::trees;
use crate::backup::proof::judge;
use crate::case::store as cases;
use crate::database::Database;
use crate::database::whole_sqlite::{self, WholeError};
use crate::export::case_file::schema_file;
use crate::history::{Digest, verify};
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

    /// Check the database of the data folder instead: that the file is sound, that the history is whole, that the
    /// record is what its history adds up to, and that the kept counts behind the rates are those of the record
    #[arg(long, conflicts_with_all = ["files", "schema"])]
    database: bool,

    /// With --database: a revision and its digest that you wrote down earlier, as the check prints them; says
    /// whether the history still holds it
    #[arg(long, requires = "database", value_name = "REVISION:DIGEST")]
    known: Option<Known>,

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
  relook check --database --known 1204:9f86d081…   that the history was not cut short since

Exit code: 0 when nothing is wrong, 1 when something is.";

impl Check {
    pub(super) async fn run(
        self,
        data: &DataFolder,
        out: &mut dyn Write,
        complaints: &mut dyn Write,
    ) -> anyhow::Result<Verdict> {
        if self.schema {
            write!(out, "{}", schema_file())?;
            return Ok(Verdict::Fine);
        }
        if self.database {
            return check_database(data, self.known, self.rebuild, out, complaints).await;
        }
        let files = Files::read(&self.files, &trees::of(data).await?);
        files.tell(out)?;
        if files.problems.is_empty() {
            let looked_at =
                if files.looked_at == 1 { "1 file".to_owned() } else { format!("{} files", files.looked_at) };
            let mut places = 0;
            for (path, case) in &files.cases {
                let found = held::in_file(case);
                held::tell(out, &path.display().to_string(), &found)?;
                places += found.len();
            }
            let look = match places {
                0 => String::new(),
                1 => " One place may identify somebody: take it out before you import.".to_owned(),
                many => format!(" {many} places may identify somebody: take them out before you import."),
            };
            writeln!(out, "{looked_at} read, nothing wrong.{look}")?;
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
    known: Option<Known>,
    rebuild: bool,
    out: &mut dyn Write,
    complaints: &mut dyn Write,
) -> anyhow::Result<Verdict> {
    if whole_file(data, out, complaints).await? == Verdict::Problems {
        return Ok(Verdict::Problems);
    }
    let database = data.open_existing().await?;
    let verdict = check_all(&database, known, rebuild, out, complaints).await;
    // Whatever the transaction held is given back by now, or the database could not close.
    database.close().await;
    verdict
}

/// A revision that was written down elsewhere.
#[derive(Debug, Clone)]
pub(super) struct Known(i64, Digest);

impl FromStr for Known {
    type Err = &'static str;
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let parts = text.trim().split_once(':');
        parts
            .and_then(|(number, digest)| Some(Self(number.parse().ok()?, digest.parse().ok()?)))
            .ok_or("a revision's number, a colon, and its digest of 64 digits")
    }
}

async fn check_all(
    database: &Database,
    known: Option<Known>,
    rebuild: bool,
    out: &mut dyn Write,
    complaints: &mut dyn Write,
) -> anyhow::Result<Verdict> {
    let history = check_history(database, known, out, complaints).await?;
    let counts = compare(database, rebuild, out, complaints).await?;
    Ok(if history == Verdict::Fine { counts } else { history })
}

/// Checks the chain of the history, and the record against it.
pub(super) async fn check_history(
    database: &Database,
    known: Option<Known>,
    out: &mut dyn Write,
    complaints: &mut dyn Write,
) -> anyhow::Result<Verdict> {
    let mut conn = database.read().await?;
    let known = known.map(|Known(revision, digest)| (revision, digest));
    let mut findings = verify::chain(&mut conn, known.as_ref()).await?;
    findings.broken.extend(verify::record(&mut conn).await?);
    for broken in &findings.broken {
        writeln!(out, "{broken}")?;
    }
    for revision in &findings.elsewhere {
        writeln!(out, "Note: what revision {revision} holds was changed in the file, not through Relook.")?;
    }
    match (findings.broken.len(), &findings.head) {
        (0, Some((revision, digest))) => {
            writeln!(
                out,
                "The history is whole: {} revisions. Write down its end, away from this machine:\n{revision}:{digest}",
                findings.revisions
            )?;
            Ok(Verdict::Fine)
        }
        (0, None) => {
            writeln!(out, "The history is empty.")?;
            Ok(Verdict::Fine)
        }
        (found, _) => {
            let things = if found == 1 { "1 thing".to_owned() } else { format!("{found} things") };
            writeln!(
                complaints,
                "{things} in the record or its history are not as they were written. Keep the file as it is, and compare it with a backup."
            )?;
            Ok(Verdict::Problems)
        }
    }
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
