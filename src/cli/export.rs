//! `relook export`: cases to files that `relook import` reads again.

use std::io::Write;
use std::path::{Path, PathBuf};

use anyhow::{Context, bail};
use clap::{Args, ValueEnum};

use super::Verdict;
use super::data::{DataFolder, make_folder};
use super::export_all;
use super::files::progress;
use super::held;
use crate::case::{Case, CaseCode, store};
use crate::database::Database;
use crate::export::case_file::{to_json, to_toml};

/// The arguments of `relook export`.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Export {
    /// Codes of the cases, such as 2026-014; every case when left out
    #[arg(value_name = "CODE")]
    codes: Vec<CaseCode>,

    /// Everything, as open files: cases, summaries, minutes, rates, and the tables of the record
    ///
    /// JSON with its schema, TOML, Markdown and CSV, with a README.md that says what each file is.
    /// Passwords, open sessions and judgements that are closed stay.
    #[arg(long, conflicts_with_all = ["codes", "format"])]
    all: bool,

    /// The folder to write to, made when it is absent; "-" prints one case
    #[arg(long, value_name = "DIR")]
    to: PathBuf,

    /// How the files are written: toml for people, json for programs
    #[arg(long, value_enum, default_value_t = Format::Toml)]
    format: Format,

    /// Also what is held back because it may identify somebody
    ///
    /// Without it nothing is written while a case that was asked for holds such words.
    #[arg(long)]
    held: bool,

    /// Write over files that are there
    #[arg(long)]
    force: bool,
}

const EXAMPLES: &str = "\
Examples:
  relook export --to outbox
  relook export 2026-014 2026-015 --to outbox --format json
  relook export 2026-014 --to -
  relook export --all --to everything

Exit code: 0 when all was written, 1 when nothing was.";

#[derive(Debug, Clone, Copy, ValueEnum)]
enum Format {
    Toml,
    Json,
}

impl Format {
    fn write(self, case: &Case) -> String {
        match self {
            Self::Toml => to_toml(case),
            Self::Json => to_json(case),
        }
    }

    const fn end(self) -> &'static str {
        match self {
            Self::Toml => "toml",
            Self::Json => "json",
        }
    }
}

impl Export {
    pub(super) async fn run(
        self,
        data: &DataFolder,
        out: &mut dyn Write,
        complaints: &mut dyn Write,
    ) -> anyhow::Result<Verdict> {
        let database = data.open_existing().await?;
        if self.all {
            let codes = store::codes(&mut *database.read().await?).await?;
            if self.refuses(&database, &codes, complaints).await? {
                return Ok(Verdict::Problems);
            }
            return export_all::run(&database, &self.to, self.force, out, complaints).await;
        }
        let mut codes = self.known_codes(&database, complaints).await?;
        if self.codes.len() > codes.len() {
            return Ok(Verdict::Problems);
        }
        codes.dedup();
        if self.refuses(&database, &codes, complaints).await? {
            return Ok(Verdict::Problems);
        }
        if self.to == Path::new("-") {
            let [code] = codes.as_slice() else {
                bail!("Only one case can be printed. Give one code, or a folder to write to.");
            };
            let case = find(&database, *code).await?;
            out.write_all(self.format.write(&case).as_bytes())?;
            return Ok(Verdict::Fine);
        }
        let taken = if self.force { 0 } else { self.tell_taken(&codes, complaints)? };
        if taken > 0 {
            writeln!(complaints, "Nothing was written. Write over them with --force.")?;
            return Ok(Verdict::Problems);
        }
        make_folder(&self.to).with_context(|| format!("The folder {} cannot be made", self.to.display()))?;
        let bar = progress("Writing", codes.len());
        for code in &codes {
            let path = self.file_of(*code);
            let text = self.format.write(&find(&database, *code).await?);
            write_whole(&path, text.as_bytes())
                .with_context(|| format!("{} cannot be written", path.display()))?;
            bar.inc(1);
        }
        bar.finish_and_clear();
        database.close().await;
        let cases = if codes.len() == 1 { "1 case".to_owned() } else { format!("{} cases", codes.len()) };
        writeln!(out, "Wrote {cases} to {}.", self.to.display())?;
        Ok(Verdict::Fine)
    }

    /// Tells what may identify somebody in these cases, and whether that keeps them from being written.
    async fn refuses(
        &self,
        database: &Database,
        codes: &[CaseCode],
        complaints: &mut dyn Write,
    ) -> anyhow::Result<bool> {
        let held = held::tell_of(&mut *database.read().await?, codes, complaints).await?;
        if held.is_empty() || self.held {
            return Ok(false);
        }
        writeln!(
            complaints,
            "{}. Nothing was written. Settle that on the page of the case, or write all of it with --held.",
            held::how_many(held.len())
        )?;
        Ok(true)
    }

    fn file_of(&self, code: CaseCode) -> PathBuf {
        self.to.join(format!("{code}.{}", self.format.end()))
    }

    /// The codes that were asked for, in order, without those that no case has: these are told.
    async fn known_codes(
        &self,
        database: &Database,
        complaints: &mut dyn Write,
    ) -> anyhow::Result<Vec<CaseCode>> {
        let all = store::codes(&mut *database.read().await?).await?;
        if self.codes.is_empty() {
            return Ok(all);
        }
        let mut known = Vec::new();
        for code in &self.codes {
            if all.contains(code) {
                known.push(*code);
            } else {
                writeln!(complaints, "There is no case {code}. Nothing was written.")?;
            }
        }
        known.sort_unstable();
        Ok(known)
    }

    /// Tells of the files that are there already, and how many they are.
    fn tell_taken(&self, codes: &[CaseCode], complaints: &mut dyn Write) -> std::io::Result<usize> {
        let taken: Vec<PathBuf> =
            codes.iter().map(|code| self.file_of(*code)).filter(|path| path.exists()).collect();
        for path in &taken {
            writeln!(complaints, "{} is there already.", path.display())?;
        }
        Ok(taken.len())
    }
}

async fn find(database: &Database, code: CaseCode) -> anyhow::Result<Case> {
    let found = store::find(&mut *database.read().await?, code).await?;
    found.map(|stored| stored.to_case()).with_context(|| format!("The case {code} went away meanwhile"))
}

/// Writes a file beside its place and moves it there, so that a full disk leaves no half file
/// under the name of a case.
pub(super) fn write_whole(path: &Path, content: &[u8]) -> std::io::Result<()> {
    let beside = path.with_extension("part");
    std::fs::write(&beside, content)?;
    std::fs::rename(&beside, path)
}
