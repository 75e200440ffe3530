//! The page of the booklet: the year, what is held back, the choice, the files, and the booklet itself.

use std::collections::BTreeSet;

use askama::Template;
use axum::extract::{RawQuery, State};
use axum::http::StatusCode;
use axum::response::Response;

use super::{FILES, PATH, YEAR, latest, make, read_year};
use crate::case::reading::words::{count, join};
use crate::export::html;
use crate::review::booklet::store::{HeldBack, Offered, held_back, offered, years};
use crate::web::error::Error;
use crate::web::files::{DocumentFile, document_files};
use crate::web::form::{FieldError, Values};
use crate::web::frame::{Frame, Place, Visit, page_with};
use crate::web::release::HeldPart;
use crate::web::state::App;

#[derive(Template)]
#[template(path = "booklet/booklet.html")]
struct BookletPage {
    frame: Frame,
    action: &'static str,
    /// What is chosen, as it was asked for; empty when there is nothing to choose.
    year: String,
    years: Vec<String>,
    errors: Vec<FieldError>,
    /// How many lessons are in it, in words.
    count: String,
    /// What is not on offer, and why, a sentence each.
    held_back: Vec<String>,
    chooses: bool,
    cases: Vec<CaseChoice>,
    files: Vec<DocumentFile>,
    /// The title and the booklet; none while no lesson is chosen.
    booklet: Option<(String, String)>,
    held: Option<HeldPart>,
}

/// A case with its lessons to tick.
struct CaseChoice {
    code: String,
    title: String,
    lessons: Vec<LessonChoice>,
}

struct LessonChoice {
    id: i64,
    kind: &'static str,
    text: String,
    /// Whether it was in the booklet when it was shown.
    was: bool,
    ticked: bool,
}

impl BookletPage {
    /// What was asked for and is no choice; it stays to be seen.
    fn is_foreign(&self) -> bool {
        !self.year.is_empty() && !self.years.contains(&self.year)
    }

    /// Whether any lesson is on offer for the year.
    fn has_lessons(&self) -> bool {
        !self.cases.is_empty()
    }

    fn title(&self) -> &str {
        self.booklet.as_ref().map_or("Lessons booklet", |(title, _)| title)
    }

    fn error(&self, name: &str) -> &str {
        self.errors.iter().find(|error| error.name == name).map_or("", |error| error.message.as_str())
    }
}

pub(super) async fn show(
    State(app): State<App>,
    visit: Visit,
    RawQuery(query): RawQuery,
) -> Result<Response, Error> {
    let values = Values::from_encoded(query.as_deref().unwrap_or_default());
    respond(&app, &visit, read_year(&values), &values, None).await
}

/// The page. `sent` are the lessons that were ticked in a form that could not be saved.
pub(super) async fn respond(
    app: &App,
    visit: &Visit,
    year: Result<Option<i64>, Vec<FieldError>>,
    values: &Values,
    sent: Option<(BTreeSet<String>, Vec<FieldError>)>,
) -> Result<Response, Error> {
    let mut tx = app.database.read_together().await?;
    let known = years(&mut tx, visit.sight()).await?;
    let (year, mut errors) = match year {
        Ok(Some(year)) => (Some(year), Vec::new()),
        Ok(None) => (latest(&mut tx, visit.sight()).await?, Vec::new()),
        Err(errors) => (None, errors),
    };
    let (lessons, kept, made) = match year {
        Some(year) => {
            let lessons = offered(&mut tx, year, visit.sight()).await?;
            let kept = held_back(&mut tx, year).await?;
            let made = make(app, &mut tx, year, &lessons).await?;
            (lessons, kept, made)
        }
        None => (Vec::new(), HeldBack::default(), None),
    };
    drop(tx);
    let (ticked, wrong) = sent.unzip();
    errors.extend(wrong.into_iter().flatten());
    let status = if errors.is_empty() { StatusCode::OK } else { StatusCode::UNPROCESSABLE_ENTITY };
    let chosen = lessons.iter().filter(|one| one.chosen).count();
    let year = year.map_or_else(|| values.get(YEAR).to_owned(), |year| year.to_string());
    let (document, held) = made.map_or((None, None), |made| (Some(made.document), made.held));
    page_with(
        status,
        &BookletPage {
            frame: visit.frame(Place::Library),
            action: PATH,
            files: document_files(FILES, &format!("?year={year}")),
            year,
            years: known.iter().map(ToString::to_string).collect(),
            errors,
            count: in_it(chosen, lessons.len()),
            held_back: sentences(kept),
            chooses: visit.user.role.signs(),
            cases: case_choices(&lessons, ticked.as_ref()),
            booklet: document
                .map(|document| (document.title().to_owned(), html::document_to_html(&document))),
            held: held.map(HeldPart::of).transpose()?,
        },
    )
}

