//! Where the server listens, and the links that lead there.

use std::fmt;
use std::net::IpAddr;
use std::str::FromStr;

use crate::accounts::Secret;
use crate::web::{Hosts, Transport};

/// Where the server listens unless told otherwise: this machine alone.
pub(super) const DEFAULT: &str = "127.0.0.1:7350";

/// A host and a port.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Address {
    host: String,
    port: u16,
    transport: Transport,
}

#[derive(Debug, thiserror::Error)]
#[error("an address is a host and a port, such as 127.0.0.1:7350")]
pub(super) struct AddressError;

impl Address {
    pub(super) const fn port(&self) -> u16 {
        self.port
    }

    pub(super) fn with_port(&self, port: u16) -> Self {
        Self { port, ..self.clone() }
    }

    /// The same, reached like this.
    pub(super) fn over(&self, transport: Transport) -> Self {
        Self { transport, ..self.clone() }
    }

    /// The same under another name.
    pub(super) fn named(&self, host: &str, port: u16) -> Self {
        Self { host: host.to_owned(), port, transport: self.transport }
    }

    /// The names that a server which listens here is known by.
    pub(super) fn hosts(&self) -> Hosts {
        Hosts::of_address(&self.host, self.port)
    }

    /// The host as an IP address; none when it is a name.
    fn ip(&self) -> Option<IpAddr> {
        self.host.trim_start_matches('[').trim_end_matches(']').parse().ok()
    }

    /// Whether only programs on this machine reach it.
    pub(super) fn is_this_machine(&self) -> bool {
        self.host == "localhost" || self.ip().is_some_and(|ip| ip.is_loopback())
    }

    /// Whether it stands for every address of the machine, so that no link can name it.
    pub(super) fn is_every_address(&self) -> bool {
        self.ip().is_some_and(|ip| ip.is_unspecified())
    }

    /// What a browser opens. Where the server listens on every address of the machine, it names the one
    /// that always works on it.
    pub(super) fn url(&self) -> String {
        let host = match self.host.as_str() {
            "0.0.0.0" => "127.0.0.1",
            "[::]" => "[::1]",
            host => host,
        };
        let scheme = self.transport.scheme();
        match (self.transport, self.port) {
            (Transport::Tls, 443) => format!("{scheme}://{host}"),
            (_, port) => format!("{scheme}://{host}:{port}"),
        }
    }

    /// The link that signs in with a secret.
    pub(super) fn sign_in_link(&self, secret: &Secret) -> String {
        format!("{}/sign-in/link/{}", self.url(), secret.expose())
    }
}

impl fmt::Display for Address {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}:{}", self.host, self.port)
    }
}

impl FromStr for Address {
    type Err = AddressError;
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let (host, port) = text.trim().rsplit_once(':').ok_or(AddressError)?;
        let port = port.parse().map_err(|_| AddressError)?;
        let bracketed = host.starts_with('[') && host.ends_with(']');
        let plain =
            !host.is_empty() && host.chars().all(|c| c.is_ascii_alphanumeric() || matches!(c, '.' | '-'));
        if plain || bracketed && host[1..host.len() - 1].parse::<std::net::Ipv6Addr>().is_ok() {
            Ok(Self { host: host.to_owned(), port, transport: Transport::Plain })
        } else {
            Err(AddressError)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Address;
    use crate::accounts::Secret;
    use crate::web::Transport;

    fn address(text: &str) -> Option<Address> {
        text.parse().ok()
    }

    #[test]
    fn an_address_is_a_host_and_a_port() {
        for good in ["127.0.0.1:7350", "localhost:80", "[::1]:7350", "review-1.example:65535", "0.0.0.0:0"] {
            assert_eq!(address(good).map(|a| a.to_string()).as_deref(), Some(good));
        }
        for bad in [
            "",
            "7350",
            ":7350",
            "127.0.0.1",
            "a:99999",
            "http://a:80",
            "a b:80",
            "::1:80",
            "[]:80",
            "[x]:80",
            "[:80",
        ] {
            assert_eq!(address(bad), None, "{bad}");
        }
    }

    #[test]
    fn loopback_is_this_machine() {
        for (text, own) in [
            ("127.0.0.1:1", true),
            ("localhost:1", true),
            ("[::1]:1", true),
            ("0.0.0.0:1", false),
            ("10.0.0.7:1", false),
        ] {
            assert_eq!(address(text).map(|a| a.is_this_machine()), Some(own), "{text}");
        }
    }

    #[test]
    fn an_unspecified_address_is_every_address() {
        for (text, every) in [
            ("0.0.0.0:1", true),
            ("[::]:1", true),
            ("[::1]:1", false),
            ("ward-7:1", false),
            ("10.0.0.7:1", false),
        ] {
            assert_eq!(address(text).map(|a| a.is_every_address()), Some(every), "{text}");
        }
    }

    #[test]
    fn a_link_names_an_address_that_can_be_opened() {
        let secret = Secret::from_text(&"a1".repeat(32)).expect("a secret");
        let link = |text: &str| address(text).map(|a| a.sign_in_link(&secret)).unwrap_or_default();
        assert!(link("0.0.0.0:80").starts_with("http://127.0.0.1:80/sign-in/link/a1a1"));
        assert!(link("[::]:80").starts_with("http://[::1]:80/sign-in/link/a1a1"));
        let over_tls = |text: &str| {
            address(text).map(|a| a.over(Transport::Tls).sign_in_link(&secret)).unwrap_or_default()
        };
        assert!(over_tls("review.example:443").starts_with("https://review.example/sign-in/link/a1a1"));
        assert!(over_tls("review.example:7350").starts_with("https://review.example:7350/sign-in/link/"));
        assert!(link("review.example:80").starts_with("http://review.example:80/sign-in/link/a1a1"));
    }
}
