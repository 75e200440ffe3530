//! The handbook of definitions: each with its rule, its boundaries and its sources.

use askama::Template;
use axum::extract::State;
use axum::response::Response;

use super::error::Error;
use super::frame::{Frame, Place, Visit, page};
use super::state::App;
use crate::clinical::{DEFINITIONS, Definition, Question, Section};

/// A part of the handbook with the definitions that stand in it.
struct Chapter {
    label: &'static str,
    definitions: Vec<&'static Definition>,
}

#[derive(Template)]
#[template(path = "definitions.html")]
struct DefinitionsPage {
    frame: Frame,
    count: usize,
    chapters: Vec<Chapter>,
    /// Where sources clash: every question with what the department takes.
    questions: Vec<Question>,
    /// Whether the person may take another answer.
    keeps: bool,
}

impl DefinitionsPage {
    /// The questions whose answers change a definition's result.
    fn asked(&self, definition: &Definition) -> Vec<&Question> {
        self.questions.iter().filter(|question| definition.choices.contains(&question.slug)).collect()
    }
}

pub(super) async fn show_definitions(State(app): State<App>, visit: Visit) -> Result<Response, Error> {
    let chapters = Section::ALL
        .iter()
        .map(|section| Chapter {
            label: section.label(),
            definitions: DEFINITIONS.iter().filter(|definition| definition.section == *section).collect(),
        })
        .filter(|chapter: &Chapter| !chapter.definitions.is_empty())
        .collect();
    page(&DefinitionsPage {
        frame: visit.frame(Place::Settings),
        count: DEFINITIONS.len(),
        chapters,
        questions: app.department().choices.questions(),
        keeps: visit.user.role.keeps(),
    })
}
