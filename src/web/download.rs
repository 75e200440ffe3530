//! A file for one person to keep, and for nothing between the server and them.

use axum::http::header;
use axum::response::{IntoResponse, Response};

/// A body as a file of this name and kind.
pub(super) fn download(name: &str, kind: &'static str, body: impl IntoResponse) -> Response {
    let headers = [
        (header::CONTENT_TYPE, kind.to_owned()),
        (header::CONTENT_DISPOSITION, format!("attachment; filename=\"{name}\"")),
        (header::CACHE_CONTROL, "no-store".to_owned()),
    ];
    (headers, body).into_response()
}
