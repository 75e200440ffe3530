//! Ending a meeting: what will happen is said first, and then done.

use askama::Template;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::Response;

use super::find;
use super::links::{meeting_path, path_of};
use crate::case::reading::words::{count, join, lower_first};
use crate::case::{Day, Fingerprint};
use crate::conference::meeting::AtTheEnd;
use crate::conference::{AgendaCase, Conference, store};
use crate::web::error::Error;
use crate::web::form::Values;
use crate::web::frame::{Frame, Place, Visit, lead_to, page, page_with};
use crate::web::state::App;

/// The page that says what ending the meeting does.
#[derive(Template)]
#[template(path = "conference/end.html")]
struct EndPage {
    frame: Frame,
    conference: String,
    path: String,
    meeting_path: String,
    is_ended: bool,
    /// Why it cannot be ended now; none when it can.
    not_now: Option<String>,
    /// Whether the agenda changed since the page was shown.
    changed: bool,
    presented: Vec<CasePart>,
    stay: Vec<CasePart>,
    were: Vec<CasePart>,
    base: String,
}

struct CasePart {
    code: String,
    title: String,
    stage: String,
}

impl CasePart {
    fn of(case: &AgendaCase) -> Self {
        Self {
            code: case.code.to_string(),
            title: case.title.to_string(),
            stage: lower_first(case.stage.label()),
        }
    }
}

/// The cases of an agenda to which this happens.
fn cases_that(conference: &Conference, happens: AtTheEnd) -> impl Iterator<Item = &AgendaCase> {
    conference.cases.iter().filter(move |case| AtTheEnd::of(case) == happens)
}

/// The fingerprint of what ending the meeting does.
fn fingerprint(conference: &Conference) -> Fingerprint {
    let what: Vec<(String, AtTheEnd)> =
        conference.cases.iter().map(|case| (case.code.to_string(), AtTheEnd::of(case))).collect();
    Fingerprint::of(&what)
}

/// Why a meeting cannot be ended on a day; none when it can.
fn not_now(conference: &Conference, today: Day) -> Option<String> {
    if conference.is_ended() {
        return Some("This meeting is ended already.".to_owned());
    }
    (conference.held_on() > today).then(|| {
        format!(
            "The conference is on {}. A meeting is ended on its day or later; when it was held earlier, change its day first.",
            conference.held_on().in_words()
        )
    })
}

impl EndPage {
    fn of(frame: Frame, conference: &Conference, today: Day, changed: bool) -> Self {
        let parts = |happens| cases_that(conference, happens).map(CasePart::of).collect();
        Self {
            frame,
            conference: conference.plan.title.to_string(),
            path: path_of(conference.id),
            meeting_path: meeting_path(conference.id),
            is_ended: conference.is_ended(),
            not_now: not_now(conference, today),
            changed,
            presented: parts(AtTheEnd::IsPresented),
            stay: parts(AtTheEnd::Stays),
            were: parts(AtTheEnd::WasPresented),
            base: fingerprint(conference).as_str().to_owned(),
        }
    }
}

pub(super) async fn show_end(
    State(app): State<App>,
    visit: Visit,
    Path(id): Path<String>,
) -> Result<Response, Error> {
    let conference = find(&mut *app.database.read().await?, &id).await?;
    page(&EndPage::of(visit.frame(Place::Conferences), &conference, app.today(), false))
}

pub(super) async fn end_meeting(
    State(app): State<App>,
    visit: Visit,
    Path(id): Path<String>,
    values: Values,
) -> Result<Response, Error> {
    let mut tx = app.database.write().await?;
    let conference = find(&mut tx, &id).await?;
    let changed = !fingerprint(&conference).matches(values.get("base"));
    if not_now(&conference, app.today()).is_some() || changed {
        let page = EndPage::of(visit.frame(Place::Conferences), &conference, app.today(), changed);
        return page_with(StatusCode::CONFLICT, &page);
    }
    store::end(&mut tx, conference.id, (app.now(), app.today())).await?;
    tx.commit().await?;
    let path = format!("{}/minutes", path_of(conference.id));
    Ok(lead_to(&path, &format!("The meeting is ended. {}", what_happened(&conference)), None))
}

/// What became of the cases, in a sentence or two.
fn what_happened(conference: &Conference) -> String {
    let presented = match cases_that(conference, AtTheEnd::IsPresented).count() {
        0 => "No case became presented.".to_owned(),
        1 => "One case is presented now.".to_owned(),
        some => format!("{} cases are presented now.", count(some)),
    };
    let stay: Vec<String> = cases_that(conference, AtTheEnd::Stays)
        .map(|case| format!("{} ({})", case.code, lower_first(case.stage.label())))
        .collect();
    match stay.as_slice() {
        [] => presented,
        [one] => format!("{presented} One stays as it is: {one}."),
        some => format!("{presented} These stay as they are: {}.", join(some)),
    }
}

pub(super) async fn reopen_meeting(
    State(app): State<App>,
    Path(id): Path<String>,
) -> Result<Response, Error> {
    let mut tx = app.database.write().await?;
    let conference = find(&mut tx, &id).await?;
    if !conference.is_ended() {
        return Ok(lead_to(&meeting_path(conference.id), "The meeting is open.", None));
    }
    store::reopen(&mut tx, conference.id).await?;
    tx.commit().await?;
    let said = "The meeting is open again. Cases that were presented stay presented.";
    Ok(lead_to(&meeting_path(conference.id), said, None))
}
