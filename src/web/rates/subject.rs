//! One subject of the rates: a mechanism, a branch of the tree, or any complication.

mod baseline;
mod files;
mod gather;
mod page;

use axum::extract::{Path, RawQuery, State};
use axum::http::StatusCode;
use axum::response::Response;

pub(super) use self::files::{caution, picture_of};
use self::gather::Gathered;
use self::page::{Results, SubjectPage};
use super::query::{AskedOfOne, form_of_one, query_of};
use crate::rates::Subject;
use crate::vocabulary::Vocabulary;
use crate::web::access::Allow;
use crate::web::error::Error;
use crate::web::form::Values;
use crate::web::frame::{Place, Visit, page, page_with};
use crate::web::router::Routes;
use crate::web::state::App;

/// What stands for the slug of the whole in an address.
const ANY: &str = "any";

pub(super) fn add_routes(routes: Routes) -> Routes {
    routes
        .get("/rates/{kind}/{slug}", Allow::SignedIn, show_subject)
        .get("/rates/{kind}/{slug}/baseline", Allow::Keepers, baseline::show)
        .post("/rates/{kind}/{slug}/baseline", Allow::Keepers, baseline::save)
        .get("/rates/{kind}/{slug}/files/{file}", Allow::SignedIn, files::download_figure)
}

/// The address of a subject's page.
pub(in crate::web) fn path_of(subject: &Subject) -> String {
    match subject.key() {
        (kind, "") => format!("/rates/{kind}/{ANY}"),
        (kind, slug) => format!("/rates/{kind}/{slug}"),
    }
}

/// The subject that an address names.
///
/// # Errors
/// [`Error::NotFound`] when the tree has no such subject.
fn subject_of((kind, slug): (&str, &str), vocabulary: &Vocabulary) -> Result<Subject, Error> {
    let slug = if kind == Subject::WHOLE && slug == ANY { "" } else { slug };
    let subject = Subject::of_key(kind, slug).ok_or(Error::NotFound)?;
    subject.label(vocabulary).map(|_| subject).ok_or(Error::NotFound)
}

async fn show_subject(
    State(app): State<App>,
    visit: Visit,
    Path((kind, slug)): Path<(String, String)>,
    RawQuery(query): RawQuery,
) -> Result<Response, Error> {
    let vocabulary = app.vocabulary();
    let subject = subject_of((&kind, &slug), &vocabulary)?;
    let typed = Values::from_encoded(&query.unwrap_or_default());
    let frame = visit.frame(Place::Rates);
    let asked = match AskedOfOne::read(&typed, &vocabulary) {
        Ok(asked) => asked,
        Err(errors) => {
            let form = form_of_one(&typed, &vocabulary, errors);
            let page = SubjectPage::new(frame, &subject, &vocabulary, form, None);
            return page_with(StatusCode::UNPROCESSABLE_ENTITY, &page);
        }
    };
    let mut conn = app.database.read().await?;
    let gathered = Gathered::of(&mut conn, &app, &subject, (&asked, visit.sight())).await?;
    drop(conn);
    let values = asked.values(gathered.period);
    let form = form_of_one(&values, &vocabulary, Vec::new());
    let results = Results::of(&gathered, &asked, &query_of(values), visit.user.role);
    page(&SubjectPage::new(frame, &subject, &vocabulary, form, Some(results)))
}
