//! Cases on and off an agenda, and their order.

use axum::extract::{Path, Query, State};
use axum::http::StatusCode;
use axum::response::Response;
use serde::Deserialize;
use sqlx::SqliteConnection;

use super::links::path_of;
use super::{Way, candidates, find};
use crate::case::{CaseCode, store as cases};
use crate::conference::{Added, AgendaCase, Conference, MOST_CASES, store};
use crate::web::error::Error;
use crate::web::form::{FieldError, Reader, Values};
use crate::web::frame::{Visit, lead_to, page_with};
use crate::web::state::App;

/// The case of an agenda that an address names.
pub(super) fn of_agenda<'c>(conference: &'c Conference, code: &str) -> Result<&'c AgendaCase, Error> {
    let code: CaseCode = code.parse().map_err(|_| Error::NotFound)?;
    conference.case(code).ok_or(Error::NotFound)
}

/// Why a plan and an agenda do not change any more.
pub(super) const ENDED: &str =
    "The meeting was ended, so its plan and its agenda stay as they are. Open it again to change them.";

/// Leads back to an agenda that stays as it is, because its meeting was ended.
fn stays(conference: &Conference) -> Option<Response> {
    conference.is_ended().then(|| lead_to(&path_of(conference.id), ENDED, None))
}

/// Reads which case goes on an agenda.
fn read_case(values: &Values) -> Result<CaseCode, Vec<FieldError>> {
    let mut reader = Reader::new(values);
    let code = reader.required::<CaseCode>("code", "Choose a case from the list, or write its code here.");
    reader.finish(code)
}

pub(super) async fn add_case(
    State(app): State<App>,
    visit: Visit,
    Path(id): Path<String>,
    values: Values,
) -> Result<Response, Error> {
    let mut tx = app.database.write().await?;
    let conference = find(&mut tx, &id).await?;
    let outcome = match read_case(&values) {
        Ok(code) => put_on(&mut tx, &conference, code).await?.map(|()| code),
        Err(errors) => Err(errors),
    };
    match outcome {
        Ok(code) => {
            tx.commit().await?;
            let path = path_of(conference.id);
            Ok(lead_to(
                &path,
                &format!("{code} is on the agenda."),
                Some(&format!("{path}/cases/{code}/remove")),
            ))
        }
        Err(errors) => {
            let page = candidates::page_of(&mut tx, &app, &visit, &conference, values, errors).await?;
            page_with(StatusCode::UNPROCESSABLE_ENTITY, &page)
        }
    }
}

/// Puts a case on an agenda, or says what stands in the way.
async fn put_on(
    conn: &mut SqliteConnection,
    conference: &Conference,
    code: CaseCode,
) -> Result<Result<(), Vec<FieldError>>, Error> {
    let wrong = |message: String| Ok(Err(vec![FieldError { name: "code".to_owned(), message }]));
    if conference.is_ended() {
        return wrong(ENDED.to_owned());
    }
    let Some(case_id) = cases::find_id(conn, code).await? else {
        return wrong(format!("There is no case {code}. Check the code in the list of cases."));
    };
    match store::add_case(conn, conference.id, case_id).await? {
        Added::Added => Ok(Ok(())),
        Added::AlreadyThere => wrong(format!("{code} is on this agenda already.")),
        Added::Full => wrong(format!(
            "An agenda holds at most {MOST_CASES} cases. Take one off first, or choose another conference."
        )),
    }
}

pub(super) async fn move_up(state: State<App>, at: Path<(String, String)>) -> Result<Response, Error> {
    move_case(state, at, Way::Up).await
}

pub(super) async fn move_down(state: State<App>, at: Path<(String, String)>) -> Result<Response, Error> {
    move_case(state, at, Way::Down).await
}

async fn move_case(
    State(app): State<App>,
    Path((id, code)): Path<(String, String)>,
    way: Way,
) -> Result<Response, Error> {
    let mut tx = app.database.write().await?;
    let conference = find(&mut tx, &id).await?;
    let case = of_agenda(&conference, &code)?;
    if let Some(stays) = stays(&conference) {
        return Ok(stays);
    }
    let moved = store::move_case(&mut tx, conference.id, case.id, way).await?;
    tx.commit().await?;
    let said = match (moved, way) {
        (true, Way::Up) => format!("{} is told earlier.", case.code),
        (true, Way::Down) => format!("{} is told later.", case.code),
        (false, Way::Up) => format!("{} is the first already.", case.code),
        (false, Way::Down) => format!("{} is the last already.", case.code),
    };
    Ok(lead_to(&format!("{}#case-{}", path_of(conference.id), case.code), &said, None))
}

pub(super) async fn remove_case(
    State(app): State<App>,
    Path((id, code)): Path<(String, String)>,
) -> Result<Response, Error> {
    let code: CaseCode = code.parse().map_err(|_| Error::NotFound)?;
    let mut tx = app.database.write().await?;
    let conference = find(&mut tx, &id).await?;
    if let Some(stays) = stays(&conference) {
        return Ok(stays);
    }
    let path = path_of(conference.id);
    let Some(place) = conference.cases.iter().position(|case| case.code == code) else {
        return Ok(lead_to(&path, &format!("{code} was not on this agenda any more."), None));
    };
    store::remove_case(&mut tx, conference.id, conference.cases[place].id, app.now()).await?;
    tx.commit().await?;
    let undo = format!("{path}/cases/{code}/put-back?place={}", place + 1);
    Ok(lead_to(&path, &format!("{code} is off the agenda."), Some(&undo)))
}

/// Where a case stood before it was taken off.
#[derive(Deserialize)]
pub(super) struct Stood {
    place: Option<i64>,
}

pub(super) async fn put_back_case(
    State(app): State<App>,
    Path((id, code)): Path<(String, String)>,
    Query(stood): Query<Stood>,
) -> Result<Response, Error> {
    let code: CaseCode = code.parse().map_err(|_| Error::NotFound)?;
    let mut tx = app.database.write().await?;
    let conference = find(&mut tx, &id).await?;
    let case_id = cases::find_id(&mut tx, code).await?.ok_or(Error::NotFound)?;
    if let Some(stays) = stays(&conference) {
        return Ok(stays);
    }
    let added = store::put_back(&mut tx, conference.id, case_id, stood.place.unwrap_or(MOST_CASES)).await?;
    tx.commit().await?;
    let said = match added {
        Added::Added => format!("{code} is back on the agenda."),
        Added::AlreadyThere => format!("{code} is on the agenda."),
        Added::Full => format!("{code} is not back: the agenda is full now, with {MOST_CASES} cases."),
    };
    Ok(lead_to(&path_of(conference.id), &said, None))
}
