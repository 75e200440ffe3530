//! The names that a server is known by, and why a request under any other is refused.
//!
//! A page elsewhere can point a name of its own at this machine's address after it was loaded (DNS
//! rebinding); its scripts then reach a server that listens on loopback as if it were theirs. Their requests
//! carry their name, which no server of ours is known by.

use std::net::IpAddr;
use std::str::FromStr;

use axum::http::HeaderMap;
use axum::http::header;
use axum::http::uri::{Authority, Uri};

/// A host, and perhaps a port, under which people reach the server.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HostName {
    /// In lower case; an IPv6 address in its brackets.
    host: String,
    /// None stands for every port.
    port: Option<u16>,
}

/// Why a text is no host.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("a host is a name or an address and perhaps a port, such as review.example or review.example:8443")]
pub struct HostNameError;

impl HostName {
    /// The host, without its port.
    #[must_use]
    pub fn host(&self) -> &str {
        &self.host
    }

    /// Its port, when one was named.
    #[must_use]
    pub const fn port(&self) -> Option<u16> {
        self.port
    }

    fn is(&self, given: &Self) -> bool {
        let port_is_right = match (self.port, given.port) {
            (None, _) => true,
            (Some(port), Some(given)) => port == given,
            // A browser leaves out the usual port of its scheme.
            (Some(port), None) => matches!(port, 80 | 443),
        };
        self.host == given.host && port_is_right
    }

    fn ip(&self) -> Option<IpAddr> {
        self.host.trim_start_matches('[').trim_end_matches(']').parse().ok()
    }
}

impl FromStr for HostName {
    type Err = HostNameError;
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let authority: Authority = text.trim().parse().map_err(|_| HostNameError)?;
        let host = authority.host();
        let bracketed = host.strip_prefix('[').and_then(|host| host.strip_suffix(']'));
        let is_host = match bracketed {
            Some(bare) => bare.parse::<std::net::Ipv6Addr>().is_ok(),
            None => {
                !host.is_empty()
                    && host.bytes().all(|b| b.is_ascii_alphanumeric() || matches!(b, b'.' | b'-' | b'_'))
            }
        };
        // What stands behind the host is nothing or a port; the library lets names of people pass.
        let rest = authority.as_str().strip_prefix(host).ok_or(HostNameError)?;
        // Of what stands behind the colon, the library lets a sign pass too.
        let digits = rest.strip_prefix(':').is_some_and(|port| port.bytes().all(|b| b.is_ascii_digit()));
        let port_is_right = rest.is_empty() || (digits && authority.port_u16().is_some());
        if !is_host || !port_is_right {
            return Err(HostNameError);
        }
        Ok(Self { host: host.to_ascii_lowercase(), port: authority.port_u16() })
    }
}

/// The names that a server is known by.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Hosts {
    names: Vec<HostName>,
    /// On every address of the machine, any IP address with this port is right: an address cannot be
    /// pointed elsewhere as a name can.
    any_address_at: Option<u16>,
}

/// The names of this machine for itself.
const OWN: [&str; 3] = ["localhost", "127.0.0.1", "[::1]"];

impl Default for Hosts {
    /// This machine, at any port.
    fn default() -> Self {
        Self { names: own(None), any_address_at: None }
    }
}

fn own(port: Option<u16>) -> Vec<HostName> {
    OWN.iter().map(|host| HostName { host: (*host).to_owned(), port }).collect()
}

impl Hosts {
    /// The names of a server that listens on an address: of a loopback address all names of this machine
    /// for itself, of another address that address, each with the port.
    #[must_use]
    pub fn of_address(host: &str, port: u16) -> Self {
        let name = HostName { host: host.to_ascii_lowercase(), port: Some(port) };
        match name.ip() {
            Some(ip) if ip.is_unspecified() => Self { names: own(Some(port)), any_address_at: Some(port) },
            Some(ip) if !ip.is_loopback() => Self { names: vec![name], any_address_at: None },
            None if name.host != "localhost" => Self { names: vec![name], any_address_at: None },
            _ => Self { names: own(Some(port)).into_iter().chain([name]).collect(), any_address_at: None },
        }
    }

    /// The same, known by further names too.
    #[must_use]
    pub fn and(mut self, names: impl IntoIterator<Item = HostName>) -> Self {
        self.names.extend(names);
        self
    }

