//! How people reach the server: under which names, over TLS or not, how often.

use std::path::PathBuf;

use clap::Args;

use super::address::Address;
use crate::web::{Certificate, HostName, Hosts, Rate, Transport};

/// The names under which people reach a server.
#[derive(Debug, Args)]
pub(super) struct HostArguments {
    /// A further name under which people reach the server, such as review.example; repeat it for more
    ///
    /// A request under any other name is refused, so that a page elsewhere cannot reach the server through
    /// somebody's browser. The address that it listens on is known already; on a loopback address so are
    /// localhost, 127.0.0.1 and [::1]. A name without a port stands for every port. A proxy in front has
    /// to pass on the Host that it was asked for.
    #[arg(
        long = "host",
        value_name = "NAME",
        env = "RELOOK_HOST",
        value_delimiter = ',',
        hide_env_values = true
    )]
    hosts: Vec<HostName>,
}

impl HostArguments {
    /// Every name of a server that listens on an address.
    pub(super) fn of(&self, address: &Address) -> Hosts {
        address.hosts().and(self.hosts.iter().cloned())
    }

    /// The names that were given.
    pub(super) fn given(&self) -> &[HostName] {
        &self.hosts
    }
}

/// TLS, of the server itself or of a proxy.
#[derive(Debug, Args)]
pub(super) struct TlsArguments {
    /// Speak TLS with this certificate and nothing else: a PEM file with the chain, its own first
    ///
    /// Renewed files are taken up on SIGHUP, without a break, and at the next start.
    #[arg(long, value_name = "FILE", env = "RELOOK_TLS_CERT", requires = "tls_key", hide_env_values = true)]
    tls_cert: Option<PathBuf>,
    /// The private key of the certificate: a PEM file without a passphrase
    #[arg(long, value_name = "FILE", env = "RELOOK_TLS_KEY", requires = "tls_cert", hide_env_values = true)]
    tls_key: Option<PathBuf>,
    /// A proxy in front speaks TLS: cookies and links are made for https
    #[arg(long, env = "RELOOK_HTTPS", conflicts_with = "tls_cert", hide_env_values = true)]
    https: bool,
}

impl TlsArguments {
    /// Reads the certificate when one was given, or says why it cannot be used.
    pub(super) fn certificate(&self) -> anyhow::Result<Option<Certificate>> {
        match self.tls_cert.as_ref().zip(self.tls_key.as_ref()) {
            Some((certificate, key)) => Ok(Some(Certificate::read(certificate, key)?)),
            None => Ok(None),
        }
    }

    /// Whether the server itself speaks TLS.
    pub(super) const fn is_own(&self) -> bool {
        self.tls_cert.is_some()
    }

    /// How people reach the server.
    pub(super) const fn transport(&self) -> Transport {
        if self.is_own() || self.https { Transport::Tls } else { Transport::Plain }
    }

    /// The address that people open: under the first name that was given, through the proxy where that
    /// speaks TLS.
    pub(super) fn seen(&self, address: &Address, names: &[HostName]) -> Address {
        let address = address.over(self.transport());
        match names.first() {
            None => address,
            Some(name) => {
                let usual = if self.https { 443 } else { address.port() };
                address.named(name.host(), name.port().unwrap_or(usual))
            }
        }
    }
}

/// How much one address may ask.
#[derive(Debug, Args)]
pub(super) struct RateArguments {
    /// How many requests one address may send in a second, over time; ten times as many at once. 0 is no
    /// bound
    #[arg(long, value_name = "NUMBER", env = "RELOOK_REQUESTS_PER_SECOND", default_value_t = Rate::USUAL, hide_env_values = true)]
    requests_per_second: u32,
}

impl RateArguments {
    pub(super) const fn rate(&self) -> Rate {
        Rate::per_second(self.requests_per_second)
    }
}
