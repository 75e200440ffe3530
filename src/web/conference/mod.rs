//! Conferences: the list, a new one, and the agenda of each.

mod agenda;
mod form;
mod page;

use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::Response;

pub(super) use self::page::days_away;

use self::form::ConferenceForm;
use self::page::{ConferencePage, ConferencesPage};
use super::access::Allow;
use super::error::Error;
use super::form::{FieldError, Values};
use super::form_page::FormPage;
use super::frame::{Place, Visit, lead_to, page, page_with};
use super::router::Routes;
use super::state::App;
use crate::conference::{Conference, store};

pub(super) fn add_routes(routes: Routes) -> Routes {
    routes
        .get("/conferences", Allow::SignedIn, show_conferences)
        .post("/conferences", Allow::Signers, save_conference)
        .get("/conferences/new", Allow::Signers, show_new_conference)
        .get("/conferences/{id}", Allow::SignedIn, show_conference)
        .get("/conferences/{id}/cases/new", Allow::Signers, agenda::show_add_case)
        .post("/conferences/{id}/cases", Allow::Signers, agenda::add_case)
        .post("/conferences/{id}/cases/{code}/remove", Allow::Signers, agenda::remove_case)
        .post("/conferences/{id}/cases/{code}/put-back", Allow::Signers, agenda::put_back_case)
}

/// The address of a conference.
fn path_of(id: i64) -> String {
    format!("/conferences/{id}")
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
    let conference = find(&mut *app.database.read().await?, &id).await?;
    page(&ConferencePage::of(visit.frame(Place::Conferences), &conference, app.today(), visit.user.role))
}

fn new_page(visit: &Visit, values: Values, errors: Vec<FieldError>) -> FormPage {
    FormPage {
        frame: visit.frame(Place::Conferences),
        eyebrow: "Conferences".to_owned(),
        title: "A new conference".to_owned(),
        lead: "A day and a name; the agenda comes next.".to_owned(),
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
            let message =
                format!("There is a conference on {} already. Choose another day.", typed.held_on.in_words());
            let errors = vec![FieldError { name: "held_on".to_owned(), message }];
            page_with(StatusCode::UNPROCESSABLE_ENTITY, &new_page(&visit, values, errors))
        }
        Err(error) => Err(error.into()),
    }
}
