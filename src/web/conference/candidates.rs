//! The list of what could go on an agenda, with the reasons for each.

use askama::Template;
use axum::extract::{Path, State};
use axum::response::Response;
use sqlx::SqliteConnection;

use super::find;
use super::links::{basis, path_of};
use crate::conference::store::{Candidates, MOST_RECORDED, MOST_WEIGHED, candidates};
use crate::conference::worth::{Weight, Worth};
use crate::conference::{Conference, Fit};
use crate::review::judgement::store as judgements;
use crate::vocabulary::Vocabulary;
use crate::web::error::Error;
use crate::web::form::{FieldError, Values};
use crate::web::frame::{Frame, Place, Visit, page};
use crate::web::state::App;

/// The page.
#[derive(Template)]
#[template(path = "conference/candidates.html")]
pub(super) struct CandidatesPage {
    frame: Frame,
    conference: String,
    path: String,
    fit: String,
    waiting: Vec<CandidatePart>,
    recorded: Vec<CandidatePart>,
    /// That not all were weighed, in a sentence each.
    only_waiting: Option<String>,
    only_recorded: Option<String>,
    /// The code that was typed, and what is wrong with it.
    code: String,
    errors: Vec<FieldError>,
}

struct CandidatePart {
    code: String,
    title: String,
    href: String,
    meta: String,
    reasons: Vec<ReasonPart>,
}

struct ReasonPart {
    says: String,
    href: String,
    link: &'static str,
    weighs_less: bool,
}

impl CandidatePart {
    fn of(worth: &Worth, vocabulary: &Vocabulary) -> Self {
        let case = &worth.candidate;
        let mechanisms = case.mechanisms.iter().map(|slug| vocabulary.mechanism_label(slug));
        let meta: Vec<String> = [case.code.to_string(), case.stage.label().to_owned(), case.month.in_words()]
            .into_iter()
            .chain(mechanisms)
            .collect();
        let reasons = worth.reasons.iter().map(|reason| {
            let (href, link) = basis(case, reason);
            ReasonPart {
                says: reason.in_words(|slug| vocabulary.mechanism_label(slug)),
                href,
                link,
                weighs_less: reason.weight() == Weight::Less,
            }
        });
        Self {
            code: case.code.to_string(),
            title: case.title.to_string(),
            href: format!("/cases/{}", case.code),
            meta: meta.join(" · "),
            reasons: reasons.collect(),
        }
    }
}

impl CandidatesPage {
    fn of(
        frame: Frame,
        conference: &Conference,
        found: &Candidates,
        vocabulary: &Vocabulary,
        (values, errors): (&Values, Vec<FieldError>),
    ) -> Self {
        let parts = |list: &[Worth]| list.iter().map(|worth| CandidatePart::of(worth, vocabulary)).collect();
        let is_full = |list: &[Worth], most: i64| i64::try_from(list.len()).is_ok_and(|all| all >= most);
        Self {
            frame,
            conference: conference.plan.title.to_string(),
            path: path_of(conference.id),
            fit: Fit::of(conference).in_words(),
            only_waiting: is_full(&found.waiting, MOST_WEIGHED).then(|| {
                format!(
                    "The {MOST_WEIGHED} that wait longest are weighed. Any other case goes on by its code."
                )
            }),
            only_recorded: is_full(&found.recorded, MOST_RECORDED).then(|| {
                format!("The {MOST_RECORDED} latest are weighed. Any other case goes on by its code.")
            }),
            waiting: parts(&found.waiting),
            recorded: parts(&found.recorded),
            code: values.get("code").to_owned(),
            errors,
        }
    }

    fn error(&self) -> &str {
        self.errors.first().map_or("", |error| error.message.as_str())
    }
}

/// The page, also after a mistake.
pub(super) async fn page_of(
    conn: &mut SqliteConnection,
    app: &App,
    visit: &Visit,
    conference: &Conference,
    values: Values,
    errors: Vec<FieldError>,
) -> Result<CandidatesPage, Error> {
    let vocabulary = app.vocabulary();
    let far_apart = judgements::far_apart(conn).await?;
    let now = (app.today(), app.this_month());
    let found = candidates(conn, &vocabulary, conference.id, now, &far_apart).await?;
    let frame = visit.frame(Place::Conferences);
    Ok(CandidatesPage::of(frame, conference, &found, &vocabulary, (&values, errors)))
}

pub(super) async fn show_candidates(
    State(app): State<App>,
    visit: Visit,
    Path(id): Path<String>,
) -> Result<Response, Error> {
    let mut conn = app.database.read().await?;
    let conference = find(&mut conn, &id).await?;
    page(&page_of(&mut conn, &app, &visit, &conference, Values::new(), Vec::new()).await?)
}
