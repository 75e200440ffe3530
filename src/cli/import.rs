//! `relook import`: case files and counts of procedures at risk into the record, all or nothing.

use std::io::Write;
use std::path::{Path, PathBuf};

use anyhow::Context;
use clap::Args;
use jiff::Timestamp;
use sqlx::SqliteConnection;

use super::Verdict;
use super::data::DataFolder;
use super::files::{Files, in_file, progress, read_bounded};
use super::held;
use crate::case::{Case, CaseCode, store};
use crate::import::at_risk;
use crate::rates::{self, AtRisk};
use crate::vocabulary::{self, Vocabulary};

/// The arguments of `relook import`.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Import {
    /// Case files (.toml or .json), or folders of them
    #[arg(required_unless_present = "at_risk", value_name = "FILE|DIR")]
    files: Vec<PathBuf>,

    /// A table of procedures at risk: a header "month,all-pci,…" and a row a month; an empty cell is
    /// a month that was not counted
    #[arg(long, value_name = "CSV")]
    at_risk: Option<PathBuf>,
}

const EXAMPLES: &str = "\
Examples:
  relook import case.toml
  relook import cases/ --at-risk procedures-at-risk.csv

A case without a code gets the next free one. A code that is there already is refused.
Exit code: 0 when all was imported, 1 when nothing was.";

impl Import {
    pub(super) async fn run(
        self,
        data: &DataFolder,
        out: &mut dyn Write,
        complaints: &mut dyn Write,
    ) -> anyhow::Result<Verdict> {
        let database = data.open().await?;
        let vocabulary = vocabulary::store::load(&mut *database.read().await?).await?;
        let mut files = Files::read(&self.files, &vocabulary);
        let counts = self.counts(&vocabulary, &mut files.problems)?;
        let mut tx = database.write().await?;
        refuse_taken_codes(&mut tx, &mut files).await?;
        if !files.problems.is_empty() {
            files.tell(complaints)?;
            writeln!(complaints, "Nothing was imported.")?;
            return Ok(Verdict::Problems);
        }
        let given = insert(&mut tx, &files.cases, None, Timestamp::now()).await?;
        rates::store::set_at_risk(&mut tx, &counts).await?;
        tx.commit().await?;
        for (path, code) in &given {
            writeln!(out, "{} is case {code}.", path.display())?;
        }
        match files.cases.len() {
            0 => {}
            1 => writeln!(out, "Imported 1 case.")?,
            cases => writeln!(out, "Imported {cases} cases.")?,
        }
        let codes: Vec<CaseCode> = files
            .cases
            .iter()
            .filter_map(|(_, case)| case.code)
            .chain(given.iter().map(|(_, code)| *code))
            .collect();
        let held = held::tell_of(&mut *database.read().await?, &codes, complaints).await?;
        if !held.is_empty() {
            writeln!(
                complaints,
                "{}: held back until that is settled on the page of the case.",
                held::how_many(held.len())
            )?;
        }
        if let (Some(first), Some(last)) =
            (counts.iter().map(|cell| cell.month).min(), counts.iter().map(|cell| cell.month).max())
        {
            writeln!(out, "Imported procedures at risk from {} to {}.", first.in_words(), last.in_words())?;
        }
        database.close().await;
        Ok(Verdict::Fine)
    }

    fn counts(&self, vocabulary: &Vocabulary, problems: &mut Vec<String>) -> anyhow::Result<Vec<AtRisk>> {
        let Some(path) = &self.at_risk else {
            return Ok(Vec::new());
        };
        let bytes = read_bounded(path).with_context(|| format!("{} cannot be read", path.display()))?;
        Ok(at_risk::read(bytes, vocabulary).unwrap_or_else(|found| {
            problems.extend(found.iter().map(|problem| in_file(path, problem.in_file())));
            Vec::new()
        }))
    }
}

async fn refuse_taken_codes(conn: &mut SqliteConnection, files: &mut Files) -> anyhow::Result<()> {
    for (path, case) in &files.cases {
        let Some(code) = case.code else {
            continue;
        };
        let why = if store::find_id(conn, code).await?.is_some() {
            "There is a case"
        } else if store::was_given(conn, code).await? {
            "There was, and is withdrawn, a case"
        } else {
            continue;
        };
        files.problems.push(format!(
            "{}: {why} {code} already. Leave the code out to import this as a new case.",
            path.display()
        ));
    }
    Ok(())
}

/// Stores cases in the order of their files; gives the codes of those that had none.
///
/// Those with a code go first, so that none of the others is given a code that stands in a file.
pub(super) async fn insert<'p>(
    conn: &mut SqliteConnection,
    cases: &'p [(PathBuf, Case)],
    recorded_by: Option<i64>,
    now: Timestamp,
) -> anyhow::Result<Vec<(&'p Path, CaseCode)>> {
    let bar = progress("Storing", cases.len());
    let mut given = Vec::new();
    let (with_code, without): (Vec<_>, Vec<_>) = cases.iter().partition(|(_, case)| case.code.is_some());
    for (path, case) in with_code.into_iter().chain(without) {
        let code = store::insert(conn, case, recorded_by, now)
            .await
            .with_context(|| format!("{} could not be stored; nothing was imported", path.display()))?;
        if case.code.is_none() {
            given.push((path.as_path(), code));
        }
        bar.inc(1);
    }
    bar.finish_and_clear();
    Ok(given)
}
