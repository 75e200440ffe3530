//! The handbook of definitions: each with its rule, its boundaries and its sources.

use askama::Template;
use axum::response::Response;

use super::error::Error;
use super::frame::{Frame, Place, Visit, page};
use crate::clinical::{DEFINITIONS, Definition, Section};

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
}

pub(super) async fn show_definitions(visit: Visit) -> Result<Response, Error> {
    let chapters = Section::ALL
        .iter()
        .map(|section| Chapter {
            label: section.label(),
            definitions: DEFINITIONS.iter().filter(|definition| definition.section == *section).collect(),
        })
        .filter(|chapter: &Chapter| !chapter.definitions.is_empty())
        .collect();
    page(&DefinitionsPage { frame: visit.frame(Place::Settings), count: DEFINITIONS.len(), chapters })
}
