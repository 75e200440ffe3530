//! What can go wrong with a request, and the one place that decides status and page.

use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};

use crate::database::StoreError;

/// Why a request was not answered with its page.
#[derive(Debug, thiserror::Error)]
pub enum Error {
    /// There is nothing at this address, or nothing for this viewer.
    #[error("not found")]
    NotFound,
    /// The viewer's role may not do this.
    #[error("forbidden: {0}")]
    Forbidden(&'static str),
    /// The request cannot be understood; the sentence says why.
    #[error("bad request: {0}")]
    BadRequest(String),
    /// The request does not fit the state that the record has now.
    #[error("conflict: {0}")]
    Conflict(String),
    /// It may identify somebody, and does not leave until that is settled.
    #[error("held back")]
    HeldBack {
        /// What was found, in a sentence or two.
        why: String,
        /// Where it is settled, and what the link says.
        settle: (String, String),
    },
    /// The record could not be read or written.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// A page could not be rendered.
    #[error(transparent)]
    Template(#[from] askama::Error),
    /// Anything else on our side.
    #[error(transparent)]
    Internal(#[from] anyhow::Error),
}

impl From<sqlx::Error> for Error {
    fn from(error: sqlx::Error) -> Self {
        Self::Store(error.into())
    }
}

/// What the error page says; carried in the response to the layer that renders it.
#[derive(Debug, Clone)]
pub(super) struct Fault {
    pub(super) status: StatusCode,
    pub(super) title: String,
    pub(super) text: String,
    /// Where to go on, and what the link says.
    pub(super) link: Option<(String, String)>,
}

impl Error {
    /// What the log says of it: a stored value that cannot be read may be what somebody typed, so that its
    /// place alone is named.
    fn for_log(&self) -> String {
        match self {
            Self::Store(StoreError::Corrupt { table, key, .. }) => {
                format!("the database holds a value in {table} ({key}) that cannot be read")
            }
            other => other.to_string(),
        }
    }

    fn fault(&self) -> Fault {
        let link = match self {
            Self::HeldBack { settle, .. } => Some(settle.clone()),
            _ => None,
        };
        let (status, title, text) = match self {
            Self::NotFound => (
                StatusCode::NOT_FOUND,
                "There is no page here",
                "The address may be old or mistyped, or the case may have another code.".to_owned(),
            ),
            Self::Forbidden(why) => {
                (StatusCode::FORBIDDEN, "This is not open to your role", (*why).to_owned())
            }
            Self::BadRequest(why) => (StatusCode::BAD_REQUEST, "This request cannot be read", why.clone()),
            Self::Conflict(why) => (StatusCode::CONFLICT, "This cannot be done as things stand", why.clone()),
            Self::HeldBack { why, .. } => {
                (StatusCode::CONFLICT, "This is held back: it may identify somebody", why.clone())
            }
            Self::Store(error) => match error.sentence() {
                Some(sentence) => (
                    StatusCode::SERVICE_UNAVAILABLE,
                    "The record cannot be read or written now",
                    sentence.to_owned(),
                ),
                None => internal(),
            },
            Self::Template(_) | Self::Internal(_) => internal(),
        };
        Fault { status, title: title.to_owned(), text, link }
    }
}

fn internal() -> (StatusCode, &'static str, String) {
    (
        StatusCode::INTERNAL_SERVER_ERROR,
        "Something went wrong on our side",
        "Nothing of this request was saved. Go back: what you typed is still in the form. If it happens again, tell whoever keeps the server; the log has the reason.".to_owned(),
    )
}

impl IntoResponse for Error {
    fn into_response(self) -> Response {
        let fault = self.fault();
        if fault.status.is_server_error() {
            tracing::error!(error = self.for_log(), "request failed");
        }
        let mut response = (fault.status, fault.text.clone()).into_response();
        response.extensions_mut().insert(fault);
        response
    }
}
