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
use tower_http::set_header::SetResponseHeaderLayer;

use super::access::{Viewer, identify};
use super::error::{Error, Fault};
use super::frame::{Frame, NOTICE_COOKIE, Place};
use super::state::App;

/// What a page may load and run: our own files only, nothing inline, no frame round it.
const CONTENT_SECURITY_POLICY: &str = "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; \
     font-src 'self'; connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'";

/// Wraps the routes.
pub(super) fn wrap(routes: Router<App>, app: App) -> Router {
    let headers = ServiceBuilder::new()
        .layer(fixed(header::CONTENT_SECURITY_POLICY, CONTENT_SECURITY_POLICY))
        .layer(fixed(header::X_CONTENT_TYPE_OPTIONS, "nosniff"))
        .layer(fixed(header::REFERRER_POLICY, "same-origin"))
        .layer(fixed(
            HeaderName::from_static("permissions-policy"),
            "camera=(), geolocation=(), microphone=(), payment=(), usb=()",
        ))
        .layer(fixed(HeaderName::from_static("cross-origin-opener-policy"), "same-origin"));
    routes
        .fallback(async || Error::NotFound)
        .layer(
            ServiceBuilder::new()
                .layer(from_fn(log))
                .layer(CompressionLayer::new())
                .layer(headers)
                .layer(from_fn_with_state(app.clone(), identify))
                .layer(from_fn_with_state(app.clone(), error_pages))
                .layer(CatchPanicLayer::custom(|_: Box<dyn std::any::Any + Send>| {
                    Error::Internal(anyhow::anyhow!("a handler panicked")).into_response()
                }))
                .layer(tower_http::csrf::CsrfLayer::new())
                .layer(from_fn(keep_private)),
        )
        .with_state(app)
}

fn fixed(name: HeaderName, value: &'static str) -> SetResponseHeaderLayer<HeaderValue> {
    SetResponseHeaderLayer::if_not_present(name, HeaderValue::from_static(value))
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

/// Pages are for one person: nothing between them and the server keeps a copy. A notice is shown once.
async fn keep_private(request: Request, next: Next) -> Response {
    let had_notice =
        axum_extra::extract::CookieJar::from_headers(request.headers()).get(NOTICE_COOKIE).is_some();
    let mut response = next.run(request).await;
    let is_page = response
        .headers()
        .get(header::CONTENT_TYPE)
        .is_some_and(|kind| kind.as_bytes().starts_with(b"text/html"));
    if is_page {
        response.headers_mut().insert(header::CACHE_CONTROL, HeaderValue::from_static("no-store"));
        if had_notice {
            let cleared = format!("{NOTICE_COOKIE}=; Path=/; Max-Age=0; HttpOnly; SameSite=Strict");
            if let Ok(value) = HeaderValue::from_str(&cleared) {
                response.headers_mut().append(header::SET_COOKIE, value);
            }
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
    let fault = response.extensions().get::<Fault>().cloned().or_else(|| bare_fault(&response));
    let Some(fault) = fault else {
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

/// The page for a refusal that came from a layer rather than from a handler.
fn bare_fault(response: &Response) -> Option<Fault> {
    use axum::http::StatusCode;
    let status = response.status();
    let is_page = response
        .headers()
        .get(header::CONTENT_TYPE)
        .is_some_and(|kind| kind.as_bytes().starts_with(b"text/html"));
    if is_page {
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