    /// Whether the server is known by this name, as it stands in a request.
    #[must_use]
    pub fn knows(&self, text: &str) -> bool {
        let Ok(given) = text.parse::<HostName>() else {
            return false;
        };
        let by_address = self.any_address_at.is_some_and(|port| {
            given.ip().is_some_and(|ip| !ip.is_unspecified())
                && HostName { host: given.host.clone(), port: Some(port) }.is(&given)
        });
        by_address || self.names.iter().any(|name| name.is(&given))
    }

    /// Whether a request is meant for this server: it names one host, which is known, in its header, and the
    /// same where its address holds one too.
    pub(super) fn is_meant(&self, headers: &HeaderMap, uri: &Uri) -> bool {
        let mut named = headers.get_all(header::HOST).iter();
        let (Some(host), None) = (named.next(), named.next()) else {
            return false;
        };
        host.to_str().is_ok_and(|host| self.knows(host))
            && uri.authority().is_none_or(|authority| self.knows(authority.as_str()))
    }

    /// Whether an `Origin` is a page of this server.
    pub(super) fn is_own_origin(&self, origin: &str, scheme: &str) -> bool {
        origin.split_once("://").is_some_and(|(given, host)| given == scheme && self.knows(host))
    }
}

#[cfg(test)]
mod tests {
    use super::{HostName, Hosts};

    fn name(text: &str) -> HostName {
        text.parse().unwrap_or_else(|_| unreachable!("{text}"))
    }

    #[test]
    fn a_loopback_server_is_known_by_the_names_of_this_machine_with_its_port() {
        for address in ["127.0.0.1", "localhost", "[::1]", "LOCALHOST"] {
            let hosts = Hosts::of_address(address, 7350);
            for known in ["localhost:7350", "LocalHost:7350", "127.0.0.1:7350", "[::1]:7350"] {
                assert!(hosts.knows(known), "{address}: {known}");
            }
            for foreign in [
                "evil.example:7350",
                "localhost.evil.example:7350",
                "evil-localhost:7350",
                "localhost:7351",
                "localhost",
                "127.0.0.1",
                "127.0.0.2:7350",
                "0.0.0.0:7350",
                "[::ffff:127.0.0.1]:7350",
                "localhost:7350@evil.example",
                "evil.example@localhost:7350",
                "localhost:7350:7350",
                "localhost:",
                "localhost.:7350",
                "localhost:7350/x",
                "localhost:+7350",
                "localhost:99999",
                " ",
                "",
            ] {
                assert!(!hosts.knows(foreign), "{address}: {foreign}");
            }
        }
    }

    #[test]
    fn another_address_is_known_by_itself_and_by_what_it_is_told() {
        let hosts = Hosts::of_address("10.0.0.7", 7350);
        assert!(hosts.knows("10.0.0.7:7350"));
        assert!(!hosts.knows("localhost:7350") && !hosts.knows("10.0.0.8:7350"));
        let hosts = hosts.and([name("Review.Example"), name("review.ward:8443")]);
        for known in ["review.example", "review.example:443", "REVIEW.example:7350", "review.ward:8443"] {
            assert!(hosts.knows(known), "{known}");
        }
        assert!(!hosts.knows("review.ward") && !hosts.knows("other.example"));
    }

    #[test]
    fn every_address_of_the_machine_is_known_by_any_address_and_by_no_foreign_name() {
        for every in ["0.0.0.0", "[::]"] {
            let hosts = Hosts::of_address(every, 7350);
            for known in ["10.1.2.3:7350", "[fe80::1]:7350", "127.0.0.1:7350", "localhost:7350"] {
                assert!(hosts.knows(known), "{known}");
            }
            for foreign in ["evil.example:7350", "10.1.2.3:80", "10.1.2.3", "0.0.0.0:7350"] {
                assert!(!hosts.knows(foreign), "{foreign}");
            }
        }
    }

    #[test]
    fn the_usual_ports_are_left_out_by_browsers() {
        let hosts = Hosts::of_address("10.0.0.7", 443);
        assert!(hosts.knows("10.0.0.7") && hosts.knows("10.0.0.7:443") && !hosts.knows("10.0.0.7:80"));
    }

    #[test]
    fn an_origin_is_a_scheme_and_a_known_host() {
        let hosts = Hosts::default();
        assert!(hosts.is_own_origin("http://localhost:7350", "http"));
        for foreign in [
            "null",
            "",
            "https://localhost:7350",
            "http://evil.example",
            "http://evil.example:7350",
            "http://localhost:7350/",
            "http:localhost",
            "file://",
        ] {
            assert!(!hosts.is_own_origin(foreign, "http"), "{foreign}");
        }
    }
}
