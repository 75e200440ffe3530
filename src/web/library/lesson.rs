//! A lesson in the library, made ready for its template.

use crate::case::recurring::one_of;
use crate::case::store::{LearnedLesson, Recurring};
use crate::web::case::lesson_items::signed_by;
use crate::web::hits::{Piece, pieces};

/// A place to go on to.
pub(super) struct Onward {
    pub(super) href: String,
    pub(super) label: String,
}

/// A lesson with its case.
pub(super) struct LessonView {
    pub(super) kind: &'static str,
    pub(super) text: Vec<Piece>,
    /// Who signed it and when; empty while nobody has.
    pub(super) signed: String,
    pub(super) reference: Option<Onward>,
    pub(super) recurring: Option<Onward>,
    pub(super) code: String,
    pub(super) title: String,
    pub(super) month: String,
}

impl LessonView {
    pub(super) fn of(lesson: &LearnedLesson) -> Self {
        Self {
            kind: lesson.kind.label(),
            text: pieces(&lesson.text),
            signed: lesson.signed.as_ref().map(|(by, on)| signed_by(by, *on)).unwrap_or_default(),
            reference: lesson
                .reference
                .as_ref()
                .map(|reference| Onward { href: reference.address(), label: reference.to_string() }),
            recurring: lesson.recurring.as_ref().map(recurring_link),
            code: lesson.code.to_string(),
            title: lesson.title.to_string(),
            month: lesson.month.in_words(),
        }
    }
}

fn recurring_link(recurring: &Recurring) -> Onward {
    Onward { href: format!("/lessons/recurring/{}", recurring.id), label: one_of(recurring.cases) }
}
