//! What the tests of the pages stand on: the true router over a real SQLite file, accounts of every
//! role, pages that can be asked what they show, and cases that are quickly told.

mod app;
mod builder;
mod client;
mod page;

pub use app::{PASSWORD, SESSION_COOKIE, TestApp};
pub use axum::http::StatusCode;
pub use builder::{CaseBuilder, Placed};
pub use client::{Client, encoded};
pub use page::Page;
pub use relook::accounts::Role;

/// A value from its text form.
pub fn of<T: std::str::FromStr<Err: std::fmt::Debug>>(text: &str) -> T {
    text.parse().unwrap_or_else(|error| panic!("{text:?}: {error:?}"))
}
