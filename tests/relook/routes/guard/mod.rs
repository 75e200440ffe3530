//! What stands before every page: the names that the server is known by, where a form comes from, the
//! headers, the bounds, the log, and who sees which case.

mod asked_too_much;
mod headers;
mod health;
mod hosts;
mod log;
mod origin;
mod sight;
mod table;

use axum::http::Method;
use relook::web::router::{Rule, routes};

/// The host that the tests' visitors ask for.
const HOST: (&str, &str) = ("host", "127.0.0.1:8080");

fn rules() -> Vec<Rule> {
    let rules = routes().rules();
    assert!(rules.len() > 50, "the table has {} rules, so the walk would prove little", rules.len());
    rules
}

fn posts() -> Vec<Rule> {
    rules().into_iter().filter(|rule| rule.method == Method::POST).collect()
}

/// An address with a format of each kind of file.
fn with_formats(path: &str) -> String {
    path.replace("/deck/{format}", "/deck/slides")
        .replace("/summary/{format}", "/summary/markdown")
        .replace("/record/{format}", "/record/toml")
        .replace("/screens/{format}", "/screens/html")
        .replace("/references/{format}", "/references/bibtex")
        .replace("/files/{format}", "/files/markdown")
}

/// An address of a rule: what varies is this case, or something that is not there.
fn address(rule: &Rule, code: &str) -> String {
    with_formats(rule.path)
        .replace("{code}", code)
        .replace("{*path}", "css/base.css")
        .replace("{secret}", &"0".repeat(64))
        .replace("{number}", "1")
        .split('/')
        .map(|part| if part.starts_with('{') { "999999" } else { part })
        .collect::<Vec<_>>()
        .join("/")
}
