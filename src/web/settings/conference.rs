//! What the department sets for its conferences: the confidentiality line.

use axum::extract::State;
use axum::http::StatusCode;
use axum::response::Response;
use sqlx::SqliteConnection;

use super::Entry;
use crate::case::Fingerprint;
use crate::conference::{Confidentiality, store};
use crate::web::access::Allow;
use crate::web::error::Error;
use crate::web::form::{Field, FieldError, FormView, Reader, Values};
use crate::web::form_page::FormPage;
use crate::web::frame::{Place, Visit, lead_to, page, page_with};
use crate::web::router::Routes;
use crate::web::state::App;

const ADDRESS: &str = "/settings/conference";

pub(super) fn add_routes(routes: Routes) -> Routes {
    routes.get(ADDRESS, Allow::Keepers, show_settings).post(ADDRESS, Allow::Keepers, save_settings)
}

fn values_of(line: &Confidentiality) -> Values {
    Values::new().with("line", line)
}

fn fingerprint(line: &Confidentiality) -> Fingerprint {
    Fingerprint::of(&line.as_str())
}

fn form_page(visit: &Visit, saved: &Confidentiality, values: Values, errors: Vec<FieldError>) -> FormPage {
    FormPage {
        frame: visit.frame(Place::Settings),
        eyebrow: "Settings".to_owned(),
        title: "Conference".to_owned(),
        lead: "What stands over every agenda, every meeting and all minutes, from now on.".to_owned(),
        form: FormView {
            action: ADDRESS.to_owned(),
            cancel: "/settings".to_owned(),
            save: "Save",
            fields: vec![Field::lines("line", "Confidentiality line", 3).hint(
                "A sentence or two. What protects a peer review, and whether anything does, differs from place to place: have whoever knows your law write it. No names.",
            )],
            values,
            errors,
            base: fingerprint(saved).as_str().to_owned(),
            take_out: None,
        },
    }
}

async fn show_settings(State(app): State<App>, visit: Visit) -> Result<Response, Error> {
    let saved = store::confidentiality(&mut *app.database.read().await?).await?;
    page(&form_page(&visit, &saved, values_of(&saved), Vec::new()))
}

async fn save_settings(State(app): State<App>, visit: Visit, typed: Values) -> Result<Response, Error> {
    let mut tx = app.database.write().await?;
    let saved = store::confidentiality(&mut tx).await?;
    let mut reader = Reader::new(&typed);
    let line =
        reader.required::<Confidentiality>("line", "Write the line that stands over your conferences.");
    let line = match reader.finish(line) {
        Ok(line) => line,
        Err(errors) => {
            let base = typed.get("base").to_owned();
            let mut form = form_page(&visit, &saved, typed, errors);
            form.form.base = base;
            return page_with(StatusCode::UNPROCESSABLE_ENTITY, &form);
        }
    };
    if line != saved {
        if !fingerprint(&saved).matches(typed.get("base")) {
            let form = form_page(&visit, &saved, typed, Vec::new());
            return page_with(StatusCode::CONFLICT, &form.stale(&values_of(&saved)));
        }
        store::set_confidentiality(&mut tx, &line).await?;
        tx.commit().await?;
    }
    Ok(lead_to("/settings", &format!("Saved {}.", app.clock()), None))
}

/// The entry on the page of settings.
pub(super) async fn entry(conn: &mut SqliteConnection) -> Result<Entry, Error> {
    let line = store::confidentiality(conn).await?;
    Ok(Entry {
        href: ADDRESS,
        title: "Conference",
        text: "The confidentiality line over agendas, meetings, minutes and the lessons booklet.",
        now: if line.is_usual() {
            "The usual line stands there; it names no law.".to_owned()
        } else {
            "Your department’s own line stands there.".to_owned()
        },
    })
}
