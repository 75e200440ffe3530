//! The minutes of a conference, as a page and as a file.

use askama::Template;
use axum::extract::{Path, State};
use axum::response::Response;

use super::links::{meeting_path, path_of};
use crate::case::Day;
use crate::document::Document;
use crate::export::html;
use crate::review::minutes::{minutes, store};
use crate::web::error::Error;
use crate::web::files::{DocumentFile, document_files, hand_out_document};
use crate::web::frame::{Frame, Place, Visit, page};
use crate::web::release::{HeldPart, let_document_out};
use crate::web::state::App;

#[derive(Template)]
#[template(path = "conference/minutes.html")]
struct MinutesPage {
    frame: Frame,
    conference: String,
    path: String,
    meeting_path: String,
    title: String,
    minutes: String,
    files: Vec<DocumentFile>,
    held: Option<HeldPart>,
}

/// A conference with its minutes.
struct Written {
    id: i64,
    conference: String,
    held_on: Day,
    document: Document,
    held: Option<Error>,
}

async fn minutes_of(app: &App, visit: &Visit, id: &str) -> Result<Written, Error> {
    let id: i64 = id.parse().map_err(|_| Error::NotFound)?;
    let mut conn = app.database.read().await?;
    let inputs = store::gather(&mut conn, id, visit.sight()).await?.ok_or(Error::NotFound)?;
    let plan = &inputs.meeting.conference.plan;
    let document = minutes(&inputs, &app.vocabulary());
    Ok(Written {
        id,
        conference: plan.title.to_string(),
        held_on: plan.held_on,
        held: let_document_out(&mut conn, &document).await.err(),
        document,
    })
}

pub(super) async fn show_minutes(
    State(app): State<App>,
    visit: Visit,
    Path(id): Path<String>,
) -> Result<Response, Error> {
    let written = minutes_of(&app, &visit, &id).await?;
    page(&MinutesPage {
        frame: visit.frame(Place::Conferences),
        conference: written.conference,
        path: path_of(written.id),
        files: document_files(&format!("{}/minutes/files", path_of(written.id)), ""),
        meeting_path: meeting_path(written.id),
        title: written.document.title().to_owned(),
        minutes: html::document_to_html(&written.document),
        held: written.held.map(HeldPart::of).transpose()?,
    })
}

pub(super) async fn give(
    State(app): State<App>,
    visit: Visit,
    Path((id, format)): Path<(String, String)>,
) -> Result<Response, Error> {
    let written = minutes_of(&app, &visit, &id).await?;
    written.held.map_or(Ok(()), Err)?;
    hand_out_document(&app, &format, format!("minutes-{}", written.held_on), written.document).await
}
