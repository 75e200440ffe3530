//! The headers of every answer.

use axum::extract::{Request, State};
use axum::http::{HeaderName, HeaderValue, header};
use axum::middleware::Next;
use axum::response::Response;

use crate::web::cookie::Transport;

/// What a page may load and run: our own files only, nothing inline, no frame round it.
const CONTENT_SECURITY_POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; \
     font-src 'self'; connect-src 'self'; form-action 'self'; object-src 'none'; base-uri 'none'; frame-ancestors 'none'";

/// The headers that every answer carries, unless it has its own.
///
/// The address of a page goes to our own pages alone (`same-origin`). Telling it to nobody (`no-referrer`)
/// would also make browsers send `Origin: null` with our own forms, which could then not be told from those
/// of another site.
const HEADERS: [(HeaderName, HeaderValue); 6] = [
    (header::CONTENT_SECURITY_POLICY, HeaderValue::from_static(CONTENT_SECURITY_POLICY)),
    (header::X_CONTENT_TYPE_OPTIONS, HeaderValue::from_static("nosniff")),
    (header::REFERRER_POLICY, HeaderValue::from_static("same-origin")),
    (
        HeaderName::from_static("permissions-policy"),
        HeaderValue::from_static(
            "camera=(), display-capture=(), geolocation=(), microphone=(), midi=(), payment=(), serial=(), usb=()",
        ),
    ),
    (HeaderName::from_static("cross-origin-opener-policy"), HeaderValue::from_static("same-origin")),
    (HeaderName::from_static("cross-origin-resource-policy"), HeaderValue::from_static("same-origin")),
];

/// For a year, browsers come to this host and those below it over TLS alone.
const STRICT_TRANSPORT: HeaderValue = HeaderValue::from_static("max-age=31536000; includeSubDomains");

pub(super) async fn add_headers(
    State(transport): State<Transport>,
    request: Request,
    next: Next,
) -> Response {
    let mut response = next.run(request).await;
    for (name, value) in HEADERS {
        response.headers_mut().entry(name).or_insert(value);
    }
    if transport == Transport::Tls {
        response.headers_mut().insert(header::STRICT_TRANSPORT_SECURITY, STRICT_TRANSPORT);
    }
    response
}
