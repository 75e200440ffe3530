//! Styles, scripts and fonts, from inside the binary.

use axum::extract::Path;
use axum::http::{HeaderMap, StatusCode, header};
use axum::response::{IntoResponse, Response};
use rust_embed::RustEmbed;

use super::error::Error;

#[derive(RustEmbed)]
#[folder = "static/"]
struct Assets;

const fn kind(path: &str) -> &'static str {
    match path.as_bytes() {
        [.., b'.', b'c', b's', b's'] => "text/css; charset=utf-8",
        [.., b'.', b'j', b's'] => "text/javascript; charset=utf-8",
        [.., b'.', b's', b'v', b'g'] => "image/svg+xml",
        [.., b'w', b'o', b'f', b'f', b'2'] => "font/woff2",
        _ => "text/plain; charset=utf-8",
    }
}

/// A file of the binary. Its ETag is the digest of its content; a browser asks again each time and
/// mostly gets "not modified".
pub(super) async fn show_asset(Path(path): Path<String>, headers: HeaderMap) -> Result<Response, Error> {
    asset(&path, &headers)
}

/// As [`show_asset`], for whoever has looked at the path.
pub(super) fn asset(path: &str, headers: &HeaderMap) -> Result<Response, Error> {
    let file = Assets::get(path).ok_or(Error::NotFound)?;
    let digest = file.metadata.sha256_hash();
    let etag =
        format!("\"{}\"", digest.iter().take(12).map(|byte| format!("{byte:02x}")).collect::<String>());
    let held = headers.get(header::IF_NONE_MATCH).is_some_and(|value| value.as_bytes() == etag.as_bytes());
    let cache = [(header::ETAG, etag), (header::CACHE_CONTROL, "private, no-cache".to_owned())];
    if held {
        return Ok((StatusCode::NOT_MODIFIED, cache).into_response());
    }
    Ok((cache, [(header::CONTENT_TYPE, kind(path))], file.data).into_response())
}
