//! The files of a case: the page that says what there is, and the one way by which a file leaves.
//!
//! A new format appears here by itself: the page and the routes read the lists of
//! [`export::format`](crate::export::format).

mod desk;
mod page;

use std::collections::HashMap;
use std::sync::Arc;

use sqlx::SqliteConnection;

use axum::extract::{Path, RawQuery, State};
use axum::response::Response;

pub(super) use desk::Desk;

use super::access::Allow::{SignedIn, Writers};
use super::case;
use super::case::Summary;
use super::download::download;
use super::error::Error;
use super::frame::Visit;
use super::present::{Slides, deck_of};
use super::release::let_case_out;
use super::router::Routes;
use super::state::App;
use crate::case::{StoredCase, store};
use crate::document::{Deck, Document};
use crate::export::case_file::schema_file;
use crate::export::format::{DECKS, DOCUMENTS, Format, Options, RECORDS, REFERENCES, SCREENS};
use crate::export::record::Record;
use crate::export::references::References;
use crate::review::summary::still_address;

pub(super) fn add_routes(routes: Routes) -> Routes {
    routes
        .get("/cases/{code}/files", SignedIn, page::show_files)
        // The notes of a deck are for who presents.
        .get("/cases/{code}/files/deck/{format}", Writers, give_deck)
        .get("/cases/{code}/files/screens/{format}", Writers, give_screens)
        .get("/cases/{code}/files/summary/{format}", SignedIn, give_summary)
        .get("/cases/{code}/files/record/{format}", SignedIn, give_record)
        .get("/cases/{code}/files/references/{format}", SignedIn, give_references)
        .get(SCHEMA_PATH, SignedIn, give_schema)
        .get("/cases/{code}/summary.md", SignedIn, give_summary_as_markdown)
        .get("/cases/{code}/case.toml", SignedIn, give_record_as_toml)
        .get("/cases/{code}/case.json", SignedIn, give_record_as_json)
}

/// Where the schema of a case file is, which is the same for every case.
const SCHEMA_PATH: &str = "/case.schema.json";

/// Where the files of a case are.
pub(super) fn files_path(code: crate::case::CaseCode) -> String {
    format!("/cases/{code}/files")
}

/// A file that is to be made: what its name begins with, its format, and what it is made from.
struct Wanted<T: 'static> {
    stem: String,
    format: &'static Format<T>,
    content: T,
    options: Options,
}

/// The format of this name.
fn named<T>(formats: &[&'static Format<T>], slug: &str) -> Result<&'static Format<T>, Error> {
    formats.iter().copied().find(|format| format.slug == slug).ok_or(Error::NotFound)
}

/// Every file of a case leaves through here: made away from the pages, remembered with its size, sent.
/// What has to be looked at before a file may leave is looked at here.
async fn hand_out<T: Send + 'static>(
    app: &App,
    case: &StoredCase,
    wanted: Wanted<T>,
) -> Result<Response, Error> {
    let_case_out(case)?;
    let name = format!("{}.{}", wanted.stem, wanted.format.extension);
    let (slug, media_type) = (wanted.format.slug, wanted.format.media_type);
    let bytes = make(app, wanted).await?;
    app.files.remember(case.id, slug, bytes.len(), app.now());
    Ok(download(&name, media_type, bytes))
}

/// A file that a document can be had as.
pub(super) struct DocumentFile {
    pub(super) href: String,
    pub(super) name: &'static str,
    pub(super) extension: &'static str,
    pub(super) use_for: &'static str,
}

/// Every file that a document can be had as, under an address that ends in the name of the format; `query` follows
/// it, with its question mark.
pub(super) fn document_files(base: &str, query: &str) -> Vec<DocumentFile> {
    DOCUMENTS
        .iter()
        .map(|format| DocumentFile {
            href: format!("{base}/{}{query}", format.slug),
            name: format.name,
            extension: format.extension,
            use_for: format.use_for,
        })
        .collect()
}

/// A document that is no case’s as a file: minutes, the report, the booklet.
pub(super) async fn hand_out_document(
    app: &App,
    format: &str,
    stem: String,
    document: Document,
) -> Result<Response, Error> {
    let format = named(DOCUMENTS, format)?;
    let name = format!("{stem}.{}", format.extension);
    let bytes = make(app, Wanted { stem, format, content: document, options: Options::default() }).await?;
    Ok(download(&name, format.media_type, bytes))
}

async fn make<T: Send + 'static>(app: &App, wanted: Wanted<T>) -> Result<Vec<u8>, Error> {
    let Wanted { format, content, options, .. } = wanted;
    let made = app.files.work(move || (format.render)(&content, &options)).await?;
    Ok(made.map_err(anyhow::Error::from)?)
}

