//! The passphrase of a sealed backup: from a file, or asked for at the terminal. Never from the command
//! line, which other people of the machine can see.

use std::io::{IsTerminal as _, Read as _};
use std::path::{Path, PathBuf};

use anyhow::{Context, bail};
use clap::Args;

use crate::backup::seal::{Passphrase, is_sealed};

/// The arguments that say where the passphrase comes from.
#[derive(Debug, Args)]
pub(super) struct PassphraseArguments {
    /// A file whose first line is the passphrase of a sealed backup (.age); "-" reads standard input
    ///
    /// Without it the passphrase is asked for at the terminal.
    #[arg(long, value_name = "FILE")]
    passphrase_file: Option<PathBuf>,
}

/// More than a passphrase can be.
const FILE_AT_MOST: u64 = 8 * 1_024;

impl PassphraseArguments {
    /// The passphrase for a backup of this name; none when the name is that of a plain one.
    pub(super) fn get(&self, backup: &Path, how: Asking) -> anyhow::Result<Option<Passphrase>> {
        match &self.passphrase_file {
            Some(file) => Ok(Some(read(file)?)),
            None if is_sealed(backup) => Ok(Some(ask(how)?)),
            None => Ok(None),
        }
    }
}

/// How often a passphrase is asked for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Asking {
    /// It opens something: a wrong one does not.
    Once,
    /// It seals something: a mistyped one would seal it for good.
    Twice,
}

fn read(file: &Path) -> anyhow::Result<Passphrase> {
    let mut text = String::new();
    if file == Path::new("-") {
        std::io::stdin().take(FILE_AT_MOST).read_to_string(&mut text)
    } else {
        std::fs::File::open(file).and_then(|open| open.take(FILE_AT_MOST).read_to_string(&mut text))
    }
    .with_context(|| format!("The passphrase file {} cannot be read", file.display()))?;
    Ok(text.parse()?)
}

fn ask(how: Asking) -> anyhow::Result<Passphrase> {
    if !std::io::stdin().is_terminal() {
        bail!(
            "A name that ends in .age is for a sealed backup. Give its passphrase with --passphrase-file FILE, or run this at a terminal."
        );
    }
    let typed = rpassword::prompt_password("Passphrase: ").context("The passphrase cannot be read")?;
    if how == Asking::Twice
        && rpassword::prompt_password("Once more: ").context("The passphrase cannot be read")? != typed
    {
        bail!("The two are not the same. Nothing was written.");
    }
    Ok(typed.parse()?)
}
