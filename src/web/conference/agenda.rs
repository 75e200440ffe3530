//! Cases on and off an agenda.

use axum::extract::{Path, Query, State};
use axum::http::StatusCode;
use axum::response::Response;
use serde::Deserialize;
use sqlx::SqliteConnection;

use super::form::{case_view, read_case};
use super::{find, path_of};
use crate::case::list::{self, Filter, Listed, Sort};
use crate::case::{CaseCode, Stage, store as cases};
use crate::conference::{Added, Conference, MOST_CASES, store};
use crate::web::error::Error;
use crate::web::form::{FieldError, Values};
use crate::web::form_page::FormPage;
use crate::web::frame::{Place, Visit, lead_to, page, page_with};
use crate::web::state::App;

/// Cases that could go on the agenda and are not on it.
async fn waiting(conn: &mut SqliteConnection, conference: &Conference) -> Result<Vec<Listed>, Error> {
    let filter =
        Filter { stages: vec![Stage::InPreparation, Stage::Ready], sort: Sort::Changed, ..Filter::default() };
    let mut rows = list::page(conn, &filter, None).await?.rows;
    rows.retain(|row| conference.cases.iter().all(|case| case.code != row.code));
    Ok(rows)
}

async fn form_page(
    conn: &mut SqliteConnection,
    visit: &Visit,
    conference: &Conference,
    values: Values,
    errors: Vec<FieldError>,
) -> Result<FormPage, Error> {
    let waiting = waiting(conn, conference).await?;
    Ok(FormPage {
        frame: visit.frame(Place::Conferences),
        eyebrow: conference.title.to_string(),
        title: "A case for the agenda".to_owned(),
        lead: format!("For {}. It goes last.", conference.held_on.in_words()),
        form: case_view(conference, &waiting, values, errors),
    })
}

pub(super) async fn show_add_case(
    State(app): State<App>,
    visit: Visit,
    Path(id): Path<String>,
) -> Result<Response, Error> {
    let mut conn = app.database.read().await?;
    let conference = find(&mut conn, &id).await?;
    page(&form_page(&mut conn, &visit, &conference, Values::new(), Vec::new()).await?)
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
        Ok(code) => put_on(&mut tx, &conference, code, &values).await?.map(|()| code),
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
            let page = form_page(&mut tx, &visit, &conference, values, errors).await?;
            page_with(StatusCode::UNPROCESSABLE_ENTITY, &page)
        }
    }
}

/// Puts a case on an agenda, or says which field stands in the way.
async fn put_on(
    conn: &mut SqliteConnection,
    conference: &Conference,
    code: CaseCode,
    values: &Values,
) -> Result<Result<(), Vec<FieldError>>, Error> {
    let field = if values.get("code").trim().is_empty() { "case" } else { "code" };
    let wrong = |message: String| Ok(Err(vec![FieldError { name: field.to_owned(), message }]));
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

pub(super) async fn remove_case(
    State(app): State<App>,
    Path((id, code)): Path<(String, String)>,
) -> Result<Response, Error> {
    let code: CaseCode = code.parse().map_err(|_| Error::NotFound)?;
    let mut tx = app.database.write().await?;
    let conference = find(&mut tx, &id).await?;
    let path = path_of(conference.id);
    let Some(place) = conference.cases.iter().position(|case| case.code == code) else {
        return Ok(lead_to(&path, &format!("{code} was not on this agenda any more."), None));
    };
    store::remove_case(&mut tx, conference.id, conference.cases[place].id).await?;
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
    let added = store::put_back(&mut tx, conference.id, case_id, stood.place.unwrap_or(MOST_CASES)).await?;
    tx.commit().await?;
    let said = match added {
        Added::Added => format!("{code} is back on the agenda."),
        Added::AlreadyThere => format!("{code} is on the agenda."),
        Added::Full => format!("{code} is not back: the agenda is full now, with {MOST_CASES} cases."),
    };
    Ok(lead_to(&path_of(conference.id), &said, None))
}
