//! The teaching summary of a case, as a page and as Markdown.

use askama::Template;
use axum::extract::{Path, State};
use axum::response::Response;

use super::find;
use crate::document::Document;
use crate::export::{html, markdown};
use crate::rates;
use crate::review::summary::{rate_mechanism, teaching_summary};
use crate::web::download::download;
use crate::web::error::Error;
use crate::web::frame::{Frame, Place, Visit, page};
use crate::web::release::{HeldPart, let_case_out, let_document_out};
use crate::web::state::App;

#[derive(Template)]
#[template(path = "case/summary.html")]
struct SummaryPage {
    frame: Frame,
    code: String,
    title: String,
    summary: String,
    /// What keeps it from being printed; none when nothing does.
    held: Option<HeldPart>,
}

/// The summary of a case, and what keeps it from leaving.
struct Written {
    code: String,
    document: Document,
    held: Option<Error>,
}

async fn summary_of(app: &App, visit: &Visit, code: &str) -> Result<Written, Error> {
    let mut conn = app.database.read().await?;
    let case = find(&mut conn, visit, code).await?;
    let vocabulary = app.vocabulary();
    let rate = match rate_mechanism(&case) {
        Some(mechanism) => {
            rates::store::case_rate(&mut conn, &vocabulary, &mechanism, app.this_month()).await?
        }
        None => None,
    };
    let document = teaching_summary(&case, &vocabulary, &app.department(), rate.as_ref());
    let held = match let_case_out(&case) {
        Ok(()) => let_document_out(&mut conn, &document).await.err(),
        Err(held) => Some(held),
    };
    Ok(Written { code: case.code.to_string(), document, held })
}

pub(super) async fn show_summary(
    State(app): State<App>,
    visit: Visit,
    Path(code): Path<String>,
) -> Result<Response, Error> {
    let Written { code, document, held } = summary_of(&app, &visit, &code).await?;
    page(&SummaryPage {
        frame: visit.frame(Place::Cases),
        held: held.map(HeldPart::of).transpose()?,
        title: document.title().to_owned(),
        summary: html::document_to_html(&document),
        code,
    })
}

pub(super) async fn download_markdown(
    State(app): State<App>,
    visit: Visit,
    Path(code): Path<String>,
) -> Result<Response, Error> {
    let Written { code, document, held } = summary_of(&app, &visit, &code).await?;
    held.map_or(Ok(()), Err)?;
    let text = markdown::document_to_markdown(&document);
    Ok(download(&format!("{code}-summary.md"), "text/markdown; charset=utf-8", text))
}
