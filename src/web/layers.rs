//! The layers round every route, outermost first: a request id and its log line, a guard against
//! panics, headers, body limit, cross-site requests refused, the session, error pages.

use std::sync::atomic::{AtomicU64, Ordering};

use askama::Template;
use axum::Router;
use axum::body::Body;
use axum::extract::{Request, State};
use axum::http::{HeaderName, HeaderValue, header};
use axum::middleware::{Next, from_fn, from_fn_with_state};
use axum::response::{Html, IntoResponse, Response};
use tower::ServiceBuilder;
use tower_http::catch_panic::CatchPanicLayer;
use tower_http::compression::CompressionLayer;

use super::access::Viewer;
use super::error::{Error, Fault};
use super::frame::{Frame, NOTICE_COOKIE, Place};
use super::session::identify;
use super::state::App;
use super::votes;

/// What a page may load and run: our own files only, nothing inline, no frame round it.
const CONTENT_SECURITY_POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; \
     font-src 'self'; connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'";

/// The headers that every answer carries, unless it has its own.
const HEADERS: [(HeaderName, HeaderValue); 5] = [
    (header::CONTENT_SECURITY_POLICY, HeaderValue::from_static(CONTENT_SECURITY_POLICY)),
    (header::X_CONTENT_TYPE_OPTIONS, HeaderValue::from_static("nosniff")),
    (header::REFERRER_POLICY, HeaderValue::from_static("same-origin")),
    (
        HeaderName::from_static("permissions-policy"),
        HeaderValue::from_static("camera=(), geolocation=(), microphone=(), payment=(), usb=()"),
    ),
    (HeaderName::from_static("cross-origin-opener-policy"), HeaderValue::from_static("same-origin")),
];

/// Wraps the routes of the whole application.
pub(super) fn wrap(routes: Router<App>, app: App) -> Router {
    routes
        .fallback(async || Error::NotFound)
        .layer(
            ServiceBuilder::new()
                .layer(from_fn(log))
                .layer(CompressionLayer::new())
                .layer(from_fn(add_headers))
                .layer(from_fn_with_state(app.clone(), identify))
                .layer(from_fn_with_state(app.clone(), error_pages))
                .layer(CatchPanicLayer::custom(answer_panic))
                .layer(tower_http::csrf::CsrfLayer::new())
                .layer(from_fn(keep_private)),
        )
        .with_state(app)
}

/// Wraps the routes of phones: no session is looked for, and nothing that goes wrong shows the frame of
/// the application.
pub(super) fn wrap_phones(routes: Router<App>, app: App) -> Router {
    routes
        .fallback(async || Error::NotFound)
        .layer(
            ServiceBuilder::new()
                .layer(from_fn(log))
                .layer(CompressionLayer::new())
                .layer(from_fn(add_headers))
                .layer(from_fn(phone_error_pages))
                .layer(CatchPanicLayer::custom(answer_panic))
                .layer(tower_http::csrf::CsrfLayer::new())
                .layer(from_fn(forbid_copies)),
        )
        .with_state(app)
}

async fn add_headers(request: Request, next: Next) -> Response {
    let mut response = next.run(request).await;
    for (name, value) in HEADERS {
        response.headers_mut().entry(name).or_insert(value);
    }
    response
}

fn answer_panic(_: Box<dyn std::any::Any + Send>) -> Response {
    Error::Internal(anyhow::anyhow!("a handler panicked")).into_response()
}

/// The number of a request in this run of the server; it joins a log line to what a person saw.
#[derive(Debug, Clone, Copy)]
struct RequestId(u64);

/// Gives each request a number and writes one line about it: no query, no body.
async fn log(mut request: Request, next: Next) -> Response {
    static NEXT: AtomicU64 = AtomicU64::new(1);
    let id = RequestId(NEXT.fetch_add(1, Ordering::Relaxed));
    request.extensions_mut().insert(id);
    let (method, path) = (request.method().clone(), request.uri().path().to_owned());
    // A one-time link is a secret, also in a log.
    let path = if path.starts_with("/sign-in/link/") { "/sign-in/link/…".to_owned() } else { path };
    let started = std::time::Instant::now();
    let response = next.run(request).await;
    tracing::info!(
        request = id.0,
        %method,
        path,
        status = response.status().as_u16(),
        milliseconds = u64::try_from(started.elapsed().as_millis()).unwrap_or(u64::MAX),
        "answered"
    );
    response
}

