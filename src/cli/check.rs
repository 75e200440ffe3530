//! `relook check`: what is wrong with case files. It changes nothing and makes nothing.

use std::io::Write;
use std::path::PathBuf;

use clap::Args;

use super::Verdict;
use super::data::DataFolder;
use super::files::Files;
use super::trees;
use crate::export::case_file::schema;

/// The arguments of `relook check`.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Check {
    /// Case files (.toml or .json), or folders of them
    #[arg(required_unless_present = "schema", value_name = "FILE|DIR")]
    files: Vec<PathBuf>,

    /// Print the JSON Schema of a case file instead
    #[arg(long, conflicts_with = "files")]
    schema: bool,
}

const EXAMPLES: &str = "\
Examples:
  relook check case.toml
  relook check cases/
  relook check --schema > case.schema.json

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