/// `All 14 signed lessons are in it`, `Nine of 14 signed lessons are in it`.
pub(super) fn in_it(chosen: usize, all: usize) -> String {
    match (chosen, all) {
        (1, 1) => "The one signed lesson is in it".to_owned(),
        (0, all) => format!("None of {all} signed {} is in it", if all == 1 { "lesson" } else { "lessons" }),
        (chosen, all) if chosen == all => format!("All {all} signed lessons are in it"),
        (chosen, all) => {
            format!(
                "{} of {all} signed lessons {} in it",
                count(chosen),
                if chosen == 1 { "is" } else { "are" }
            )
        }
    }
}

/// What is not on offer, and why.
fn sentences(kept: HeldBack) -> Vec<String> {
    let lessons = |number: usize| if number == 1 { "lesson" } else { "lessons" };
    let mut said = Vec::new();
    if kept.unsigned > 0 {
        said.push(format!(
            "{} {} of presented cases {} not offered: nobody has signed {} yet, so no attending stands behind {}.",
            count(kept.unsigned),
            lessons(kept.unsigned),
            if kept.unsigned == 1 { "is" } else { "are" },
            if kept.unsigned == 1 { "it" } else { "them" },
            if kept.unsigned == 1 { "it" } else { "them" },
        ));
    }
    let reasons: Vec<String> = [
        (kept.not_presented, "whose case was not presented yet"),
        (kept.identifiers, "whose case may hold something that identifies somebody"),
        (kept.withdrawn, "whose case was withdrawn"),
    ]
    .into_iter()
    .filter(|(number, _)| *number > 0)
    .map(|(number, why)| format!("{number} {why}"))
    .collect();
    let number = kept.total() - kept.unsigned;
    if number > 0 {
        said.push(format!(
            "{} signed {} {} held back: {}.",
            count(number),
            lessons(number),
            if number == 1 { "is" } else { "are" },
            join(&reasons)
        ));
    }
    said
}

fn case_choices(lessons: &[Offered], ticked: Option<&BTreeSet<String>>) -> Vec<CaseChoice> {
    let mut cases: Vec<CaseChoice> = Vec::new();
    for lesson in lessons {
        let code = lesson.code.to_string();
        if cases.last().is_none_or(|last| last.code != code) {
            cases.push(CaseChoice { code, title: lesson.title.to_string(), lessons: Vec::new() });
        }
        let Some(case) = cases.last_mut() else { continue };
        case.lessons.push(LessonChoice {
            id: lesson.id,
            kind: lesson.kind.label(),
            text: lesson.text.to_string(),
            was: lesson.chosen,
            ticked: ticked.map_or(lesson.chosen, |ticked| ticked.contains(&lesson.id.to_string())),
        });
    }
    cases
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counts_are_read_as_sentences() {
        let said = [(0, 1), (0, 4), (1, 1), (1, 4), (3, 4), (4, 4)].map(|(chosen, all)| in_it(chosen, all));
        assert_eq!(
            said,
            [
                "None of 1 signed lesson is in it",
                "None of 4 signed lessons is in it",
                "The one signed lesson is in it",
                "One of 4 signed lessons is in it",
                "Three of 4 signed lessons are in it",
                "All 4 signed lessons are in it"
            ]
        );
    }

    #[test]
    fn what_is_held_back_is_said_with_its_reason() {
        assert!(sentences(HeldBack::default()).is_empty());
        let kept = HeldBack { unsigned: 1, identifiers: 2, not_presented: 0, withdrawn: 1 };
        assert_eq!(
            sentences(kept),
            [
                "One lesson of presented cases is not offered: nobody has signed it yet, so no attending stands behind it.",
                "Three signed lessons are held back: 2 whose case may hold something that identifies somebody and 1 whose case was withdrawn."
            ]
        );
    }
}
