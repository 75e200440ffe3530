//! The quarterly report, as a page and as a file.

use askama::Template;
use axum::extract::{Path, RawQuery, State};
use axum::http::StatusCode;
use axum::response::Response;
use sqlx::pool::PoolConnection;
use sqlx::{Sqlite, SqliteConnection};

use crate::case::Sight;
use crate::document::Document;
use crate::export::html;
use crate::rates::{ALL_PCI, store};
use crate::review::report::{self, Quarter, quarterly_report};
use crate::web::access::Allow;
use crate::web::error::Error;
use crate::web::files::{DocumentFile, document_files, hand_out_document};
use crate::web::form::{FieldError, Reader, Values};
use crate::web::frame::{Frame, Place, Visit, page, page_with};
use crate::web::release::{HeldPart, let_document_out};
use crate::web::router::Routes;
use crate::web::state::App;

const PATH: &str = "/rates/report";
const FILES: &str = "/rates/report/files";
const FIELD: &str = "quarter";

pub(super) fn add_routes(routes: Routes) -> Routes {
    routes.get(PATH, Allow::Writers, show).get("/rates/report/files/{format}", Allow::Writers, give)
}

#[derive(Template)]
#[template(path = "rates/report.html")]
struct ReportPage {
    frame: Frame,
    /// What is chosen, as it was asked for.
    quarter: String,
    /// The quarters on offer, the latest first, each with its months.
    quarters: Vec<(String, String)>,
    errors: Vec<FieldError>,
    /// The title and the report; `None` when the quarter cannot be read.
    report: Option<(String, String)>,
    files: Vec<DocumentFile>,
    held: Option<HeldPart>,
}

impl ReportPage {
    /// What was asked for and is no choice; it stays to be seen.
    fn is_foreign(&self) -> bool {
        !self.quarters.iter().any(|(quarter, _)| *quarter == self.quarter)
    }

    fn title(&self) -> &str {
        self.report.as_ref().map_or("Quarterly report", |(title, _)| title)
    }
}

/// The quarter that now runs.
fn running(app: &App) -> Quarter {
    Quarter::containing(app.this_month())
}

/// The quarter that is asked for; `None` for the usual one.
fn read_quarter(typed: &Values, running: Quarter) -> Result<Option<Quarter>, Vec<FieldError>> {
    let mut reader = Reader::new(typed);
    let quarter = reader.optional::<Quarter>(FIELD);
    if quarter.is_some_and(|quarter| quarter > running) {
        reader.mark(FIELD, "This quarter has not begun. Choose one that has.");
    }
    reader.finish(Some(quarter))
}

/// The quarter when nobody chose one: the last whose months are all counted, else the running one.
async fn usual(conn: &mut SqliteConnection, running: Quarter) -> Result<Quarter, Error> {
    let to = running.period().to();
    let from = store::first_counted(conn, &ALL_PCI).await?.unwrap_or(to).min(to);
    let at_risk = store::at_risk_of(conn, &ALL_PCI, (from, to)).await?;
    Ok(running.last_counted(&at_risk).unwrap_or(running))
}

/// The quarters that have cases or counted months, the running one first.
async fn quarters(
    conn: &mut SqliteConnection,
    running: Quarter,
    chosen: Option<Quarter>,
) -> Result<Vec<(String, String)>, Error> {
    let recorded = store::recorded_since(conn).await?;
    let counted = store::first_counted(conn, &ALL_PCI).await?;
    let first = [recorded, counted, chosen.map(|chosen| chosen.period().from())].into_iter().flatten().min();
    let first = first.unwrap_or_else(|| running.period().from());
    Ok(running.back_to(first).map(|quarter| (quarter.to_string(), quarter.period().to_string())).collect())
}

async fn report_of(
    app: &App,
    mut conn: PoolConnection<Sqlite>,
    (quarter, sight): (Quarter, Sight),
) -> Result<Document, Error> {
    let inputs = report::store::gather(&mut conn, quarter, sight).await?;
    drop(conn);
    let (vocabulary, today) = (app.vocabulary(), app.today());
    // The limits of many watches take a while to find, and other requests must not wait for them.
    let written = tokio::task::spawn_blocking(move || quarterly_report(quarter, &vocabulary, today, &inputs));
    Ok(written.await.map_err(anyhow::Error::from)?)
}

async fn show(State(app): State<App>, visit: Visit, RawQuery(query): RawQuery) -> Result<Response, Error> {
    let typed = Values::from_encoded(&query.unwrap_or_default());
    let frame = visit.frame(Place::Rates);
    let running = running(&app);
    let mut conn = app.database.read().await?;
    let quarter = match read_quarter(&typed, running) {
        Ok(Some(quarter)) => quarter,
        Ok(None) => usual(&mut conn, running).await?,
        Err(errors) => {
            let quarters = quarters(&mut conn, running, None).await?;
            let quarter = typed.get(FIELD).to_owned();
            let page =
                ReportPage { frame, quarter, quarters, errors, report: None, files: Vec::new(), held: None };
            return page_with(StatusCode::UNPROCESSABLE_ENTITY, &page);
        }
    };
    let quarters = quarters(&mut conn, running, Some(quarter)).await?;
    let document = report_of(&app, conn, (quarter, visit.sight())).await?;
    let held = let_document_out(&mut *app.database.read().await?, &document).await.err();
    page(&ReportPage {
        frame,
        held: held.map(HeldPart::of).transpose()?,
        files: document_files(FILES, &format!("?quarter={quarter}")),
        quarter: quarter.to_string(),
        quarters,
        errors: Vec::new(),
        report: Some((document.title().to_owned(), html::document_to_html(&document))),
    })
}

async fn give(
    State(app): State<App>,
    visit: Visit,
    Path(format): Path<String>,
    RawQuery(query): RawQuery,
) -> Result<Response, Error> {
    let typed = Values::from_encoded(query.as_deref().unwrap_or_default());
    let mut conn = app.database.read().await?;
    let quarter = match read_quarter(&typed, running(&app)) {
        Ok(Some(quarter)) => quarter,
        Ok(None) => usual(&mut conn, running(&app)).await?,
        Err(_) => {
            drop(conn);
            return show(State(app), visit, RawQuery(query)).await;
        }
    };
    let document = report_of(&app, conn, (quarter, visit.sight())).await?;
    let_document_out(&mut *app.database.read().await?, &document).await?;
    hand_out_document(&app, &format, format!("report-{quarter}"), document).await
}
