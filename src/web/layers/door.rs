//! The door: whether a request is meant for this server, whether it comes from a page of ours, and whether
//! its sender asks for too much at once.

use std::net::{IpAddr, Ipv6Addr, SocketAddr};
use std::num::NonZeroU32;
use std::sync::Arc;
use std::sync::atomic::{AtomicU32, Ordering};

use axum::extract::{ConnectInfo, Request, State};
use axum::http::{HeaderValue, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};
use governor::clock::{Clock, DefaultClock};
use governor::{DefaultKeyedRateLimiter, Quota, RateLimiter};

use crate::web::cookie::Transport;
use crate::web::hosts::Hosts;

/// How many requests one address may send in a second, over time; ten times as many at once.
///
/// A page is about ten requests, a presenting window asks once in a second: 200 in a second is fifty people
/// of a ward, behind one address, who all open a page every few seconds, and 2,000 at once is all of them
/// coming back after a break, or a lecture hall of phones that scan the same code.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Rate(Option<NonZeroU32>);

impl Rate {
    /// The usual one.
    pub const USUAL: u32 = 200;
    /// How many seconds' worth may come at once.
    const AT_ONCE: u32 = 10;

    /// So many in a second; 0 is no bound.
    #[must_use]
    pub const fn per_second(number: u32) -> Self {
        Self(NonZeroU32::new(number))
    }
}

impl Default for Rate {
    fn default() -> Self {
        Self::per_second(Self::USUAL)
    }
}

/// How often senders that were not heard of for long are forgotten, in requests.
const TIDY_AFTER: u32 = 4_096;

/// Counts the requests of each sender.
struct Limiter {
    senders: DefaultKeyedRateLimiter<IpAddr>,
    since_tidied: AtomicU32,
}

impl Limiter {
    fn new(rate: Rate) -> Option<Self> {
        let each = rate.0?;
        let quota = Quota::per_second(each)
            .allow_burst(each.saturating_mul(NonZeroU32::MIN.saturating_add(Rate::AT_ONCE - 1)));
        Some(Self { senders: RateLimiter::keyed(quota), since_tidied: AtomicU32::new(0) })
    }

    /// Counts a request; how many seconds its sender waits when it is one too many.
    fn too_many(&self, sender: IpAddr) -> Option<u64> {
        if self.since_tidied.fetch_add(1, Ordering::Relaxed) >= TIDY_AFTER {
            self.since_tidied.store(0, Ordering::Relaxed);
            self.senders.retain_recent();
        }
        let refused = self.senders.check_key(&counted_as(sender)).err()?;
        let wait = refused.wait_time_from(DefaultClock::default().now());
        Some(wait.as_secs() + 1)
    }
}

/// An IPv6 sender has a whole network of addresses to itself, which is counted as one.
fn counted_as(sender: IpAddr) -> IpAddr {
    match sender.to_canonical() {
        IpAddr::V6(ip) => {
            let [a, b, c, d, ..] = ip.segments();
            IpAddr::V6(Ipv6Addr::new(a, b, c, d, 0, 0, 0, 0))
        }
        ip => ip,
    }
}

/// What a door lets in.
pub(super) struct Door {
    hosts: Hosts,
    transport: Transport,
    limiter: Option<Limiter>,
}

impl Door {
    pub(super) fn new(hosts: Hosts, transport: Transport, rate: Rate) -> Self {
        Self { hosts, transport, limiter: Limiter::new(rate) }
    }
}

const NOT_MEANT: &str = "Relook does not answer under the name in this request. Open the address that whoever keeps the server gave you; they can add a name with --host NAME.\n";

const TOO_MANY: &str = "Too many requests came from your address at once. Nothing of this one was saved; wait a moment and send it again.\n";

/// Refuses a request that is not meant for this server, before anything of it is looked at, and one of too
/// many. The refusals are plain sentences: who gets them may be no person of ours.
pub(super) async fn check_door(State(door): State<Arc<Door>>, request: Request, next: Next) -> Response {
    if !door.hosts.is_meant(request.headers(), request.uri()) {
        return (StatusCode::MISDIRECTED_REQUEST, NOT_MEANT).into_response();
    }
    let sender = request.extensions().get::<ConnectInfo<SocketAddr>>().map(|peer| peer.0.ip());
    let wait = door.limiter.as_ref().zip(sender).and_then(|(limiter, sender)| limiter.too_many(sender));
    if let Some(seconds) = wait {
        let mut response = (StatusCode::TOO_MANY_REQUESTS, TOO_MANY).into_response();
        response.headers_mut().insert(header::RETRY_AFTER, HeaderValue::from(seconds));
        return response;
    }
    next.run(request).await
}

/// Refuses what changes something and names another page than ours as its origin. The library before this
/// one looks at what browsers say of the site; it lets an origin pass where they call it the same.
pub(super) async fn check_origin(State(door): State<Arc<Door>>, request: Request, next: Next) -> Response {
    let scheme = door.transport.scheme();
    let mut origins = request.headers().get_all(header::ORIGIN).iter();
    let is_own =
        |origin: &HeaderValue| origin.to_str().is_ok_and(|origin| door.hosts.is_own_origin(origin, scheme));
    if request.method().is_safe() || origins.all(is_own) {
        return next.run(request).await;
    }
    StatusCode::FORBIDDEN.into_response()
}

#[cfg(test)]
mod tests {
    use std::net::IpAddr;

    use super::{Limiter, Rate, counted_as};

    fn ip(text: &str) -> IpAddr {
        text.parse().unwrap_or_else(|_| unreachable!("{text}"))
    }

    #[test]
    fn a_sender_is_refused_after_ten_seconds_worth_at_once_and_others_are_not() {
        let limiter = Limiter::new(Rate::per_second(2)).unwrap();
        let refused = (0..40).filter(|_| limiter.too_many(ip("10.0.0.7")).is_some()).count();
        // While this runs a request or two become free again.
        assert!((15..=20).contains(&refused), "{refused} of 40");
        assert!(limiter.too_many(ip("10.0.0.7")).is_some_and(|seconds| (1..=2).contains(&seconds)));
        assert_eq!(limiter.too_many(ip("10.0.0.8")), None);
        assert!(Limiter::new(Rate::per_second(0)).is_none());
    }

    #[test]
    fn senders_that_were_not_heard_of_for_long_are_forgotten() {
        let limiter = Limiter::new(Rate::per_second(1_000_000)).unwrap();
        for number in 0..20_000_u32 {
            limiter.too_many(IpAddr::from(number.to_be_bytes()));
        }
        assert!(limiter.senders.len() < 10_000, "{} are kept", limiter.senders.len());
    }

    #[test]
    fn a_network_of_one_sender_is_counted_as_one() {
        assert_eq!(counted_as(ip("2001:db8:1:2:3:4:5:6")), counted_as(ip("2001:db8:1:2::9")));
        assert_ne!(counted_as(ip("2001:db8:1:2::9")), counted_as(ip("2001:db8:1:3::9")));
        assert_eq!(counted_as(ip("::ffff:10.0.0.7")), ip("10.0.0.7"));
    }
}
