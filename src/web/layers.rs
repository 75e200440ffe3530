//! The layers round every route, outermost first: a request id and its log line, compression, headers, the
//! door (is the request meant for this server, and is it one of too many), the session, error pages, a guard
//! against panics, a bound on the time that a request takes, cross-site requests refused, notices.

mod door;
mod error_pages;
mod headers;
mod log;

use std::sync::Arc;
use std::time::Duration;

use axum::Router;
use axum::extract::{Request, State};
use axum::http::{HeaderValue, StatusCode, header};
use axum::middleware::{Next, from_fn, from_fn_with_state};
use axum::response::{IntoResponse, Response};
use tower::ServiceBuilder;
use tower_http::catch_panic::CatchPanicLayer;
use tower_http::compression::CompressionLayer;
use tower_http::timeout::TimeoutLayer;

use self::door::{Door, check_door, check_origin};
use self::error_pages::{error_pages, phone_error_pages};
use self::headers::add_headers;
use self::log::log;
use super::cookie::{self, Ours};
use super::drafts::let_go_when_saved;
use super::error::Error;
use super::frame::Notice;
use super::session::identify;
use super::state::App;

pub use self::door::Rate;

/// How long a request may take, from its head to its answer: a body that trickles in, and a handler that
/// hangs, end then.
const REQUEST_TIME: Duration = Duration::from_secs(60);

/// Wraps the routes of the whole application.
pub(super) fn wrap(routes: Router<App>, app: App) -> Router {
    let door = door_of(&app);
    routes
        .fallback(async || Error::NotFound)
        .layer(
            ServiceBuilder::new()
                .layer(from_fn(log))
                .layer(CompressionLayer::new())
                .layer(from_fn_with_state(app.settings.transport, add_headers))
                .layer(from_fn_with_state(door.clone(), check_door))
                .layer(from_fn_with_state(app.clone(), identify))
                .layer(from_fn_with_state(app.clone(), let_go_when_saved))
                .layer(from_fn_with_state(app.clone(), error_pages))
                .layer(CatchPanicLayer::custom(answer_panic))
                .layer(TimeoutLayer::with_status_code(StatusCode::REQUEST_TIMEOUT, REQUEST_TIME))
                .layer(tower_http::csrf::CsrfLayer::new())
                .layer(from_fn_with_state(door, check_origin))
                .layer(from_fn_with_state(app.clone(), keep_private)),
        )
        .with_state(app)
}

/// Wraps the routes of phones: no session is looked for, and nothing that goes wrong shows the frame of
/// the application.
pub(super) fn wrap_phones(routes: Router<App>, app: App) -> Router {
    let door = door_of(&app);
    routes
        .fallback(async || Error::NotFound)
        .layer(
            ServiceBuilder::new()
                .layer(from_fn(log))
                .layer(CompressionLayer::new())
                .layer(from_fn_with_state(app.settings.transport, add_headers))
                .layer(from_fn_with_state(door.clone(), check_door))
                .layer(from_fn(phone_error_pages))
                .layer(CatchPanicLayer::custom(answer_panic))
                .layer(TimeoutLayer::with_status_code(StatusCode::REQUEST_TIMEOUT, REQUEST_TIME))
                .layer(tower_http::csrf::CsrfLayer::new())
                .layer(from_fn_with_state(door, check_origin))
                .layer(from_fn(forbid_copies)),
        )
        .with_state(app)
}

fn door_of(app: &App) -> Arc<Door> {
    Arc::new(Door::new(app.settings.hosts.clone(), app.settings.transport, app.settings.rate))
}

fn answer_panic(_: Box<dyn std::any::Any + Send>) -> Response {
    Error::Internal(anyhow::anyhow!("a handler panicked")).into_response()
}

/// Whether an answer is a page.
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

/// As [`forbid_copies`]; and a notice goes with the redirect that has one, and is shown once.
async fn keep_private(State(app): State<App>, request: Request, next: Next) -> Response {
    let transport = app.settings.transport;
    let had_notice = Ours::Notice.read_headers(request.headers(), transport).is_some();
    let mut response = forbid_copies(request, next).await;
    if let Some(notice) = response.extensions_mut().remove::<Notice>() {
        cookie::send(&mut response, &Ours::Notice.holding(notice.encoded(), transport));
    } else if had_notice && is_page(&response) {
        cookie::send(&mut response, &Ours::Notice.gone(transport));
    }
    response
}
