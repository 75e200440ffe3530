//! A pasted log with clock times: read into rows of offsets, looked over, and saved as events.
//!
//! The log and its clock times are in the request that brings them and in the answer to a mistake, and
//! nowhere else: no draft, no history, no line of the server's log.

mod entry;

use askama::Template;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::Response;

use self::entry::{EntryView, LIST, count_field, read_entries, values_of};
use super::{find, load};
use crate::case::{StoredCase, store};
use crate::deidentify::clock_log::{LogError, TimeZero, read_log};
use crate::web::error::Error;
use crate::web::form::{FieldError, Values};
use crate::web::frame::{Frame, Place, Visit, lead_to, page_with};
use crate::web::state::App;

const LOG: &str = "log";
const ZERO: &str = "log_zero";

#[derive(Template)]
#[template(path = "case/log.html")]
struct LogPage {
    frame: Frame,
    code: String,
    time_zero: String,
    log: String,
    zero: String,
    errors: Vec<FieldError>,
}

impl LogPage {
    fn error(&self, name: &str) -> &str {
        self.errors.iter().find(|error| error.name == name).map_or("", |error| error.message.as_str())
    }
}

#[derive(Template)]
#[template(path = "case/log_rows.html")]
struct RowsPage {
    frame: Frame,
    code: String,
    time_zero: String,
    state: String,
    rows: Vec<EntryView>,
    count: &'static str,
    errors: Vec<FieldError>,
}

fn time_zero(case: &StoredCase) -> String {
    case.head.time_zero.as_ref().map(ToString::to_string).unwrap_or_default()
}

fn log_page(
    visit: &Visit,
    case: &StoredCase,
    typed: &Values,
    errors: Vec<FieldError>,
) -> Result<Response, Error> {
    let status = if errors.is_empty() { StatusCode::OK } else { StatusCode::UNPROCESSABLE_ENTITY };
    let page = LogPage {
        frame: visit.frame(Place::Cases),
        code: case.code.to_string(),
        time_zero: time_zero(case),
        log: typed.get(LOG).to_owned(),
        zero: typed.get(ZERO).to_owned(),
        errors,
    };
    page_with(status, &page)
}

fn rows_page(
    visit: &Visit,
    case: &StoredCase,
    values: &Values,
    errors: Vec<FieldError>,
) -> Result<Response, Error> {
    let status = if errors.is_empty() { StatusCode::OK } else { StatusCode::UNPROCESSABLE_ENTITY };
    let rows = entry::views(values, &errors)?;
    let look = rows.iter().filter(|row| !row.notes.is_empty() || !row.findings.is_empty()).count();
    let state = match (rows.len(), look) {
        (1, 0) => "1 entry was read.".to_owned(),
        (1, _) => "1 entry was read, and asks for a look.".to_owned(),
        (all, 0) => format!("{all} entries were read."),
        (all, 1) => format!("{all} entries were read; one asks for a look."),
        (all, look) => format!("{all} entries were read; {look} ask for a look."),
    };
    let page = RowsPage {
        frame: visit.frame(Place::Cases),
        code: case.code.to_string(),
        time_zero: time_zero(case),
        count: count_field(),
        state,
        rows,
        errors,
    };
    page_with(status, &page)
}

pub(super) async fn show_log(
    State(app): State<App>,
    visit: Visit,
    Path(code): Path<String>,
) -> Result<Response, Error> {
    let case = load(&app, &visit, &code).await?;
    log_page(&visit, &case, &Values::new(), Vec::new())
}

/// Reads the log; the answer holds offsets and words, and the clock is gone.
pub(super) async fn read_pasted(
    State(app): State<App>,
    visit: Visit,
    Path(code): Path<String>,
    typed: Values,
) -> Result<Response, Error> {
    let case = load(&app, &visit, &code).await?;
    let zero = typed.get(ZERO).parse::<TimeZero>();
    let read = match zero {
        Ok(zero) => read_log(typed.get(LOG), &zero).map_err(|error| vec![error]),
        Err(_) if typed.get(LOG).trim().is_empty() => Err(vec![LogError::Empty, LogError::ZeroUnread]),
        Err(error) => Err(vec![error]),
    };
    match read {
        Ok(rows) => rows_page(&visit, &case, &values_of(&rows), Vec::new()),
        Err(errors) => {
            let errors = errors
                .into_iter()
                .map(|error| {
                    let name = match error {
                        LogError::ZeroUnread | LogError::ZeroLine | LogError::ZeroHalf => ZERO,
                        LogError::Empty | LogError::NoTimes | LogError::TooLong => LOG,
                    };
                    FieldError { name: name.to_owned(), message: error.to_string() }
                })
                .collect();
            log_page(&visit, &case, &typed, errors)
        }
    }
}

/// Saves the ticked rows as events, all or none.
pub(super) async fn save_entries(
    State(app): State<App>,
    visit: Visit,
    Path(code): Path<String>,
    typed: Values,
) -> Result<Response, Error> {
    let vocabulary = app.vocabulary();
    let mut tx = app.database.write().await?;
    let case = find(&mut tx, &visit, &code).await?;
    let wanted = entry::ticked(&typed)?.len();
    let keys = store::free_keys(&mut tx, case.id, LIST, wanted).await?;
    let events = match read_entries(&typed, &case, keys, &vocabulary)? {
        Ok(events) => events,
        Err(errors) => return rows_page(&visit, &case, &typed, errors),
    };
    store::insert_events(&mut tx, case.id, &events, app.now()).await?;
    tx.commit().await?;
    let what = if events.len() == 1 { "1 event".to_owned() } else { format!("{} events", events.len()) };
    let path = format!("/cases/{}/timeline", case.code);
    Ok(lead_to(&path, &format!("Saved {what} from the log {}.", app.clock()), None))
}
