//! The second door, for phones that vote: opened on purpose, with the address that phones see.

use anyhow::{Context as _, bail};
use clap::Args;
use tokio::net::TcpListener;

use super::address::Address;
use super::reach::HostArguments;
use crate::web::votes::VotesAddress;
use crate::web::{Hosts, Transport};

/// The arguments that open votes to phones.
#[derive(Debug, Args)]
pub(super) struct VotesArguments {
    /// Open a second address where phones vote at stop points, and nothing else
    ///
    /// The record cannot be reached there. Whoever is on that network can read the question and the
    /// options of an open vote; put a proxy with TLS in front where that matters.
    #[arg(long, value_name = "HOST:PORT")]
    votes_on: Option<Address>,
    /// The address of it that phones see, for the QR code. Default: http://HOST:PORT
    #[arg(long, value_name = "URL", requires = "votes_on")]
    votes_address: Option<VotesAddress>,
}

/// The open door.
pub(super) struct PhoneDoor {
    pub(super) listener: TcpListener,
    /// The names that it is known by.
    pub(super) hosts: Hosts,
    pub(super) address: VotesAddress,
}

impl PhoneDoor {
    /// What the terminal says of it.
    pub(super) fn sentence(&self) -> String {
        format!("Phones vote at {}, where nothing else can be reached.", self.address)
    }
}

impl VotesArguments {
    /// Opens the door when it was asked for; `own` is how the server itself speaks. Or says why it cannot be opened.
    pub(super) async fn open(
        self,
        names: &HostArguments,
        own: Transport,
    ) -> anyhow::Result<Option<PhoneDoor>> {
        let Some(on) = self.votes_on else {
            return Ok(None);
        };
        if on.is_every_address() && self.votes_address.is_none() {
            bail!(
                "Phones cannot open {on}, which stands for every address of this machine. Say which one they see with --votes-address, such as --votes-address http://192.168.1.20:{}",
                on.port()
            );
        }
        let listener = TcpListener::bind(on.to_string()).await.with_context(|| {
            format!("Phones cannot be served on {on}. Is it taken? Choose another with --votes-on")
        })?;
        let on = on.with_port(listener.local_addr()?.port());
        let address: VotesAddress = match self.votes_address {
            Some(address) => address,
            None => on.over(own).url().parse()?,
        };
        let hosts = names.of(&on).and(address.host());
        Ok(Some(PhoneDoor { listener, hosts, address }))
    }
}
