//! Withdrawn cases: putting one back, and purging those that were kept long enough.

use askama::Template;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::Response;
use sqlx::SqliteConnection;

use super::Entry;
use crate::case::withdrawal::{KeptFor, Purged, Withdrawn};
use crate::case::{CaseCode, Fingerprint, store};
use crate::database::log_sqlite::empty_log;
use crate::draft::store as drafts;
use crate::web::access::Allow;
use crate::web::case::moment;
use crate::web::error::Error;
use crate::web::form::{Field, FieldError, FormView, Reader, Values};
use crate::web::form_page::FormPage;
use crate::web::frame::{Frame, Place, Visit, lead_to, page, page_with};
use crate::web::router::Routes;
use crate::web::state::App;

const ADDRESS: &str = "/settings/withdrawn";
const TERM: &str = "/settings/withdrawn/term";

pub(super) fn add_routes(routes: Routes) -> Routes {
    routes
        .get(ADDRESS, Allow::Keepers, show_withdrawn)
        .get(TERM, Allow::Keepers, show_term)
        .post(TERM, Allow::Keepers, save_term)
        .post("/settings/withdrawn/{code}/put-back", Allow::Keepers, put_back)
        .post("/settings/withdrawn/{code}/purge", Allow::Keepers, purge)
}

struct WithdrawnView {
    code: CaseCode,
    title: String,
    by: String,
    at: String,
    because: String,
    /// From when on it may be purged.
    kept_until: String,
    may_be_purged: bool,
}

#[derive(Template)]
#[template(path = "settings/withdrawn.html")]
struct WithdrawnPage {
    frame: Frame,
    state: String,
    days: KeptFor,
    cases: Vec<WithdrawnView>,
    purged: Vec<Purged>,
}

async fn show_withdrawn(State(app): State<App>, visit: Visit) -> Result<Response, Error> {
    let mut conn = app.database.read().await?;
    let days = store::kept_for(&mut conn).await?;
    let cases = store::withdrawn(&mut conn).await?;
    let now = app.now();
    page(&WithdrawnPage {
        frame: visit.frame(Place::Settings),
        state: how_many(cases.len()),
        days,
        purged: store::purged(&mut conn).await?,
        cases: cases
            .into_iter()
            .map(|case| WithdrawnView {
                kept_until: moment(days.until(case.at)),
                may_be_purged: days.until(case.at) <= now,
                at: moment(case.at),
                code: case.code,
                title: case.title,
                by: case.by,
                because: case.because,
            })
            .collect(),
    })
}

fn how_many(cases: usize) -> String {
    match cases {
        0 => "No case is withdrawn.".to_owned(),
        1 => "One case is withdrawn.".to_owned(),
        many => format!("{many} cases are withdrawn."),
    }
}

async fn of_code(conn: &mut SqliteConnection, code: &str) -> Result<Withdrawn, Error> {
    let code: CaseCode = code.parse().map_err(|_| Error::NotFound)?;
    store::withdrawn(conn).await?.into_iter().find(|case| case.code == code).ok_or(Error::NotFound)
}

async fn put_back(State(app): State<App>, Path(code): Path<String>) -> Result<Response, Error> {
    let mut tx = app.database.write().await?;
    let case = of_code(&mut tx, &code).await?;
    store::put_case_back(&mut tx, case.id, app.now()).await?;
    tx.because("Put back.");
    tx.commit().await?;
    Ok(lead_to(&format!("/cases/{}", case.code), "The case is back, as it was.", None))
}

async fn purge(State(app): State<App>, Path(code): Path<String>) -> Result<Response, Error> {
    let mut tx = app.database.write().await?;
    let case = of_code(&mut tx, &code).await?;
    let until = store::kept_for(&mut tx).await?.until(case.at);
    if until > app.now() {
        return Err(Error::Conflict(format!(
            "Case {} is kept until {}, as the department has set. It can be put back until then.",
            case.code,
            moment(until)
        )));
    }
    store::purge(&mut tx, &case, app.today()).await?;
    drafts::discard_under(&mut tx, &format!("/cases/{}", case.code)).await?;
    tx.because(format!("Case {} purged.", case.code));
    tx.commit().await?;
    empty_log(&mut *app.database.read().await?).await?;
    let text = format!(
        "Case {} is purged. Its code stays taken; backups made before today still hold it.",
        case.code
    );
    Ok(lead_to(ADDRESS, &text, None))
}

fn values_of(days: KeptFor) -> Values {
    Values::new().with("days", days)
}

fn term_page(visit: &Visit, saved: KeptFor, values: Values, errors: Vec<FieldError>) -> FormPage {
    FormPage {
        frame: visit.frame(Place::Settings),
        eyebrow: "Withdrawn cases".to_owned(),
        title: "How long withdrawn cases are kept".to_owned(),
        lead: "Nothing is purged by itself. After this time the quality lead may purge a case by hand.".to_owned(),
        form: FormView {
            action: TERM.to_owned(),
            cancel: ADDRESS.to_owned(),
            save: "Save",
            fields: vec![Field::number("days", "Kept for", "days").hint(
                "30 to 3650. How long records of a peer review have to be kept differs from place to place: ask whoever knows your law.",
            )],
            values,
            errors,
            base: Fingerprint::of(&saved.days()).as_str().to_owned(),
            take_out: None,
        },
    }
}

async fn show_term(State(app): State<App>, visit: Visit) -> Result<Response, Error> {
    let saved = store::kept_for(&mut *app.database.read().await?).await?;
    page(&term_page(&visit, saved, values_of(saved), Vec::new()))
}

async fn save_term(State(app): State<App>, visit: Visit, typed: Values) -> Result<Response, Error> {
    let mut tx = app.database.write().await?;
    let saved = store::kept_for(&mut tx).await?;
    let mut reader = Reader::new(&typed);
    let days = reader.required::<KeptFor>("days", "Say for how many days.");
    let days = match reader.finish(days) {
        Ok(days) => days,
        Err(errors) => {
            let base = typed.get("base").to_owned();
            let mut form = term_page(&visit, saved, typed, errors);
            form.form.base = base;
            return page_with(StatusCode::UNPROCESSABLE_ENTITY, &form);
        }
    };
    if days != saved {
        if !Fingerprint::of(&saved.days()).matches(typed.get("base")) {
            let form = term_page(&visit, saved, typed, Vec::new());
            return page_with(StatusCode::CONFLICT, &form.stale(&values_of(saved)));
        }
        store::set_kept_for(&mut tx, days).await?;
        tx.commit().await?;
    }
    Ok(lead_to(ADDRESS, &format!("Saved {}.", app.clock()), None))
}

/// The entry on the page of settings.
pub(super) async fn entry(conn: &mut SqliteConnection) -> Result<Entry, Error> {
    Ok(Entry {
        href: ADDRESS,
        title: "Withdrawn cases",
        text: "What was taken out of everything, with its reason; to be put back, or purged after its time.",
        now: how_many(store::withdrawn(conn).await?.len()),
    })
}
