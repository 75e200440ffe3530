//! The history of a case: who changed what and when, the case as it stood, and an earlier version brought back.

use askama::Template;
use axum::extract::{Path, Query, State};
use axum::response::Response;
use jiff::Timestamp;
use jiff::tz::TimeZone;
use serde::Deserialize;

use super::{find, load};
use crate::case::identifier::covered;
use crate::case::past::{RowChange, told};
use crate::case::{StoredCase, check, store};
use crate::export::html;
use crate::history::{self, Door, Revision};
use crate::review::summary::teaching_summary;
use crate::web::error::Error;
use crate::web::frame::{Frame, Place, Visit, lead_to, page};
use crate::web::state::App;

/// How many revisions stand on a page.
const ON_A_PAGE: usize = 30;

/// A revision as the page shows it.
struct RevisionView {
    id: i64,
    who: String,
    at: String,
    note: Option<String>,
    rows: Vec<RowChange>,
    /// Whether what it holds can be read as a version of the case.
    is_last: bool,
}

impl RevisionView {
    /// Whether it is folded: a case that was recorded or imported as a whole is many rows.
    const fn is_long(&self) -> bool {
        self.rows.len() > 8
    }
}

#[derive(Template)]
#[template(path = "case/history.html")]
struct HistoryPage {
    frame: Frame,
    code: String,
    title: String,
    state: String,
    revisions: Vec<RevisionView>,
    /// The last revision of this page, after which older ones stand; none at the end.
    older: Option<i64>,
    is_first_page: bool,
}

/// `29 Nov 2026, 14:02`, where the server stands.
pub(in crate::web) fn moment(at: Timestamp) -> String {
    at.to_zoned(TimeZone::system()).strftime("%-d %b %Y, %H:%M").to_string()
}

fn when(text: &str) -> String {
    text.parse::<Timestamp>().map_or_else(|_| text.to_owned(), moment)
}

fn who(revision: &Revision) -> String {
    match revision.author.door {
        Door::Page | Door::Program | Door::CommandLine => revision.author.name.clone(),
        Door::Elsewhere => format!("{}, by {}", revision.author.name, revision.author.door.label()),
    }
}

#[derive(Deserialize)]
pub(super) struct Asked {
    before: Option<i64>,
}

pub(super) async fn show_history(
    State(app): State<App>,
    visit: Visit,
    Path(code): Path<String>,
    Query(asked): Query<Asked>,
) -> Result<Response, Error> {
    let mut conn = app.database.read().await?;
    let case = find(&mut conn, &visit, &code).await?;
    let mut changed = told(&history::store::changes_of_case(&mut conn, case.id).await?, &app.vocabulary());
    // What was put right since does not come to light again here.
    let own = store::own_words(&mut conn).await?;
    let dismissals = store::dismissals(&mut conn, case.id).await?;
    for row in changed.values_mut().flatten() {
        row.row = covered(&row.row, &own, &dismissals);
        for field in &mut row.fields {
            field.old = covered(&field.old, &own, &dismissals);
            field.new = covered(&field.new, &own, &dismissals);
        }
    }
    let revisions = history::store::revisions_of_case(&mut conn, case.id).await?;
    let last = revisions.first().map(|revision| revision.id);
    let mut shown: Vec<RevisionView> = revisions
        .iter()
        .filter(|revision| asked.before.is_none_or(|before| revision.id < before))
        .filter_map(|revision| {
            let rows = changed.remove(&revision.id)?;
            Some(RevisionView {
                id: revision.id,
                who: who(revision),
                at: when(&revision.at),
                note: revision.note.clone(),
                rows,
                is_last: last == Some(revision.id),
            })
        })
        .take(ON_A_PAGE + 1)
        .collect();
    let older = (shown.len() > ON_A_PAGE).then(|| shown.pop()).flatten().and(shown.last()).map(|row| row.id);
    page(&HistoryPage {
        frame: visit.frame(Place::Cases),
        code: case.code.to_string(),
        title: case.head.title.to_string(),
        state: match revisions.as_slice() {
            [] => "Nothing was changed yet.".to_owned(),
            [last, ..] => format!("Last changed by {} on {}.", who(last), when(&last.at)),
        },
        revisions: shown,
        older,
        is_first_page: asked.before.is_none(),
    })
}

#[derive(Template)]
#[template(path = "case/version.html")]
struct VersionPage {
    frame: Frame,
    code: String,
    revision: i64,
    who: String,
    at: String,
    /// Why it cannot be brought back as it is; empty when it can.
    problems: Vec<String>,
    /// Whether it may identify somebody; then it is not shown.
    held: bool,
    summary: String,
}

/// The revision of a case with this number.
async fn revision_of(app: &App, case: &StoredCase, number: i64) -> Result<Revision, Error> {
    let mut conn = app.database.read().await?;
    let revisions = history::store::revisions_of_case(&mut conn, case.id).await?;
    revisions.into_iter().find(|revision| revision.id == number).ok_or(Error::NotFound)
}

/// The case as it stood after a revision. It is brought back in a transaction that is then let go of, so that
/// it is read as every case is.
async fn version(app: &App, visit: &Visit, case: &StoredCase, number: i64) -> Result<StoredCase, Error> {
    let mut tx = app.database.write().await?;
    store::restore(&mut tx, case.id, number, app.now()).await?;
    let then = find(&mut tx, visit, &case.code.to_string()).await;
    tx.rollback().await?;
    then
}

fn problems_of(app: &App, case: &StoredCase) -> Vec<String> {
    check(&case.to_case(), &app.vocabulary()).into_iter().map(|problem| problem.message).collect()
}

pub(super) async fn show_version(
    State(app): State<App>,
    visit: Visit,
    Path((code, number)): Path<(String, i64)>,
) -> Result<Response, Error> {
    let case = load(&app, &visit, &code).await?;
    let revision = revision_of(&app, &case, number).await?;
    let then = version(&app, &visit, &case, number).await?;
    let document = teaching_summary(&then, &app.vocabulary(), &app.department(), None);
    page(&VersionPage {
        frame: visit.frame(Place::Cases),
        code: case.code.to_string(),
        revision: number,
        who: who(&revision),
        at: when(&revision.at),
        problems: problems_of(&app, &then),
        held: then.is_held(),
        summary: html::document_to_html(&document),
    })
}

pub(super) async fn restore_version(
    State(app): State<App>,
    visit: Visit,
    Path((code, number)): Path<(String, i64)>,
) -> Result<Response, Error> {
    let case = load(&app, &visit, &code).await?;
    let revision = revision_of(&app, &case, number).await?;
    let mut tx = app.database.write().await?;
    let changed = store::restore(&mut tx, case.id, number, app.now()).await?;
    let then = find(&mut tx, &visit, &code).await?;
    if let Some(problem) = problems_of(&app, &then).first() {
        return Err(Error::Conflict(format!("That version cannot be brought back as it is: {problem}")));
    }
    let path = format!("/cases/{}/history", case.code);
    if !changed {
        return Ok(lead_to(&path, "The case is already as it was then.", None));
    }
    tx.because(format!("Brought back what revision {number} left."));
    tx.commit().await?;
    Ok(lead_to(&path, &format!("The case is again as it was on {}.", when(&revision.at)), None))
}
