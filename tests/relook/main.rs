//! Relook from outside: the rules of its code, its stores over real files, its pages through the
//! router that the server runs, its numbers beside published ones.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    missing_docs,
    reason = "a test speaks by panicking"
)]

mod architecture;
mod cli;
mod deidentify;
mod demo_cases;
mod earlier;
mod files;
mod history;
mod import;
mod migrations;
mod pictures;
mod published;
mod reference;
mod response;
mod review;
mod routes;
mod store;
mod support;
mod trust;
mod vocabulary;
mod votes;
