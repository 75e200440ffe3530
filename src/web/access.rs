//! Who looks, and the rule that each route states.

use askama::Template;
use axum::body::Body;
use axum::extract::{Request, State};
use axum::http::{Method, StatusCode, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Redirect, Response};

use super::error::Error;
use super::form::Values;
use super::frame::{Frame, Place, page_with};
use crate::accounts::{Role, User};

/// Fields that are never written on a page again.
const SECRET_FIELDS: [&str; 5] = ["password", "current_password", "new_password", "again", "code"];

/// Who may use a route.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Allow {
    /// Anyone, signed in or not.
    Anyone,
    /// Every account.
    SignedIn,
    /// Who records and edits cases.
    Writers,
    /// Who signs lessons and closes cases.
    Signers,
    /// Who keeps denominators, vocabularies, conferences and accounts.
    Keepers,
}

impl Allow {
    /// Whether a role may use a route of this rule; none is somebody who is not signed in.
    #[must_use]
    pub fn admits(self, role: Option<Role>) -> bool {
        match self {
            Self::Anyone => true,
            Self::SignedIn => role.is_some(),
            Self::Writers => role.is_some_and(Role::writes),
            Self::Signers => role.is_some_and(Role::signs),
            Self::Keepers => role.is_some_and(Role::keeps),
        }
    }

    const fn refusal(self) -> &'static str {
        match self {
            Self::Anyone | Self::SignedIn => "Sign in first.",
            Self::Writers => "Readers see presented cases; fellows, attendings and the quality lead write.",
            Self::Signers => "An attending or the quality lead does this.",
            Self::Keepers => "The quality lead does this.",
        }
    }
}

/// The account behind a request, if any.
#[derive(Debug, Clone)]
pub(super) struct Viewer(pub(super) Option<User>);

/// The id of the account that asked, for the log; carried in the response to the layer that writes it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Asked(pub(super) Option<i64>);

/// Lets a request through to its route, or says why not.
pub(super) async fn guard(State(allow): State<Allow>, request: Request, next: Next) -> Response {
    let user = request.extensions().get::<Viewer>().and_then(|viewer| viewer.0.clone());
    if allow.admits(user.as_ref().map(|user| user.role)) {
        return next.run(request).await;
    }
    match user {
        Some(_) => Error::Forbidden(allow.refusal()).into_response(),
        None if request.method() == Method::GET || request.method() == Method::HEAD => {
            let start = String::from("/sign-in?");
            let mut target = form_urlencoded::Serializer::for_suffix(start, "/sign-in?".len());
            let wanted = request.uri().path_and_query().map_or("/", |path| path.as_str());
            if wanted != "/" {
                target.append_pair("next", wanted);
            }
            Redirect::to(target.finish().trim_end_matches('?')).into_response()
        }
        None => keep_typed(request).await.unwrap_or_else(IntoResponse::into_response),
    }
}

#[derive(Template)]
#[template(path = "signed_out.html")]
struct SignedOutPage {
    frame: Frame,
    action: String,
    fields: Vec<(String, String)>,
    /// Whether a file came, which is not kept.
    is_file: bool,
}

/// The session ended while somebody typed: the page shows all that was typed, to be sent again.
async fn keep_typed(request: Request<Body>) -> Result<Response, Error> {
    let action = request.uri().path().to_owned();
    let is_file = request
        .headers()
        .get(header::CONTENT_TYPE)
        .is_some_and(|kind| kind.as_bytes().to_ascii_lowercase().starts_with(b"multipart/"));
    let fields = if is_file {
        Vec::new()
    } else {
        Values::from_body(request.into_body()).await.map(Values::into_pairs).unwrap_or_default()
    };
    let fields = fields.into_iter().filter(|(name, _)| !SECRET_FIELDS.contains(&name.as_str())).collect();
    let frame = Frame::new(None, Place::Elsewhere, None, false);
    page_with(StatusCode::UNAUTHORIZED, &SignedOutPage { frame, action, fields, is_file })
}