/// The pixels of a case's pictures, by the addresses at which pages find them.
async fn stills(conn: &mut SqliteConnection, case: &StoredCase) -> Result<HashMap<String, Arc<[u8]>>, Error> {
    let pngs = store::pngs(conn, case.id).await?;
    Ok(pngs.into_iter().map(|(id, png)| (still_address(case, id), png.into())).collect())
}

async fn give_deck(
    State(app): State<App>,
    visit: Visit,
    Path((code, format)): Path<(String, String)>,
) -> Result<Response, Error> {
    let format = named(DECKS, &format)?;
    let (case, content) = deck_with_stills(&app, &visit, &code, Slides::Ideas).await?;
    let options = Options { template: app.files.template() };
    hand_out(&app, &case, Wanted { stem: format!("{}-slides", case.code), format, content, options }).await
}

async fn give_screens(
    State(app): State<App>,
    visit: Visit,
    Path((code, format)): Path<(String, String)>,
) -> Result<Response, Error> {
    let format = named(&SCREENS, &format)?;
    let (case, content) = deck_with_stills(&app, &visit, &code, Slides::Screens).await?;
    let options = Options::default();
    hand_out(&app, &case, Wanted { stem: format!("{}-screens", case.code), format, content, options }).await
}

/// The deck of a case with the pixels of its stills.
async fn deck_with_stills(
    app: &App,
    visit: &Visit,
    code: &str,
    of: Slides,
) -> Result<(StoredCase, Deck), Error> {
    let _turn = app.files.turn().await?;
    let mut conn = app.database.read().await?;
    let case = case::find(&mut conn, visit, code).await?;
    let mut deck = deck_of(app, &mut conn, &case, of).await?;
    let stills = stills(&mut conn, &case).await?;
    deck.fill_pictures(|address| stills.get(address).cloned());
    Ok((case, deck))
}

async fn give_summary(
    State(app): State<App>,
    visit: Visit,
    Path((code, format)): Path<(String, String)>,
    RawQuery(query): RawQuery,
) -> Result<Response, Error> {
    summary_as(&app, &visit, (&code, &format), query).await
}

async fn give_summary_as_markdown(
    State(app): State<App>,
    visit: Visit,
    Path(code): Path<String>,
    RawQuery(query): RawQuery,
) -> Result<Response, Error> {
    summary_as(&app, &visit, (&code, "markdown"), query).await
}

async fn summary_as(
    app: &App,
    visit: &Visit,
    (code, format): (&str, &str),
    query: Option<String>,
) -> Result<Response, Error> {
    let format = named(DOCUMENTS, format)?;
    let turn = app.files.turn().await?;
    let Summary { case, mut document, protected, held } =
        case::summary_of(app, visit, code, case::asks_protection(query)).await?;
    held.map_or(Ok(()), Err)?;
    let stills = stills(&mut *app.database.read().await?, &case).await?;
    document.fill_pictures(|address| stills.get(address).cloned());
    drop(turn);
    // The code holds the year, also in the name of a file.
    let stem = match protected {
        Some(_) => "case-summary".to_owned(),
        None => format!("{}-summary", case.code),
    };
    let options = Options::default();
    hand_out(app, &case, Wanted { stem, format, content: document, options }).await
}

async fn give_record(
    State(app): State<App>,
    visit: Visit,
    Path((code, format)): Path<(String, String)>,
) -> Result<Response, Error> {
    record_as(&app, &visit, &code, &format).await
}

async fn give_record_as_toml(
    State(app): State<App>,
    visit: Visit,
    Path(code): Path<String>,
) -> Result<Response, Error> {
    record_as(&app, &visit, &code, "toml").await
}

async fn give_record_as_json(
    State(app): State<App>,
    visit: Visit,
    Path(code): Path<String>,
) -> Result<Response, Error> {
    record_as(&app, &visit, &code, "json").await
}

async fn record_as(app: &App, visit: &Visit, code: &str, format: &str) -> Result<Response, Error> {
    let format = named(&RECORDS, format)?;
    let case = case::find(&mut *app.database.read().await?, visit, code).await?;
    let content = Record { case: case.to_case(), vocabulary: app.vocabulary() };
    let options = Options::default();
    hand_out(app, &case, Wanted { stem: case.code.to_string(), format, content, options }).await
}

/// The publications; a case that names none has no such file.
async fn give_references(
    State(app): State<App>,
    visit: Visit,
    Path((code, format)): Path<(String, String)>,
) -> Result<Response, Error> {
    let format = named(&REFERENCES, &format)?;
    let case = case::find(&mut *app.database.read().await?, &visit, &code).await?;
    let content = References::of(&case.to_case()).ok_or(Error::NotFound)?;
    let stem = format!("{}-references", case.code);
    hand_out(&app, &case, Wanted { stem, format, content, options: Options::default() }).await
}

/// The schema of a case file. It tells nothing of a case.
async fn give_schema() -> Response {
    download("case.schema.json", "application/schema+json", schema_file())
}
