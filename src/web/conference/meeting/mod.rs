//! The page on which a conference is held: notes, who came, carried-over actions, lessons and actions are
//! typed there and stand in the record at once.

mod forms;
mod page;

use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::Response;
use sqlx::SqliteConnection;

use self::forms::{OfCase, as_said, problems, read_attendance, read_carried, read_case, read_notes};
use self::page::{Looks, MeetingPage, stands};
use super::find;
use super::links::meeting_path;
use crate::case::reading::words::join;
use crate::case::store::{self as cases, RowValue};
use crate::case::{CaseCode, Fingerprint};
use crate::conference::meeting::{Became, CarriedAction, Meeting};
use crate::conference::{Notes, store};
use crate::database::StoreError;
use crate::web::error::Error;
use crate::web::form::{FieldError, Values};
use crate::web::frame::{Place, Visit, lead_to, page, page_with};
use crate::web::state::App;

/// Which form of the page was sent.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Sent {
    Attendance,
    Notes,
    Case(CaseCode),
    Carried(i64),
}

/// A form as it was typed, and why it was not saved.
struct Typed {
    sent: Sent,
    values: Values,
    errors: Vec<FieldError>,
    /// What somebody saved meanwhile.
    meanwhile: Option<String>,
}

/// Why a form was not saved.
enum NotSaved {
    /// What was typed cannot be read or kept.
    Wrong(Vec<FieldError>),
    /// Somebody saved this meanwhile.
    Stale(String),
    /// The meeting was ended meanwhile.
    Ended,
    /// There is no such form, or something failed.
    Failed(Error),
}

impl From<Vec<FieldError>> for NotSaved {
    fn from(errors: Vec<FieldError>) -> Self {
        Self::Wrong(errors)
    }
}

impl From<Error> for NotSaved {
    fn from(error: Error) -> Self {
        Self::Failed(error)
    }
}

impl From<StoreError> for NotSaved {
    fn from(error: StoreError) -> Self {
        Self::Failed(error.into())
    }
}

/// What was saved: its place on the page, and what is said of it.
struct Saved {
    anchor: String,
    said: String,
}

/// The fingerprint of notes.
fn fingerprint(notes: Option<&Notes>) -> Fingerprint {
    Fingerprint::of(&notes.map(|notes| notes.as_str()))
}

/// The fingerprint of a carried-over action and of what the meeting said of it.
fn fingerprint_of_carried(carried: &CarriedAction) -> Fingerprint {
    Fingerprint::of(&(&carried.action, carried.became.as_ref().map(Became::in_words)))
}

async fn load(conn: &mut SqliteConnection, visit: &Visit, id: &str) -> Result<Meeting, Error> {
    let conference = find(conn, id).await?;
    Ok(store::meeting(conn, conference, visit.sight()).await?)
}

async fn page_of(
    conn: &mut SqliteConnection,
    app: &App,
    visit: &Visit,
    meeting: &Meeting,
    typed: Option<&Typed>,
) -> Result<MeetingPage, Error> {
    let line = store::confidentiality(conn).await?;
    let looks = Looks { role: visit.user.role, today: app.today() };
    let frame = visit.frame(Place::Conferences);
    Ok(MeetingPage::of(frame, meeting, &line, &app.vocabulary(), looks, typed))
}

/// The page again, with the form that was not saved as it was typed.
async fn again(
    conn: &mut SqliteConnection,
    (app, visit): (&App, &Visit),
    meeting: &Meeting,
    (sent, values): (Sent, Values),
    why: NotSaved,
) -> Result<Response, Error> {
    let whole = |message: &str| vec![FieldError { name: String::new(), message: message.to_owned() }];
    let (status, errors, meanwhile) = match why {
        NotSaved::Wrong(errors) => (StatusCode::UNPROCESSABLE_ENTITY, errors, None),
        NotSaved::Stale(saved) => (
            StatusCode::CONFLICT,
            whole(
                "Somebody saved this while you wrote. What was saved stands below, yours is still in the form: put the two together and save again.",
            ),
            Some(saved),
        ),
        NotSaved::Ended => (
            StatusCode::CONFLICT,
            whole(
                "The meeting was ended meanwhile, so nothing is added to it. What you typed is still in the form. An attending or the quality lead opens the meeting again; then save it once more.",
            ),
            None,
        ),
        NotSaved::Failed(error) => return Err(error),
    };
    let typed = Typed { sent, values, errors, meanwhile };
    page_with(status, &page_of(conn, app, visit, meeting, Some(&typed)).await?)
}

