//! Relook in a browser: headless Chromium, driven through WebDriver, before the program that people
//! run (`relook demo`). Each test has a department and a browser of its own.
//!
//! `tests/run` installs what this needs. Nothing is skipped: without the browser these tests fail
//! and say what is missing.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    missing_docs,
    reason = "a test speaks by panicking"
)]

mod support;

mod accessibility;
mod drafts;
mod files;
mod identifiers;
mod keyboard;
mod library;
mod main_job;
mod meeting;
mod phone;
mod pictures;
mod present;
mod print;
mod privacy;
mod rates;
mod screens_file;
mod script_off;
mod stored_script;
mod vectors;
