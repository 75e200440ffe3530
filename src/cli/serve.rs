//! `relook serve`: the department's server.

use std::io::Write;

use anyhow::Context;
use clap::Args;
use jiff::Timestamp;
use tokio::net::TcpListener;

use super::Verdict;
use super::address::{self, Address};
use super::data::DataFolder;
use super::reach::{HostArguments, RateArguments, TlsArguments};
use super::user::one_time_link;
use super::votes::{PhoneDoor, VotesArguments};
use crate::accounts::{Role, store};
use crate::database::Database;
use crate::web::{self, Doors, Settings, Stop, Transport};

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
    hosts: HostArguments,
    #[command(flatten)]
    tls: TlsArguments,
    #[command(flatten)]
    rate: RateArguments,
    #[command(flatten)]
    votes: VotesArguments,
}

const EXAMPLES: &str = "\
Examples:
  relook serve
  relook serve --data /srv/relook --address 127.0.0.1:8080
  relook serve --votes-on 192.168.1.20:7351     let phones on the ward's network vote
  relook serve --address 10.0.0.7:443 --host review.example --tls-cert chain.pem --tls-key key.pem
  relook serve --host review.example --https    behind a proxy that speaks TLS

Before you open it to a network, give it a certificate or put a proxy with TLS in front. RUST_LOG sets what is logged to standard
error, such as RUST_LOG=relook=debug.";

impl Serve {
    pub(super) async fn run(self, data: &DataFolder, out: &mut dyn Write) -> anyhow::Result<Verdict> {
        let stop = Stop::listen()?;
        let certificate = self.tls.certificate()?;
        let listener = listen(&self.address).await?;
        let address = self.address.with_port(listener.local_addr()?.port());
        let seen = self.tls.seen(&address, self.hosts.given());
        let own = if self.tls.is_own() { Transport::Tls } else { Transport::Plain };
        let phones = self.votes.open(&self.hosts, own).await?;
        let database = data.open().await?;
        if let Some(link) = first_account(&database, &seen).await? {
            writeln!(
                out,
                "This is the first start. The account “{FIRST}” signs in with this link:\n\n{link}\n"
            )?;
        }
        if let Some(door) = &phones {
            writeln!(out, "{}", door.sentence())?;
        }
        if !address.is_this_machine() && self.tls.transport() == Transport::Plain {
            writeln!(
                out,
                "It can be reached from other machines without encryption: give it a certificate (--tls-cert), or put a proxy with TLS in front of it (--https)."
            )?;
        }
        writeln!(out, "Relook listens on {}. Stop it with Ctrl-C.", address.over(own).url())?;
        out.flush()?;
        let settings = Settings {
            hosts: self.hosts.of(&address),
            transport: self.tls.transport(),
            rate: self.rate.rate(),
            data_folder: Some(data.path()?),
            ..settings_of(phones.as_ref())
        };
        let doors = Doors { record: listener, phones: phones.map(|door| door.listener), certificate };
        web::serve(doors, database, settings, stop).await?;
        Ok(Verdict::Fine)
    }
}

/// How a server runs that has this door for phones.
pub(super) fn settings_of(phones: Option<&PhoneDoor>) -> Settings {
    let Some(door) = phones else {
        return Settings::default();
    };
    Settings {
        votes_address: Some(door.address.clone()),
        phone_hosts: door.hosts.clone(),
        phone_transport: door.address.transport(),
        ..Settings::default()
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
