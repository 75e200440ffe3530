//! The end of a walk: the whole case, and the person's choices beside what was chosen.

use askama::Template;

use crate::accounts::Role;
use crate::case::reading::Reading;
use crate::case::{Line, StoredCase, drawing};
use crate::figure::Figure;
use crate::rates::RateLine;
use crate::review::walk::{Compared, RoomChoice, Walk, in_words};
use crate::web::case::items::{Fact, Item, complication_items, outcome_facts};
use crate::web::case::lesson_items::{LessonNotes, lesson_items};
use crate::web::case::view::EventRow;
use crate::web::frame::Frame;
use crate::web::state::App;

/// A stop in the list at the end.
struct ComparedRow {
    number: usize,
    question: String,
    own: String,
    first: String,
    chosen: String,
    room: String,
}

impl ComparedRow {
    fn of(compared: &Compared) -> Self {
        let text = |line: Option<&Line>| line.map(ToString::to_string).unwrap_or_default();
        Self {
            number: compared.number,
            question: compared.question.to_string(),
            own: compared.own.to_string(),
            first: text(compared.first),
            chosen: text(compared.chosen),
            room: compared.room.unwrap_or_default().to_owned(),
        }
    }
}

#[derive(Template)]
#[template(path = "case/walk_open.html")]
pub(super) struct OpenPage {
    frame: Frame,
    code: String,
    title: String,
    situation: String,
    time_zero: String,
    compared: Vec<ComparedRow>,
    comparison: Vec<String>,
    figure: Figure,
    events: Vec<EventRow>,
    harms: Vec<Item>,
    outcome: Vec<Fact>,
    lessons: Vec<Item>,
    rate: Option<String>,
    rate_notes: Vec<String>,
}

impl OpenPage {
    pub(super) fn of(
        frame: Frame,
        app: &App,
        (case, walk): (&StoredCase, &Walk),
        room: &[RoomChoice],
        line: Option<&RateLine>,
    ) -> Self {
        let vocabulary = app.vocabulary();
        let reading = Reading::of(&case.events, &case.complications);
        let compared = walk.compared(room);
        Self {
            frame,
            code: case.code.to_string(),
            title: case.head.title.to_string(),
            situation: case.head.situation.as_ref().map(ToString::to_string).unwrap_or_default(),
            time_zero: case.head.time_zero.as_ref().map(ToString::to_string).unwrap_or_default(),
            comparison: in_words(&compared),
            compared: compared.iter().map(ComparedRow::of).collect(),
            figure: drawing::timeline(case, &vocabulary).draw("walk-whole"),
            events: (1..)
                .zip(&case.events)
                .map(|(number, row)| EventRow::of(row.id, number, &row.value))
                .collect(),
            harms: complication_items(case, &vocabulary, &reading),
            outcome: outcome_facts(case),
            // Nothing is edited here, so that every lesson is shown as a reader sees it.
            lessons: lesson_items(case, &reading, &LessonNotes::default(), Role::Reader),
            rate: line.map(|line| line.no_rate().unwrap_or_else(|| line.sentence())),
            rate_notes: line.map(RateLine::notes).unwrap_or_default(),
        }
    }
}
