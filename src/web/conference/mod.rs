//! Conferences: the list, a new one, the plan and the agenda of each, its meeting, its minutes.

mod agenda;
mod candidates;
mod end;
mod form;
mod links;
mod meeting;
mod minutes;
mod page;
mod plan;
mod small_form;

use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::Response;

pub(super) use self::page::{days_away, what_is_missing};

use self::form::ConferenceForm;
use self::links::path_of;
use self::page::{ConferencePage, ConferencesPage};
use super::access::Allow::{SignedIn, Signers, Writers};
use super::error::Error;
use super::form::{FieldError, Values};
use super::form_page::FormPage;
use super::frame::{Place, Visit, lead_to, page, page_with};
use super::router::Routes;
use super::state::App;
use crate::conference::{Conference, Way, store};

pub(super) fn add_routes(routes: Routes) -> Routes {
    let routes = routes
        .get("/conferences", SignedIn, show_conferences)
        .post("/conferences", Signers, save_conference)
        .get("/conferences/new", Signers, show_new_conference)
        .get("/conferences/{id}", SignedIn, show_conference)
        .get("/conferences/{id}/edit", Signers, plan::show_plan)
        .post("/conferences/{id}", Signers, plan::save_plan)
        .get("/conferences/{id}/cases/new", Signers, candidates::show_candidates)
        .post("/conferences/{id}/cases", Signers, agenda::add_case)
        .get("/conferences/{id}/cases/{code}/edit", Signers, plan::show_case_plan)
        .post("/conferences/{id}/cases/{code}", Signers, plan::save_case_plan)
        .post("/conferences/{id}/cases/{code}/up", Signers, agenda::move_up)
        .post("/conferences/{id}/cases/{code}/down", Signers, agenda::move_down)
        .post("/conferences/{id}/cases/{code}/remove", Signers, agenda::remove_case)
        .post("/conferences/{id}/cases/{code}/put-back", Signers, agenda::put_back_case);
    routes
        .get("/conferences/{id}/meeting", Writers, meeting::show_meeting)
        .post("/conferences/{id}/meeting/attendance", Writers, meeting::save_attendance)
        .post("/conferences/{id}/meeting/notes", Writers, meeting::save_notes)
        .post("/conferences/{id}/meeting/cases/{code}", Writers, meeting::save_case)
        .post("/conferences/{id}/meeting/actions/{action}", Writers, meeting::save_carried)
        .get("/conferences/{id}/end", Signers, end::show_end)
        .post("/conferences/{id}/end", Signers, end::end_meeting)
        .post("/conferences/{id}/reopen", Signers, end::reopen_meeting)
        .get("/conferences/{id}/minutes", Writers, minutes::show_minutes)
        .get("/conferences/{id}/minutes/files/{format}", Writers, minutes::give)
}

/// The conference that an address names.
async fn find(conn: &mut sqlx::SqliteConnection, id: &str) -> Result<Conference, Error> {
    let id = id.parse().map_err(|_| Error::NotFound)?;
    store::find(conn, id).await?.ok_or(Error::NotFound)
}

async fn show_conferences(State(app): State<App>, visit: Visit) -> Result<Response, Error> {
    let conferences = store::list(&mut *app.database.read().await?, app.today()).await?;
    page(&ConferencesPage::of(visit.frame(Place::Conferences), &conferences, app.today(), visit.user.role))
}

async fn show_conference(
    State(app): State<App>,
    visit: Visit,
    Path(id): Path<String>,
) -> Result<Response, Error> {
    let mut conn = app.database.read().await?;
    let conference = find(&mut conn, &id).await?;
    let line = store::confidentiality(&mut conn).await?;
    let carried = if visit.user.role.writes() {
        Some(store::carried(&mut conn, &conference, visit.sight()).await?)
    } else {
        None
    };
    let frame = visit.frame(Place::Conferences);
    page(&ConferencePage::of(frame, &conference, &line, carried.as_deref(), (app.today(), &visit.user)))
}

fn new_page(visit: &Visit, values: Values, errors: Vec<FieldError>) -> FormPage {
    FormPage {
        frame: visit.frame(Place::Conferences),
        eyebrow: "Conferences".to_owned(),
        title: "A new conference".to_owned(),
        lead: "A day and a name; the agenda comes next. It is an hour long until you set another length."
            .to_owned(),
        form: ConferenceForm::view(values, errors),
    }
}

async fn show_new_conference(visit: Visit) -> Result<Response, Error> {
    page(&new_page(&visit, ConferenceForm::blank(), Vec::new()))
}

async fn save_conference(State(app): State<App>, visit: Visit, values: Values) -> Result<Response, Error> {
    let typed = match ConferenceForm::read(&values) {
        Ok(typed) => typed,
        Err(errors) => return page_with(StatusCode::UNPROCESSABLE_ENTITY, &new_page(&visit, values, errors)),
    };
    let mut tx = app.database.write().await?;
    match store::insert(&mut tx, typed.held_on, &typed.title).await {
        Ok(id) => {
            tx.commit().await?;
            Ok(lead_to(
                &path_of(id),
                &format!("The conference of {} is set.", typed.held_on.in_words()),
                None,
            ))
        }
        Err(error) if error.is_constraint("conferences.held_on") => {
            let errors = vec![form::day_is_taken(typed.held_on)];
            page_with(StatusCode::UNPROCESSABLE_ENTITY, &new_page(&visit, values, errors))
        }
        Err(error) => Err(error.into()),
    }
}
