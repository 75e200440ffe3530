//! Advice on a causal statement: beside the cause, and while it is written.

use axum::response::{Html, IntoResponse, Response};

use askama::Template;

use crate::statement::{self, Finding};
use crate::web::error::Error;
use crate::web::form::Values;

/// One piece of advice, made ready for a template.
pub(super) struct Advice {
    pub(super) rule: &'static str,
    pub(super) phrase: String,
    pub(super) why: String,
    pub(super) ask: String,
}

impl From<Finding> for Advice {
    fn from(finding: Finding) -> Self {
        Self { rule: finding.rule.label(), phrase: finding.phrase, why: finding.why, ask: finding.ask }
    }
}

/// What may be asked about a statement.
pub(super) fn on(statement: &str) -> Vec<Advice> {
    statement::check(statement).into_iter().map(Advice::from).collect()
}

#[derive(Template)]
#[template(path = "case/advice.html")]
struct AdvicePart {
    advice: Vec<Advice>,
}

/// The advice on what is being written, as a part of a page: nothing is stored, nothing is refused.
pub(super) async fn check_statement(values: Values) -> Result<Response, Error> {
    let advice = on(values.get("statement"));
    Ok(Html(AdvicePart { advice }.render()?).into_response())
}
