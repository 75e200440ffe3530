//! `relook backup`: the whole record in one file, taken while people write.

use std::io::Write;
use std::path::PathBuf;

use clap::Args;

use super::Verdict;
use super::data::DataFolder;
use super::passphrase::{Asking, PassphraseArguments};
use crate::backup::write::{Order, write};

/// The arguments of `relook backup`.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Backup {
    /// Where the backup goes. A name that ends in .age is sealed with a passphrase (age format)
    file: PathBuf,

    /// Write over a file that is there
    #[arg(long)]
    replace: bool,

    #[command(flatten)]
    passphrase: PassphraseArguments,
}

const EXAMPLES: &str = "\
Examples:
  relook backup /mnt/stick/relook.sqlite
  relook backup /mnt/stick/relook.sqlite.age
  relook backup relook.sqlite.age --passphrase-file /root/relook.passphrase --replace

Nobody can open a sealed backup without its passphrase: keep it where the backup is not.
Exit code: 0 when the backup is written and verified, 1 when nothing was written.";

impl Backup {
    pub(super) async fn run(self, data: &DataFolder, out: &mut dyn Write) -> anyhow::Result<Verdict> {
        let source = data.existing()?;
        let passphrase = self.passphrase.get(&self.file, Asking::Twice)?;
        let target = self.file.clone();
        let sealed = passphrase.is_some();
        let proof = tokio::task::spawn_blocking(move || {
            write(&Order {
                source: &source,
                target: &self.file,
                replace: self.replace,
                passphrase: passphrase.as_ref(),
                wanted: &|| true,
            })
        })
        .await??;
        writeln!(out, "Wrote and verified {}: {proof}.", target.display())?;
        if sealed {
            writeln!(out, "It is sealed; the SHA-256 is of the database in it.")?;
        }
        Ok(Verdict::Fine)
    }
}
