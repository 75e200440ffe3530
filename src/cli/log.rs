//! What is written into the log.

use tracing_subscriber::EnvFilter;

/// The filter that was asked for, less what would write a secret down. The library's guard against
/// cross-site requests names whole addresses when everything is traced, and a one-time link is one; our own
/// line about each request leaves it out.
#[must_use]
pub fn log_filter(asked: EnvFilter) -> EnvFilter {
    match "tower_http::csrf=off".parse() {
        Ok(directive) => asked.add_directive(directive),
        Err(_) => asked,
    }
}
