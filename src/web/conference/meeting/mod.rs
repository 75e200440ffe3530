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
use crate::conference::meeting::Meeting;
use crate::conference::{Notes, store};
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
}

/// The fingerprint of notes.
fn fingerprint(notes: Option<&Notes>) -> Fingerprint {
    Fingerprint::of(&notes.map(|notes| notes.as_str()))
}

async fn load(conn: &mut SqliteConnection, id: &str) -> Result<Meeting, Error> {
    let conference = find(conn, id).await?;
    Ok(store::meeting(conn, conference).await?)
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
    let meeting = load(&mut conn, &id).await?;
    page(&page_of(&mut conn, &app, &visit, &meeting, None).await?)
}

/// Leads back to the form that was saved.
fn back_to(meeting: &Meeting, anchor: &str, said: &str) -> Response {
    lead_to(&format!("{}#{anchor}", meeting_path(meeting.conference.id)), said, None)
}

pub(super) async fn save_attendance(
    State(app): State<App>,
    visit: Visit,
    Path(id): Path<String>,
    values: Values,
) -> Result<Response, Error> {
    let mut tx = app.database.write().await?;
    let meeting = load(&mut tx, &id).await?;
    let why = match read_attendance(&values) {
        _ if meeting.conference.is_ended() => NotSaved::Ended,
        Err(errors) => NotSaved::Wrong(errors),
        Ok(came)
            if came != meeting.attendance
                && !Fingerprint::of(&meeting.attendance).matches(values.get("base")) =>
        {
            let groups =
                meeting.attendance.groups().map(|(group, people)| format!("{}: {people}", group.label()));
            NotSaved::Stale(groups.collect::<Vec<_>>().join("; "))
        }
        Ok(came) => {
            store::set_attendance(&mut tx, meeting.conference.id, &came).await?;
            tx.commit().await?;
            let said = format!("Saved {}: {} came.", app.clock(), came.total_in_words());
            return Ok(back_to(&meeting, "attendance", &said));
        }
    };
    again(&mut tx, (&app, &visit), &meeting, (Sent::Attendance, values), why).await
}

pub(super) async fn save_notes(
    State(app): State<App>,
    visit: Visit,
    Path(id): Path<String>,
    values: Values,
) -> Result<Response, Error> {
    let mut tx = app.database.write().await?;
    let meeting = load(&mut tx, &id).await?;
    let why = match read_notes(&values) {
        _ if meeting.conference.is_ended() => NotSaved::Ended,
        Err(errors) => NotSaved::Wrong(errors),
        Ok(notes) => match stale_notes(meeting.notes.as_ref(), notes.as_ref(), &values) {
            Some(saved) => NotSaved::Stale(saved),
            None => {
                store::set_notes(&mut tx, meeting.conference.id, notes.as_ref()).await?;
                tx.commit().await?;
                return Ok(back_to(&meeting, "notes", &format!("Saved {}.", app.clock())));
            }
        },
    };
    again(&mut tx, (&app, &visit), &meeting, (Sent::Notes, values), why).await
}

/// What was saved meanwhile, when notes that were changed would be written over it.
fn stale_notes(saved: Option<&Notes>, typed: Option<&Notes>, values: &Values) -> Option<String> {
    let is_stale = saved != typed && !fingerprint(saved).matches(values.get("base"));
    is_stale.then(|| saved.map_or_else(String::new, ToString::to_string))
}

pub(super) async fn save_case(
    State(app): State<App>,
    visit: Visit,
    Path((id, code)): Path<(String, String)>,
    values: Values,
) -> Result<Response, Error> {
    let mut tx = app.database.write().await?;
    let meeting = load(&mut tx, &id).await?;
    let code: CaseCode = code.parse().map_err(|_| Error::NotFound)?;
    let discussed = meeting.cases.iter().find(|one| one.case.code == code).ok_or(Error::NotFound)?;
    let why = match read_case(&values) {
        _ if meeting.conference.is_ended() => NotSaved::Ended,
        Err(errors) => NotSaved::Wrong(errors),
        Ok(new) => match stale_notes(discussed.notes.as_ref(), new.notes.as_ref(), &values) {
            Some(saved) => NotSaved::Stale(saved),
            None => {
                let stored = cases::find(&mut tx, code).await?.ok_or(Error::NotFound)?;
                let errors = problems(&stored.to_case(), &new, &app.vocabulary());
                if errors.is_empty() {
                    let changed = new.notes != discussed.notes;
                    keep(&mut tx, &app, (meeting.conference.id, stored.id), (&new, changed)).await?;
                    tx.commit().await?;
                    let said = said_of_case(&new, changed, code, &app.clock());
                    return Ok(back_to(&meeting, &format!("case-{code}"), &said));
                }
                NotSaved::Wrong(errors)
            }
        },
    };
    again(&mut tx, (&app, &visit), &meeting, (Sent::Case(code), values), why).await
}

/// Writes the notes of a case when they changed, and its new lesson and action.
async fn keep(
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

pub(super) async fn save_carried(
    State(app): State<App>,
    visit: Visit,
    Path((id, action)): Path<(String, String)>,
    values: Values,
) -> Result<Response, Error> {
    let mut tx = app.database.write().await?;
    let meeting = load(&mut tx, &id).await?;
    let action_id: i64 = action.parse().map_err(|_| Error::NotFound)?;
    // A meeting that was ended carries nothing over any more, but what was typed must come back.
    let carried = meeting.carried.iter().find(|one| one.action.id == action_id).ok_or(Error::NotFound)?;
    let held_on = meeting.conference.held_on();
    let why = match read_carried(&values, held_on, app.today()) {
        _ if meeting.conference.is_ended() => NotSaved::Ended,
        Err(errors) => NotSaved::Wrong(errors),
        Ok(_) if !Fingerprint::of(&carried.action).matches(values.get("base")) => {
            NotSaved::Stale(stands(&carried.action))
        }
        Ok(became) => {
            let stored = cases::find(&mut tx, carried.code).await?.ok_or(Error::NotFound)?;
            let row = stored.actions.iter().find(|row| row.id == action_id).ok_or(Error::NotFound)?;
            let action = RowValue::Action(as_said(&row.value, &became));
            cases::update_row(&mut tx, stored.id, action_id, &action, app.now()).await?;
            store::remark(&mut tx, meeting.conference.id, carried, &became, app.today()).await?;
            tx.commit().await?;
            let said = format!("Saved {}. {}", app.clock(), became.in_words());
            return Ok(back_to(&meeting, &format!("carried-{action_id}"), &said));
        }
    };
    again(&mut tx, (&app, &visit), &meeting, (Sent::Carried(action_id), values), why).await
}
