//! The teaching summary of a case, as a page.

use askama::Template;
use axum::extract::{Path, State};
use axum::response::Response;

use super::load;
use crate::case::StoredCase;
use crate::document::Document;
use crate::export::html;
use crate::rates;
use crate::review::summary::{rate_mechanism, teaching_summary};
use crate::web::error::Error;
use crate::web::frame::{Frame, Place, Visit, page};
use crate::web::state::App;

#[derive(Template)]
#[template(path = "case/summary.html")]
struct SummaryPage {
    frame: Frame,
    code: String,
    title: String,
    summary: String,
}

/// A case with its teaching summary.
pub(in crate::web) async fn summary_of(
    app: &App,
    visit: &Visit,
    code: &str,
) -> Result<(StoredCase, Document), Error> {
    let case = load(app, visit, code).await?;
    let vocabulary = app.vocabulary();
    let rate = match rate_mechanism(&case) {
        Some(mechanism) => {
            let mut conn = app.database.read().await?;
            rates::store::case_rate(&mut conn, &vocabulary, &mechanism, app.this_month()).await?
        }
        None => None,
    };
    let summary = teaching_summary(&case, &vocabulary, &app.department(), rate.as_ref());
    Ok((case, summary))
}

pub(super) async fn show_summary(
    State(app): State<App>,
    visit: Visit,
    Path(code): Path<String>,
) -> Result<Response, Error> {
    let (case, document) = summary_of(&app, &visit, &code).await?;
    page(&SummaryPage {
        frame: visit.frame(Place::Cases),
        title: document.title().to_owned(),
        summary: html::document_to_html(&document),
        code: case.code.to_string(),
    })
}
