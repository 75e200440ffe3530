//! One line of the log for each request, and the number that joins it to what a person saw.

use std::fmt;
use std::net::SocketAddr;
use std::sync::LazyLock;
use std::sync::atomic::{AtomicU64, Ordering};

use axum::extract::{ConnectInfo, MatchedPath, Request};
use axum::http::{HeaderName, HeaderValue, Method, StatusCode};
use axum::middleware::Next;
use axum::response::Response;
use tracing::Instrument as _;

use crate::web::access::Asked;

/// The header that carries the number with the answer.
const HEADER: HeaderName = HeaderName::from_static("x-request-id");

/// The number of a request: that of the server's run, which is drawn by lot, and which one it was.
#[derive(Debug, Clone, Copy)]
pub(super) struct RequestId {
    run: u32,
    number: u64,
}

impl RequestId {
    /// The next one. What a request brings as its own number is not looked at.
    fn next() -> Self {
        static RUN: LazyLock<u32> = LazyLock::new(rand::random);
        static NEXT: AtomicU64 = AtomicU64::new(1);
        Self { run: *RUN, number: NEXT.fetch_add(1, Ordering::Relaxed) }
    }
}

impl fmt::Display for RequestId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:08x}-{}", self.run, self.number)
    }
}

/// Gives each request its number and writes one line about it. The line holds nothing that somebody typed:
/// of the address it has the pattern of its route alone, so that neither a query nor the secret of a
/// one-time link nor a mistyped text stands in a log. Who asked is an account's number, and from where an
/// address of the network.
pub(super) async fn log(mut request: Request, next: Next) -> Response {
    let id = RequestId::next();
    request.extensions_mut().insert(id);
    let method = method_in_words(request.method());
    let route = request.extensions().get::<MatchedPath>().cloned();
    let route = route.as_ref().map_or("none", MatchedPath::as_str);
    let from = request.extensions().get::<ConnectInfo<SocketAddr>>().map(|peer| peer.0.ip());
    let from = from.map(tracing::field::display);
    let started = std::time::Instant::now();
    // Whatever is logged on the way carries the number too.
    let span = tracing::error_span!("request", number = %id);
    let mut response = next.run(request).instrument(span).await;
    let milliseconds = u64::try_from(started.elapsed().as_millis()).unwrap_or(u64::MAX);
    let (status, account) =
        (response.status(), response.extensions().get::<Asked>().and_then(|asked| asked.0));
    // Who watches the server asks every few seconds, and is no news.
    if matches!(route, "/health" | "/ready") && status == StatusCode::OK {
        tracing::debug!(request = %id, from, account, method, route, status = status.as_u16(), milliseconds, "answered");
    } else {
        tracing::info!(request = %id, from, account, method, route, status = status.as_u16(), milliseconds, "answered");
    }
    if let Ok(value) = HeaderValue::from_str(&id.to_string()) {
        response.headers_mut().insert(HEADER, value);
    }
    response
}

/// The method, of those that have a name in HTTP; any other text may be somebody's own.
fn method_in_words(method: &Method) -> &'static str {
    match *method {
        Method::GET => "GET",
        Method::HEAD => "HEAD",
        Method::POST => "POST",
        Method::PUT => "PUT",
        Method::PATCH => "PATCH",
        Method::DELETE => "DELETE",
        Method::OPTIONS => "OPTIONS",
        Method::TRACE => "TRACE",
        Method::CONNECT => "CONNECT",
        _ => "other",
    }
}
