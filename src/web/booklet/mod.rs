//! The lessons booklet: the page that shows it and takes the choice, and its files.

mod choose;
mod page;

use std::collections::BTreeSet;

use axum::extract::{Path, RawQuery, State};
use axum::response::Response;
use sqlx::SqliteConnection;

use super::access::Allow;
use super::error::Error;
use super::files::hand_out_document;
use super::form::{FieldError, Values};
use super::frame::Visit;
use super::release::let_document_out;
use super::router::Routes;
use super::state::App;
use crate::case::{CaseCode, Sight, store as cases};
use crate::conference::store::confidentiality;
use crate::document::Document;
use crate::review::booklet::store::{Offered, offered, years};
use crate::review::booklet::{Inputs, booklet};

/// The booklet's address.
pub(super) const PATH: &str = "/lessons/booklet";
/// Where its files are.
const FILES: &str = "/lessons/booklet/files";
const YEAR: &str = "year";

pub(super) fn add_routes(routes: Routes) -> Routes {
    routes.get(PATH, Allow::SignedIn, page::show).post(PATH, Allow::Signers, choose::choose).get(
        "/lessons/booklet/files/{format}",
        Allow::SignedIn,
        give,
    )
}

/// The year that is asked for; `None` for the latest.
fn read_year(values: &Values) -> Result<Option<i64>, Vec<FieldError>> {
    let typed = values.get(YEAR).trim();
    if typed.is_empty() {
        return Ok(None);
    }
    let year = typed.parse::<i64>().ok().filter(|year| CaseCode::new(*year, 1).is_ok());
    let message = || "No case can be of this year. Choose one from the list.".to_owned();
    year.map(Some).ok_or_else(|| vec![FieldError { name: YEAR.to_owned(), message: message() }])
}

/// A booklet that was made.
struct Made {
    document: Document,
    /// What keeps it from leaving.
    held: Option<Error>,
}

/// The booklet of the lessons on offer that are chosen; none when no lesson is.
async fn make(
    app: &App,
    conn: &mut SqliteConnection,
    year: i64,
    lessons: &[Offered],
) -> Result<Option<Made>, Error> {
    let chosen: BTreeSet<i64> = lessons.iter().filter(|one| one.chosen).map(|one| one.id).collect();
    if chosen.is_empty() {
        return Ok(None);
    }
    let of_cases: BTreeSet<i64> = lessons.iter().filter(|one| one.chosen).map(|one| one.case_id).collect();
    let found = cases::find_some(conn, &of_cases.into_iter().collect::<Vec<_>>()).await?;
    let line = confidentiality(conn).await?;
    let vocabulary = app.vocabulary();
    // Drawing many cases takes a while, and other requests must not wait for it.
    let written = tokio::task::spawn_blocking(move || {
        booklet(&Inputs { year, line: &line, cases: &found, chosen: &chosen }, &vocabulary)
    });
    let document = written.await.map_err(anyhow::Error::from)?;
    let held = let_document_out(conn, &document).await.err();
    Ok(Some(Made { document, held }))
}

/// The latest year that has a lesson on offer; none when none has.
async fn latest(conn: &mut SqliteConnection, sight: Sight) -> Result<Option<i64>, Error> {
    Ok(years(conn, sight).await?.first().copied())
}

async fn give(
    State(app): State<App>,
    visit: Visit,
    Path(format): Path<String>,
    RawQuery(query): RawQuery,
) -> Result<Response, Error> {
    let values = Values::from_encoded(query.as_deref().unwrap_or_default());
    let year = read_year(&values).map_err(|_| Error::NotFound)?;
    let mut tx = app.database.read_together().await?;
    let year = match year {
        Some(year) => year,
        None => latest(&mut tx, visit.sight()).await?.ok_or(Error::NotFound)?,
    };
    let lessons = offered(&mut tx, year, visit.sight()).await?;
    let made = make(&app, &mut tx, year, &lessons).await?.ok_or(Error::NotFound)?;
    drop(tx);
    made.held.map_or(Ok(()), Err)?;
    hand_out_document(&app, &format, format!("lessons-{year}"), made.document).await
}
