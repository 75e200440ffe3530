//! The library: presented and closed cases and their lessons, for everybody to learn from. It answers
//! "have we seen this?".

mod cases;
mod lesson;
mod query;

use askama::Template;
use axum::extract::{RawQuery, State};
use axum::http::StatusCode;
use axum::response::Response;
use sqlx::SqliteConnection;

use self::cases::{CaseRow, case_rows};
use self::lesson::LessonView;
use self::query::{Asked, View, form_of};
use super::access::Allow;
use super::error::Error;
use super::filters::FilterForm;
use super::form::Values;
use super::frame::{Frame, Place, Visit, page_with};
use super::paging::{count_in_words, page_address};
use super::router::Routes;
use super::state::App;
use crate::case::list::{Cursor, page as list_page};
use crate::case::{Sight, store};
use crate::review::walk;
use crate::vocabulary::Vocabulary;

/// The library's address.
pub(super) const PATH: &str = "/library";

pub(super) fn add_routes(routes: Routes) -> Routes {
    routes.get(PATH, Allow::SignedIn, show_library)
}

/// What the library shows in answer.
enum Rows {
    Cases(Vec<CaseRow>),
    Lessons(Vec<LessonView>),
}

/// A page of the answer.
struct Answer {
    rows: Rows,
    total: i64,
    next: Option<Cursor>,
}

impl Answer {
    fn is_by_lesson(&self) -> bool {
        matches!(self.rows, Rows::Lessons(_))
    }

    fn is_empty(&self) -> bool {
        match &self.rows {
            Rows::Cases(rows) => rows.is_empty(),
            Rows::Lessons(rows) => rows.is_empty(),
        }
    }
}

/// A way of looking at the library, as a link.
struct ViewLink {
    href: String,
    label: &'static str,
    current: bool,
}

#[derive(Template)]
#[template(path = "library/library.html")]
struct LibraryPage {
    frame: Frame,
    action: &'static str,
    form: FilterForm,
    views: Vec<ViewLink>,
    count: String,
    answer: Option<Answer>,
    filtered: bool,
    /// Where the same words are looked for in cases that are not presented yet; empty for readers.
    in_cases: String,
    first: Option<String>,
    next: Option<String>,
}

async fn show_library(
    State(app): State<App>,
    visit: Visit,
    RawQuery(query): RawQuery,
) -> Result<Response, Error> {
    let values = Values::from_encoded(query.as_deref().unwrap_or_default());
    let vocabulary = app.vocabulary();
    let (asked, errors) = match Asked::read(&values, &vocabulary) {
        Ok(asked) => (Some(asked), Vec::new()),
        Err(errors) => (None, errors),
    };
    let status = if errors.is_empty() { StatusCode::OK } else { StatusCode::UNPROCESSABLE_ENTITY };
    let view = asked.as_ref().map_or(View::Cases, |asked| asked.view);
    let filtered = Asked::is_filtered(&values);
    let answer = match &asked {
        Some(asked) => {
            let mut conn = app.database.read().await?;
            Some(answer(&mut conn, asked, &vocabulary).await?)
        }
        None => None,
    };
    let address = |after: Option<&Cursor>| page_address(PATH, &values, after);
    page_with(
        status,
        &LibraryPage {
            frame: visit.frame(Place::Library),
            action: PATH,
            form: form_of(&values, &vocabulary, view, errors),
            views: view_links(&values, view),
            count: answer.as_ref().map_or_else(
                || "Nothing is shown until the question can be read".to_owned(),
                |answer| count_in_words(answer.total, view.nouns(), filtered),
            ),
            first: asked.and_then(|asked| asked.after).map(|_| address(None)),
            next: answer.as_ref().and_then(|answer| answer.next.as_ref()).map(|next| address(Some(next))),
            in_cases: if visit.user.role.writes() { query::in_cases(&values) } else { String::new() },
            answer,
            filtered,
        },
    )
}

async fn answer(
    conn: &mut SqliteConnection,
    asked: &Asked,
    vocabulary: &Vocabulary,
) -> Result<Answer, Error> {
    Ok(match asked.view {
        View::Cases => {
            let found = list_page(conn, (Sight::Presented, &asked.filter), asked.after.as_ref()).await?;
            let ids: Vec<i64> = found.rows.iter().map(|row| row.id).collect();
            let lessons = store::lessons_of_cases(conn, &ids, asked.filter.words.as_ref()).await?;
            let walks = walk::store::with_stops(conn, &ids).await?;
            let rows = case_rows(found.rows, lessons, &walks, (asked.filter.lesson_kind, vocabulary));
            Answer { rows: Rows::Cases(rows), total: found.total, next: found.next }
        }
        View::Lessons => {
            let found = store::signed_lessons(conn, &asked.filter, asked.after.as_ref()).await?;
            let rows = found.rows.iter().map(LessonView::of).collect();
            Answer { rows: Rows::Lessons(rows), total: found.total, next: found.next }
        }
    })
}

/// The same question, by case and by lesson.
fn view_links(values: &Values, now: View) -> Vec<ViewLink> {
    View::ALL
        .iter()
        .map(|view| {
            let asked = values.clone().into_pairs().into_iter().filter(|(name, _)| name != "view");
            let same = asked.fold(Values::new(), |all, (name, value)| all.with(&name, value));
            let same = if *view == View::Cases { same } else { same.with("view", view) };
            ViewLink { href: page_address(PATH, &same, None), label: view.label(), current: *view == now }
        })
        .collect()
}
