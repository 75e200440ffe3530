//! The teaching summary of a case, as a page.

use askama::Template;
use axum::extract::{Path, RawQuery, State};
use axum::response::Response;
use sqlx::SqliteConnection;

use super::find;
use crate::case::StoredCase;
use crate::document::Document;
use crate::export::html;
use crate::rates;
use crate::review::summary::{protected_summary, rate_mechanism, teaching_summary};
use crate::web::combination;
use crate::web::error::Error;
use crate::web::files::{DocumentFile, document_files, files_path};
use crate::web::form::Values;
use crate::web::frame::{Frame, Place, Visit, page};
use crate::web::release::{HeldPart, let_case_out, let_document_out};
use crate::web::state::App;

#[derive(Template)]
#[template(path = "case/summary.html")]
struct SummaryPage {
    frame: Frame,
    code: String,
    title: String,
    summary: String,
    /// What keeps it from being printed; none when nothing does.
    held: Option<HeldPart>,
    /// What is told more generally; `None` where all is told as recorded.
    protected: Option<String>,
    /// The files of the protected summary; those of the other stand on the page of files.
    files: Vec<DocumentFile>,
    /// How many cases share its month, age, sex and mechanism, for who may ask further; empty otherwise.
    alike: String,
}

/// A summary and what it is of.
pub(in crate::web) struct Summary {
    pub(in crate::web) case: StoredCase,
    pub(in crate::web) document: Document,
    /// What is told more generally, in a sentence; `None` where nothing is.
    pub(in crate::web) protected: Option<String>,
    /// What keeps it from leaving.
    pub(in crate::web) held: Option<Error>,
}

/// Whether the summary is asked for as it may leave the department: `?protect=yes`.
pub(in crate::web) fn asks_protection(query: Option<String>) -> bool {
    Values::from_encoded(&query.unwrap_or_default()).get("protect") == "yes"
}

/// A case with its teaching summary, as recorded or as it may leave the department.
pub(in crate::web) async fn summary_of(
    app: &App,
    visit: &Visit,
    code: &str,
    protect: bool,
) -> Result<Summary, Error> {
    let mut conn = app.database.read().await?;
    let case = find(&mut conn, visit, code).await?;
    let vocabulary = app.vocabulary();
    let rate = match rate_mechanism(&case) {
        Some(mechanism) => {
            rates::store::case_rate(&mut conn, &vocabulary, &mechanism, app.this_month()).await?
        }
        None => None,
    };
    let department = app.department();
    if !protect {
        let document = teaching_summary(&case, &vocabulary, &department, rate.as_ref());
        let held = held(&mut conn, &case, &document).await;
        return Ok(Summary { case, document, protected: None, held });
    }
    let (all, k) = combination::load(app, &mut conn).await?;
    let record = all.place_of(case.code).ok_or(Error::NotFound)?;
    let coarse = all.coarse(record, k);
    let document = protected_summary(&case, &vocabulary, &department, rate.as_ref(), &coarse);
    let one_of = coarse.one_of;
    let says = if one_of >= k {
        format!(
            "Month and age are told so generally that it is one of {one_of} cases by month, age, sex and mechanism."
        )
    } else {
        format!(
            "Month and age are left out. Even so it is one of {one_of} by sex and mechanism, and your department asks for {k}: think twice before it leaves."
        )
    };
    let held = held(&mut conn, &case, &document).await;
    Ok(Summary { case, document, protected: Some(says), held })
}

/// What keeps a summary from leaving.
async fn held(conn: &mut SqliteConnection, case: &StoredCase, document: &Document) -> Option<Error> {
    match let_case_out(case) {
        Ok(()) => let_document_out(conn, document).await.err(),
        Err(held) => Some(held),
    }
}

/// How many cases share month, age, sex and mechanism with this one, in a sentence.
async fn alike(app: &App, code: &str) -> Result<String, Error> {
    let code = code.parse().map_err(|_| Error::NotFound)?;
    let like = rates::store::cases_like(&mut *app.database.read().await?, code).await?;
    Ok(match like {
        0 | 1 => "This case stands alone by month, age, sex and mechanism.".to_owned(),
        like => format!("This case is one of {like} by month, age, sex and mechanism."),
    })
}

pub(super) async fn show_summary(
    State(app): State<App>,
    visit: Visit,
    Path(code): Path<String>,
    RawQuery(query): RawQuery,
) -> Result<Response, Error> {
    let Summary { case, document, protected, held } =
        summary_of(&app, &visit, &code, asks_protection(query)).await?;
    let asks = visit.user.role.signs() && protected.is_none();
    let alike = if asks { alike(&app, &code).await? } else { String::new() };
    page(&SummaryPage {
        frame: visit.frame(Place::Cases),
        held: held.map(HeldPart::of).transpose()?,
        title: document.title().to_owned(),
        summary: html::document_to_html(&document),
        alike,
        protected,
        files: document_files(&format!("{}/summary", files_path(case.code)), "?protect=yes"),
        code: case.code.to_string(),
    })
}
