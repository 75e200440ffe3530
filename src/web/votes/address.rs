//! The address under which phones find the votes.

use std::fmt;
use std::net::IpAddr;
use std::str::FromStr;

use crate::conference::votes::PollCode;
use crate::web::{HostName, Transport};

/// The address that phones see: scheme, host and perhaps a port, such as `http://192.168.1.20:7351`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct VotesAddress(String);

/// Why a text is no address for phones.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum AddressError {
    /// Not scheme, host and port.
    #[error(
        "the address for phones is http:// or https:// with a host and perhaps a port, such as http://192.168.1.20:7351"
    )]
    Form,
    /// A host that stands for all of a machine's addresses.
    #[error(
        "phones cannot open {0}: it stands for every address of this machine. Give the one that they see, such as http://192.168.1.20:7351"
    )]
    Unspecified(IpAddr),
}

impl VotesAddress {
    /// The host that it names.
    #[must_use]
    pub fn host(&self) -> Option<HostName> {
        self.0.split_once("://")?.1.parse().ok()
    }

    /// How phones reach it.
    #[must_use]
    pub fn transport(&self) -> Transport {
        if self.0.starts_with("https:") { Transport::Tls } else { Transport::Plain }
    }

    /// Where a phone votes in a poll.
    #[must_use]
    pub fn of(&self, code: &PollCode) -> String {
        format!("{}/vote/{code}", self.0)
    }
}

impl FromStr for VotesAddress {
    type Err = AddressError;
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let text = text.trim();
        let (scheme, rest) = text.split_once("://").ok_or(AddressError::Form)?;
        let scheme = scheme.to_ascii_lowercase();
        let authority = rest.strip_suffix('/').unwrap_or(rest);
        let (host, port) = match authority.rsplit_once(':') {
            Some((host, port)) if !port.ends_with(']') => (host, Some(port)),
            _ => (authority, None),
        };
        let port_is_good = port.is_none_or(|port| {
            port.bytes().all(|byte| byte.is_ascii_digit()) && port.parse::<u16>().is_ok_and(|port| port > 0)
        });
        let bare = host.strip_prefix('[').and_then(|host| host.strip_suffix(']'));
        let host_is_good = match bare {
            Some(bare) => bare.parse::<std::net::Ipv6Addr>().is_ok(),
            None => {
                !host.is_empty()
                    && host.bytes().all(|b| b.is_ascii_alphanumeric() || matches!(b, b'.' | b'-'))
            }
        };
        if !matches!(scheme.as_str(), "http" | "https") || !port_is_good || !host_is_good {
            return Err(AddressError::Form);
        }
        match bare.unwrap_or(host).parse::<IpAddr>() {
            Ok(ip) if ip.is_unspecified() => Err(AddressError::Unspecified(ip)),
            _ => Ok(Self(format!("{scheme}://{authority}"))),
        }
    }
}

impl fmt::Display for VotesAddress {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

#[cfg(test)]
mod tests {
    use super::{AddressError, VotesAddress};

    fn address(text: &str) -> Result<String, AddressError> {
        text.parse::<VotesAddress>().map(|address| address.to_string())
    }

    #[test]
    fn an_address_is_a_scheme_a_host_and_perhaps_a_port() {
        for good in
            ["http://10.0.0.7:7351", "https://votes.ward.example", "http://[fe80::1]:80", "http://[fe80::1]"]
        {
            assert_eq!(address(good).as_deref(), Ok(good));
        }
        assert_eq!(address(" HTTP://ward-7/ ").as_deref(), Ok("http://ward-7"));
        for bad in [
            "",
            "10.0.0.7:7351",
            "ftp://a",
            "http://",
            "http://a:0",
            "http://a:99999",
            "http://a:+1",
            "http://a:",
            "http://a/path",
            "http://a//",
            "http://a b",
            "http://u@a",
            "http://a?q",
            "http://[x]:80",
        ] {
            assert_eq!(address(bad), Err(AddressError::Form), "{bad}");
        }
        for every in ["http://0.0.0.0:80", "http://[::]:80"] {
            assert!(matches!(address(every), Err(AddressError::Unspecified(_))), "{every}");
        }
    }

    #[test]
    fn a_poll_has_an_address_of_its_own() {
        let address: VotesAddress = "http://10.0.0.7:7351/".parse().expect("an address");
        let code = "k7m3xq".parse().expect("a code");
        assert_eq!(address.of(&code), "http://10.0.0.7:7351/vote/k7m3xq");
    }
}
