//! What went wrong, as a page in the viewer's frame.

use askama::Template;
use axum::body::Body;
use axum::extract::{Request, State};
use axum::middleware::Next;
use axum::response::{Html, IntoResponse, Response};

use super::is_page;
use super::log::RequestId;
use crate::web::access::Viewer;
use crate::web::error::Fault;
use crate::web::frame::{Frame, Place};
use crate::web::state::App;
use crate::web::votes;

#[derive(Template)]
#[template(path = "error.html")]
struct ErrorPage {
    frame: Frame,
    status: u16,
    heading: String,
    text: String,
    link: Option<(String, String)>,
    request_id: Option<String>,
}

/// Turns a fault into a page in the viewer's frame.
pub(super) async fn error_pages(State(app): State<App>, request: Request<Body>, next: Next) -> Response {
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
        link: fault.link,
        request_id: id.map(|id| id.to_string()),
    };
    match page.render() {
        Ok(html) => (fault.status, Html(html)).into_response(),
        Err(_) => (fault.status, fault.text).into_response(),
    }
}

/// Turns a fault into a page for a phone.
pub(super) async fn phone_error_pages(request: Request<Body>, next: Next) -> Response {
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
        StatusCode::REQUEST_TIMEOUT => (
            "This took too long",
            "Your request did not arrive whole, or could not be answered, within a minute. Go back: what you typed is still in the form. Send it again.",
        ),
        StatusCode::BAD_REQUEST => {
            ("This request cannot be read", "The address or the form is damaged. Go back and try again.")
        }
        _ => return None,
    };
    Some(Fault { status, title: title.to_owned(), text: text.to_owned(), link: None })
}
