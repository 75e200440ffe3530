//! Lessons that come back: all of them, and one with its cases.

use askama::Template;
use axum::extract::{Path, State};
use axum::response::Response;

use super::access::Allow;
use super::case::lesson_items::signed_by;
use super::error::Error;
use super::frame::{Frame, Place, Visit, page};
use super::router::Routes;
use super::state::App;
use crate::case::is_presented;
use crate::case::reading::words::{count, lower_first};
use crate::case::recurring::{JoinedLesson, RecurringLesson};
use crate::case::store::recurring_lessons;
use crate::vocabulary::Vocabulary;

pub(super) fn add_routes(routes: Routes) -> Routes {
    routes.get("/lessons/recurring", Allow::SignedIn, show_all).get(
        "/lessons/recurring/{id}",
        Allow::SignedIn,
        show_one,
    )
}

/// A mechanism with its page of rates.
struct Harm {
    slug: String,
    label: String,
}

/// A recurring lesson in the list.
struct Row {
    id: i64,
    text: String,
    often: String,
    hidden: String,
    harms: String,
}

#[derive(Template)]
#[template(path = "recurring/all.html")]
struct AllPage {
    frame: Frame,
    rows: Vec<Row>,
    writes: bool,
}

/// A lesson of one of the cases.
struct CaseLesson {
    code: String,
    title: String,
    month: String,
    /// Where the case stands, while it is not presented; else empty.
    stage: String,
    kind: &'static str,
    text: String,
    signed: String,
}

#[derive(Template)]
#[template(path = "recurring/one.html")]
struct OnePage {
    frame: Frame,
    text: String,
    often: String,
    hidden: String,
    lessons: Vec<CaseLesson>,
    harms: Vec<Harm>,
}

async fn show_all(State(app): State<App>, visit: Visit) -> Result<Response, Error> {
    let mut found = recurring_lessons(&mut *app.database.read().await?, visit.sight(), None).await?;
    found.sort_by(|one, other| other.cases().cmp(&one.cases()).then_with(|| one.id.cmp(&other.id)));
    let vocabulary = app.vocabulary();
    page(&AllPage {
        frame: visit.frame(Place::Library),
        rows: found.iter().map(|lesson| row(lesson, &vocabulary)).collect(),
        writes: visit.user.role.writes(),
    })
}

fn row(lesson: &RecurringLesson, vocabulary: &Vocabulary) -> Row {
    let labels: Vec<String> = harms(lesson, vocabulary).into_iter().map(|harm| harm.label).collect();
    Row {
        id: lesson.id,
        text: lesson.text.to_string(),
        often: lesson.often(),
        hidden: hidden_words(lesson.hidden),
        harms: labels.join(", "),
    }
}

fn harms(lesson: &RecurringLesson, vocabulary: &Vocabulary) -> Vec<Harm> {
    let harm = |slug| Harm { label: vocabulary.mechanism_label(slug), slug: slug.to_string() };
    lesson.mechanisms.iter().map(harm).collect()
}

/// `One more case with it is not presented yet.`; empty for none.
fn hidden_words(hidden: usize) -> String {
    match hidden {
        0 => String::new(),
        1 => "One more case with it is not presented yet.".to_owned(),
        more => format!("{} more cases with it are not presented yet.", count(more)),
    }
}

async fn show_one(State(app): State<App>, visit: Visit, Path(id): Path<i64>) -> Result<Response, Error> {
    let found = recurring_lessons(&mut *app.database.read().await?, visit.sight(), Some(id)).await?;
    let lesson = found.first().ok_or(Error::NotFound)?;
    page(&OnePage {
        frame: visit.frame(Place::Library),
        text: lesson.text.to_string(),
        often: lesson.often(),
        hidden: hidden_words(lesson.hidden),
        lessons: lesson.lessons.iter().map(case_lesson).collect(),
        harms: harms(lesson, &app.vocabulary()),
    })
}

fn case_lesson(lesson: &JoinedLesson) -> CaseLesson {
    CaseLesson {
        code: lesson.code.to_string(),
        title: lesson.title.to_string(),
        month: lesson.month.in_words(),
        stage: if is_presented(lesson.stage) { String::new() } else { lower_first(lesson.stage.label()) },
        kind: lesson.kind.label(),
        text: lesson.text.to_string(),
        signed: lesson.signed.as_ref().map(|(by, on)| signed_by(by, *on)).unwrap_or_default(),
    }
}
