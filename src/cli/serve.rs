//! `relook serve`: the department's server.

use std::io::Write;

use anyhow::Context;
use clap::Args;
use jiff::Timestamp;
use tokio::net::TcpListener;

use super::Verdict;
use super::address::{self, Address};
use super::data::DataFolder;
use super::lock;
use super::user::one_time_link;
use super::votes::VotesArguments;
use crate::accounts::{Role, store};
use crate::backup::desk::Desk;
use crate::backup::folder::BackupFolder;
use crate::database::Database;
use crate::web::{self, Doors, Settings, Stop};

/// The name of the account that the first start makes.
const FIRST: &str = "Quality lead";

/// The arguments of `relook serve`.
#[derive(Debug, Args)]
#[command(after_help = EXAMPLES)]
pub(super) struct Serve {
    /// Where to listen. The default is reached from this machine alone
    #[arg(long, env = "RELOOK_ADDRESS", default_value = address::DEFAULT, value_name = "HOST:PORT", hide_env_values = true)]
    address: Address,
    #[command(flatten)]
    votes: VotesArguments,
}

const EXAMPLES: &str = "\
Examples:
  relook serve
  relook serve --data /srv/relook --address 127.0.0.1:8080
  relook serve --votes-on 192.168.1.20:7351     let phones on the ward's network vote

Before you open it to a network, put a proxy with TLS in front. RUST_LOG sets what is logged to standard
error, such as RUST_LOG=relook=debug.";

impl Serve {
    pub(super) async fn run(self, data: &DataFolder, out: &mut dyn Write) -> anyhow::Result<Verdict> {
        let stop = Stop::listen()?;
        let listener = listen(&self.address).await?;
        let address = self.address.with_port(listener.local_addr()?.port());
        let phones = self.votes.open().await?;
        let _serving = lock::serve(&data.make()?)?;
        let database = data.open().await?;
        let backups = Some(Desk::new(BackupFolder::of(database.file())));
        if let Some(link) = first_account(&database, &address).await? {
            writeln!(
                out,
                "This is the first start. The account “{FIRST}” signs in with this link:\n\n{link}\n"
            )?;
        }
        if let Some(door) = &phones {
            writeln!(out, "{}", door.sentence())?;
        }
        writeln!(out, "Relook listens on http://{address}. Stop it with Ctrl-C.")?;
        if !address.is_this_machine() {
            writeln!(out, "It can be reached from other machines: put a proxy with TLS in front of it.")?;
        }
        out.flush()?;
        let (phones, votes_address) = phones.map(|door| (door.listener, door.address)).unzip();
        let settings = Settings { demo: false, votes_address, backups };
        web::serve(Doors { record: listener, phones }, database, settings, stop).await?;
        Ok(Verdict::Fine)
    }
}

/// Takes the address, or says why it cannot be had.
pub(super) async fn listen(address: &Address) -> anyhow::Result<TcpListener> {
    TcpListener::bind(address.to_string()).await.with_context(|| {
        format!("Relook cannot listen on {address}. Is it running already? Choose another with --address")
    })
}

/// Makes the first account when there is none, and gives its link.
async fn first_account(database: &Database, address: &Address) -> anyhow::Result<Option<String>> {
    let mut tx = database.write().await?;
    if !store::list(&mut tx).await?.is_empty() {
        return Ok(None);
    }
    let now = Timestamp::now();
    let id = store::insert(&mut tx, &FIRST.parse()?, Role::QualityLead, now).await?;
    let link = one_time_link(&mut tx, id, address, now).await?;
    tx.commit().await?;
    Ok(Some(link))
}
