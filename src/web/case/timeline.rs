//! The timeline on a page of its own, for typing it in; and the row that is added.

use askama::Template;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::Response;

use super::edit::try_add;
use super::event_part::EventPart;
use super::load;
use super::part::Shelf;
use super::view::{EntryRow, TimelineView};
use crate::case::reading::Reading;
use crate::case::{Event, Row, StoredCase};
use crate::deidentify::clock_log::holds_clock;
use crate::web::error::Error;
use crate::web::form::{FieldError, Values};
use crate::web::frame::{Frame, Place, Visit, lead_to, page_with};
use crate::web::state::App;

#[derive(Template)]
#[template(path = "case/timeline_page.html")]
struct TimelinePage {
    frame: Frame,
    code: String,
    title: String,
    timeline: TimelineView,
    writes: bool,
    /// Which rows hold a clock time in their words, in a sentence; empty when none does.
    clocks: String,
}

/// Which events hold a clock time in their words, by the numbers of their rows.
fn clocks(case: &StoredCase) -> String {
    let held = |row: &Row<Event>| row.value.text.as_ref().is_some_and(|text| holds_clock(text.as_str()));
    let numbers: Vec<String> =
        (1..).zip(&case.events).filter(|(_, row)| held(row)).map(|(number, _)| format!("{number}")).collect();
    match numbers.as_slice() {
        [] => String::new(),
        [one] => format!("Row {one} holds a clock time in its words."),
        [first @ .., last] => {
            format!("Rows {} and {last} hold clock times in their words.", first.join(", "))
        }
    }
}

fn timeline_page(
    app: &App,
    visit: &Visit,
    case: &StoredCase,
    values: Values,
    errors: Vec<FieldError>,
) -> Result<Response, Error> {
    let status = if errors.is_empty() { StatusCode::OK } else { StatusCode::UNPROCESSABLE_ENTITY };
    let vocabulary = app.vocabulary();
    let shelf = Shelf::of(app);
    let context = shelf.context(case);
    let reading = Reading::of(&case.events, &case.complications);
    let entry = EntryRow::of(&context, values, errors);
    let timeline =
        TimelineView { autofocus: true, ..TimelineView::of(case, &vocabulary, &reading, Some(entry)) };
    page_with(
        status,
        &TimelinePage {
            frame: visit.frame(Place::Cases),
            code: case.code.to_string(),
            title: case.head.title.to_string(),
            timeline,
            writes: true,
            clocks: clocks(case),
        },
    )
}

pub(super) async fn show_timeline(
    State(app): State<App>,
    visit: Visit,
    Path(code): Path<String>,
) -> Result<Response, Error> {
    let case = load(&app, &visit, &code).await?;
    timeline_page(&app, &visit, &case, Values::new(), Vec::new())
}

pub(super) async fn add_event(
    State(app): State<App>,
    visit: Visit,
    Path(code): Path<String>,
    values: Values,
) -> Result<Response, Error> {
    let (case, errors) = try_add::<EventPart>(&app, &visit, &code, &values).await?;
    match errors {
        None => {
            let path = format!("/cases/{}/timeline#add-event", case.code);
            Ok(lead_to(&path, &format!("Saved {}.", app.clock()), None))
        }
        Some(errors) => timeline_page(&app, &visit, &case, values, errors),
    }
}