fn is_page(response: &Response) -> bool {
    response.headers().get(header::CONTENT_TYPE).is_some_and(|kind| kind.as_bytes().starts_with(b"text/html"))
}

/// Pages are for one person: nothing between them and the server keeps a copy.
async fn forbid_copies(request: Request, next: Next) -> Response {
    let mut response = next.run(request).await;
    if is_page(&response) {
        response.headers_mut().insert(header::CACHE_CONTROL, HeaderValue::from_static("no-store"));
    }
    response
}

/// As [`forbid_copies`]; and a notice is shown once.
async fn keep_private(request: Request, next: Next) -> Response {
    let had_notice =
        axum_extra::extract::CookieJar::from_headers(request.headers()).get(NOTICE_COOKIE).is_some();
    let mut response = forbid_copies(request, next).await;
    if had_notice && is_page(&response) {
        let cleared = format!("{NOTICE_COOKIE}=; Path=/; Max-Age=0; HttpOnly; SameSite=Strict");
        if let Ok(value) = HeaderValue::from_str(&cleared) {
            response.headers_mut().append(header::SET_COOKIE, value);
        }
    }
    response
}

#[derive(Template)]
#[template(path = "error.html")]
struct ErrorPage {
    frame: Frame,
    status: u16,
    heading: String,
    text: String,
    request_id: Option<u64>,
}

/// Turns a fault into a page in the viewer's frame.
async fn error_pages(State(app): State<App>, request: Request<Body>, next: Next) -> Response {
    let user = request.extensions().get::<Viewer>().and_then(|viewer| viewer.0.clone());
    let id = request.extensions().get::<RequestId>().copied();
    let response = next.run(request).await;
    let Some(fault) = fault_of(&response) else {
        return response;
    };
    let page = ErrorPage {
        frame: Frame::new(user.as_ref(), Place::Elsewhere, None, app.settings.demo),
        status: fault.status.as_u16(),
        heading: fault.title,
        text: fault.text.clone(),
        request_id: id.filter(|_| fault.status.is_server_error()).map(|id| id.0),
    };
    match page.render() {
        Ok(html) => (fault.status, Html(html)).into_response(),
        Err(_) => (fault.status, fault.text).into_response(),
    }
}

/// Turns a fault into a page for a phone.
async fn phone_error_pages(request: Request<Body>, next: Next) -> Response {
    let response = next.run(request).await;
    match fault_of(&response) {
        Some(fault) => votes::fault_page(&fault),
        None => response,
    }
}

/// What went wrong, by the handler or by a layer; none when the answer stands as it is.
fn fault_of(response: &Response) -> Option<Fault> {
    response.extensions().get::<Fault>().cloned().or_else(|| bare_fault(response))
}

/// The page for a refusal that came from a layer rather than from a handler.
fn bare_fault(response: &Response) -> Option<Fault> {
    use axum::http::StatusCode;
    let status = response.status();
    if is_page(response) {
        return None;
    }
    let (title, text) = match status {
        StatusCode::METHOD_NOT_ALLOWED => {
            ("This address is not used that way", "Go back and use the buttons of the page.")
        }
        StatusCode::FORBIDDEN => (
            "This request came from another site",
            "Relook answers only its own pages. Open it afresh and try again.",
        ),
        StatusCode::PAYLOAD_TOO_LARGE => {
            ("This is too large", "Nothing was saved. Go back and send less at a time.")
        }
        StatusCode::BAD_REQUEST => {
            ("This request cannot be read", "The address or the form is damaged. Go back and try again.")
        }
        _ => return None,
    };
    Some(Fault { status, title: title.to_owned(), text: text.to_owned() })
}