pub(super) async fn show_meeting(
    State(app): State<App>,
    visit: Visit,
    Path(id): Path<String>,
) -> Result<Response, Error> {
    let mut conn = app.database.read().await?;
    let meeting = load(&mut conn, &visit, &id).await?;
    page(&page_of(&mut conn, &app, &visit, &meeting, None).await?)
}

pub(super) async fn save_attendance(
    state: State<App>,
    visit: Visit,
    Path(id): Path<String>,
    values: Values,
) -> Result<Response, Error> {
    save(state, visit, &id, Sent::Attendance, values).await
}

pub(super) async fn save_notes(
    state: State<App>,
    visit: Visit,
    Path(id): Path<String>,
    values: Values,
) -> Result<Response, Error> {
    save(state, visit, &id, Sent::Notes, values).await
}

pub(super) async fn save_case(
    state: State<App>,
    visit: Visit,
    Path((id, code)): Path<(String, String)>,
    values: Values,
) -> Result<Response, Error> {
    let code = code.parse().map_err(|_| Error::NotFound)?;
    save(state, visit, &id, Sent::Case(code), values).await
}

pub(super) async fn save_carried(
    state: State<App>,
    visit: Visit,
    Path((id, action)): Path<(String, String)>,
    values: Values,
) -> Result<Response, Error> {
    let action = action.parse().map_err(|_| Error::NotFound)?;
    save(state, visit, &id, Sent::Carried(action), values).await
}

/// Saves the form that was sent and leads back to it, or gives it back as it was typed.
async fn save(
    State(app): State<App>,
    visit: Visit,
    id: &str,
    sent: Sent,
    values: Values,
) -> Result<Response, Error> {
    let mut tx = app.database.write().await?;
    let meeting = load(&mut tx, &visit, id).await?;
    let outcome = match sent {
        Sent::Attendance => keep_attendance(&mut tx, &app, &meeting, &values).await,
        Sent::Notes => keep_notes(&mut tx, &app, &meeting, &values).await,
        Sent::Case(code) => keep_case(&mut tx, &app, &meeting, code, &values).await,
        Sent::Carried(action) => keep_carried(&mut tx, &app, &meeting, action, &values).await,
    };
    match outcome {
        Ok(Saved { anchor, said }) => {
            tx.commit().await?;
            Ok(lead_to(&format!("{}#{anchor}", meeting_path(meeting.conference.id)), &said, None))
        }
        Err(why) => again(&mut tx, (&app, &visit), &meeting, (sent, values), why).await,
    }
}

/// Nothing is added to a meeting that was ended.
const fn is_open(meeting: &Meeting) -> Result<(), NotSaved> {
    if meeting.conference.is_ended() { Err(NotSaved::Ended) } else { Ok(()) }
}

async fn keep_attendance(
    conn: &mut SqliteConnection,
    app: &App,
    meeting: &Meeting,
    values: &Values,
) -> Result<Saved, NotSaved> {
    is_open(meeting)?;
    let came = read_attendance(values)?;
    let saved = &meeting.attendance;
    if came != *saved && !Fingerprint::of(saved).matches(values.get("base")) {
        return Err(NotSaved::Stale(saved.in_words()));
    }
    store::set_attendance(conn, meeting.conference.id, &came).await?;
    let said = format!("Saved {}: {} came.", app.clock(), came.total_in_words());
    Ok(Saved { anchor: "attendance".to_owned(), said })
}

async fn keep_notes(
    conn: &mut SqliteConnection,
    app: &App,
    meeting: &Meeting,
    values: &Values,
) -> Result<Saved, NotSaved> {
    is_open(meeting)?;
    let notes = read_notes(values)?;
    stale_notes(meeting.notes.as_ref(), notes.as_ref(), values)?;
    store::set_notes(conn, meeting.conference.id, notes.as_ref()).await?;
    Ok(Saved { anchor: "notes".to_owned(), said: format!("Saved {}.", app.clock()) })
}

