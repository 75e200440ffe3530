//! The cookies of the application, made and read in one place.
//!
//! Each is out of reach of scripts (`HttpOnly`) and of other sites (`SameSite=Strict`). Where people come
//! over TLS it is `Secure`, and its name says so to the browser: `__Host-` ties it to this host alone and
//! to every path, `__Secure-` where it is kept to a part of the paths.

use axum::http::{HeaderMap, HeaderValue, header};
use axum::response::Response;
use axum_extra::extract::CookieJar;
use axum_extra::extract::cookie::{Cookie, SameSite};

/// How people reach the server.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum Transport {
    /// Without encryption: this machine alone, or a network that is trusted.
    #[default]
    Plain,
    /// Over TLS, the server's own or that of a proxy in front of it.
    Tls,
}

impl Transport {
    /// How its addresses begin.
    #[must_use]
    pub const fn scheme(self) -> &'static str {
        match self {
            Self::Plain => "http",
            Self::Tls => "https",
        }
    }
}

/// A cookie of ours.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Ours {
    /// The secret of a session. It goes with the browser's.
    Session,
    /// The wait of somebody whose code is asked for: another one, so that it is never taken for a session.
    Step,
    /// What is said on the next page, once.
    Notice,
    /// The device that votes.
    Device,
}

impl Ours {
    const fn bare_name(self) -> &'static str {
        match self {
            Self::Session => "relook_session",
            Self::Step => "relook_step",
            Self::Notice => "relook_notice",
            Self::Device => "relook_device",
        }
    }

    const fn path(self) -> &'static str {
        match self {
            Self::Session | Self::Notice => "/",
            Self::Step => "/sign-in",
            Self::Device => "/vote",
        }
    }

    /// How long the browser keeps it, in seconds; none is until the browser is closed.
    const fn seconds(self) -> Option<u64> {
        match self {
            Self::Session | Self::Step => None,
            Self::Notice => Some(60),
            // Longer than any conference.
            Self::Device => Some(12 * 60 * 60),
        }
    }

    fn name(self, transport: Transport) -> String {
        let prefix = match (transport, self.path()) {
            (Transport::Plain, _) => "",
            (Transport::Tls, "/") => "__Host-",
            (Transport::Tls, _) => "__Secure-",
        };
        format!("{prefix}{}", self.bare_name())
    }

    /// What it holds; none when the request has none.
    pub(super) fn read(self, jar: &CookieJar, transport: Transport) -> Option<String> {
        jar.get(&self.name(transport)).map(|cookie| cookie.value().to_owned())
    }

    /// As [`Self::read`], from the headers of a request.
    pub(super) fn read_headers(self, headers: &HeaderMap, transport: Transport) -> Option<String> {
        self.read(&CookieJar::from_headers(headers), transport)
    }

    /// The cookie with this value.
    pub(super) fn holding(self, value: impl Into<String>, transport: Transport) -> Cookie<'static> {
        let mut cookie = Cookie::build((self.name(transport), value.into()))
            .path(self.path())
            .http_only(true)
            .same_site(SameSite::Strict)
            .secure(transport == Transport::Tls);
        if let Some(seconds) = self.seconds() {
            cookie = cookie.max_age(std::time::Duration::from_secs(seconds).try_into().unwrap_or_default());
        }
        cookie.build()
    }

    /// The cookie that takes it away.
    pub(super) fn gone(self, transport: Transport) -> Cookie<'static> {
        let mut cookie = self.holding("", transport);
        cookie.make_removal();
        cookie
    }
}

/// Sends a cookie with an answer.
pub(super) fn send(response: &mut Response, cookie: &Cookie<'static>) {
    if let Ok(value) = HeaderValue::from_str(&cookie.encoded().to_string()) {
        response.headers_mut().append(header::SET_COOKIE, value);
    }
}

#[cfg(test)]
mod tests {
    use super::{Ours, Transport};

    const ALL: [Ours; 4] = [Ours::Session, Ours::Step, Ours::Notice, Ours::Device];

    #[test]
    fn every_cookie_is_out_of_reach_of_scripts_and_of_other_sites() {
        for ours in ALL {
            for transport in [Transport::Plain, Transport::Tls] {
                for cookie in [ours.holding("x", transport), ours.gone(transport)] {
                    let text = cookie.to_string();
                    assert!(text.contains("HttpOnly") && text.contains("SameSite=Strict"), "{text}");
                    assert!(!text.contains("Domain"), "{text}");
                    assert_eq!(
                        text.contains("Secure;") || text.ends_with("Secure"),
                        transport == Transport::Tls,
                        "{text}"
                    );
                }
            }
        }
    }

    #[test]
    fn over_tls_the_name_says_what_the_browser_must_hold_it_to() {
        let names = |transport| ALL.map(|ours| ours.holding("x", transport).name().to_owned());
        assert_eq!(
            names(Transport::Plain),
            ["relook_session", "relook_step", "relook_notice", "relook_device"]
        );
        assert_eq!(
            names(Transport::Tls),
            [
                "__Host-relook_session",
                "__Secure-relook_step",
                "__Host-relook_notice",
                "__Secure-relook_device"
            ]
        );
        // What `__Host-` asks for: RFC 6265bis, section 4.1.3.2 (from memory).
        assert_eq!(Ours::Session.holding("x", Transport::Tls).path(), Some("/"));
    }
}