/// What was saved meanwhile, when notes that were changed would be written over it.
fn stale_notes(saved: Option<&Notes>, typed: Option<&Notes>, values: &Values) -> Result<(), NotSaved> {
    if saved != typed && !fingerprint(saved).matches(values.get("base")) {
        return Err(NotSaved::Stale(saved.map_or_else(String::new, ToString::to_string)));
    }
    Ok(())
}

async fn keep_case(
    conn: &mut SqliteConnection,
    app: &App,
    meeting: &Meeting,
    code: CaseCode,
    values: &Values,
) -> Result<Saved, NotSaved> {
    let discussed = meeting.cases.iter().find(|one| one.case.code == code).ok_or(Error::NotFound)?;
    is_open(meeting)?;
    let new = read_case(values)?;
    stale_notes(discussed.notes.as_ref(), new.notes.as_ref(), values)?;
    let stored = cases::find(conn, code).await?.ok_or(Error::NotFound)?;
    let errors = problems(&stored.to_case(), &new, &app.vocabulary());
    if !errors.is_empty() {
        return Err(NotSaved::Wrong(errors));
    }
    let changed = new.notes != discussed.notes;
    write_case(conn, app, (meeting.conference.id, stored.id), (&new, changed)).await?;
    Ok(Saved { anchor: format!("case-{code}"), said: said_of_case(&new, changed, code, &app.clock()) })
}

/// Writes the notes of a case when they changed, and its new lesson and action.
async fn write_case(
    conn: &mut SqliteConnection,
    app: &App,
    (conference_id, case_id): (i64, i64),
    (new, changed): (&OfCase, bool),
) -> Result<(), Error> {
    if changed {
        store::set_case_notes(conn, conference_id, case_id, new.notes.as_ref()).await?;
    }
    if let Some(lesson) = &new.lesson {
        let lesson = RowValue::Lesson(lesson.clone());
        let id = cases::insert_row(conn, case_id, &lesson, app.now()).await?;
        store::mark_lesson(conn, conference_id, id).await?;
    }
    if let Some(action) = &new.action {
        let action = RowValue::Action(action.clone());
        let id = cases::insert_row(conn, case_id, &action, app.now()).await?;
        store::mark_action(conn, conference_id, id).await?;
    }
    Ok(())
}

fn said_of_case(new: &OfCase, changed: bool, code: CaseCode, clock: &str) -> String {
    let parts: Vec<&str> =
        [(changed, "the notes"), (new.lesson.is_some(), "a lesson"), (new.action.is_some(), "an action")]
            .into_iter()
            .filter_map(|(is, what)| is.then_some(what))
            .collect();
    if parts.is_empty() {
        return format!("Nothing of {code} was changed.");
    }
    format!("Saved {clock}: {} of {code}.", join(&parts))
}

async fn keep_carried(
    conn: &mut SqliteConnection,
    app: &App,
    meeting: &Meeting,
    action_id: i64,
    values: &Values,
) -> Result<Saved, NotSaved> {
    let carried = meeting.carried.iter().find(|one| one.action.id == action_id).ok_or(Error::NotFound)?;
    is_open(meeting)?;
    let became = read_carried(values, meeting.conference.held_on(), app.today())?;
    if !fingerprint_of_carried(carried).matches(values.get("base")) {
        return Err(NotSaved::Stale(stands(carried)));
    }
    let stored = cases::find(conn, carried.code).await?.ok_or(Error::NotFound)?;
    let row = stored.actions.iter().find(|row| row.id == action_id).ok_or(Error::NotFound)?;
    let action = RowValue::Action(as_said(&row.value, &became));
    cases::update_row(conn, stored.id, action_id, &action, app.now()).await?;
    let was = (action_id, carried.due_before);
    store::remark(conn, meeting.conference.id, was, &became, app.today()).await?;
    let said = format!("Saved {}. {}", app.clock(), became.in_words());
    Ok(Saved { anchor: format!("carried-{action_id}"), said })
}
