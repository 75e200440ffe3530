//! A case in the library, made ready for its template.

use std::collections::BTreeMap;

use super::lesson::LessonView;
use crate::case::LessonKind;
use crate::case::list::Listed;
use crate::case::reading::words::count;
use crate::case::store::LearnedLesson;
use crate::vocabulary::Vocabulary;
use crate::web::hits::{Piece, pieces};

/// So many lessons of a case stand open; the others are folded away.
const LESSONS_OPEN: usize = 3;

/// A case with what it taught.
pub(super) struct CaseRow {
    pub(super) code: String,
    pub(super) title: String,
    pub(super) month: String,
    pub(super) harms: String,
    pub(super) excerpt: Vec<Piece>,
    /// Those that answer first.
    pub(super) lessons: Vec<LessonView>,
    pub(super) more: Vec<LessonView>,
    pub(super) more_words: String,
    pub(super) has_walk: bool,
}

/// The words of a text that were looked for, in small letters.
fn hits(text: &[Piece]) -> Vec<String> {
    text.iter().filter(|piece| piece.hit).flat_map(|piece| words(&piece.text)).collect()
}

fn words(text: &str) -> Vec<String> {
    text.split_whitespace().map(str::to_lowercase).collect()
}

pub(super) fn case_rows(
    found: Vec<Listed>,
    mut lessons: BTreeMap<i64, Vec<LearnedLesson>>,
    walks: &[i64],
    (kind, vocabulary): (Option<LessonKind>, &Vocabulary),
) -> Vec<CaseRow> {
    found
        .into_iter()
        .map(|listed| {
            let mut own = lessons.remove(&listed.id).unwrap_or_default();
            // Found words come first already; a kind that was asked for comes before them.
            own.sort_by_key(|lesson| kind.is_some_and(|kind| lesson.kind != kind));
            let mut own: Vec<LessonView> = own.iter().map(LessonView::of).collect();
            let more = own.split_off(own.len().min(LESSONS_OPEN));
            let mut excerpt = listed.excerpt.as_deref().map(pieces).unwrap_or_default();
            // What the lessons show already is not said twice.
            let in_lessons: Vec<String> = own.iter().flat_map(|lesson| hits(&lesson.text)).collect();
            if hits(&excerpt).iter().all(|hit| in_lessons.contains(hit)) {
                excerpt.clear();
            }
            let labels: Vec<String> =
                listed.mechanisms.iter().map(|slug| vocabulary.mechanism_label(slug)).collect();
            CaseRow {
                code: listed.code.to_string(),
                title: listed.title,
                month: listed.month.in_words(),
                harms: labels.join(", then "),
                excerpt,
                lessons: own,
                more_words: match more.len() {
                    1 => "One more lesson".to_owned(),
                    more => format!("{} more lessons", count(more)),
                },
                more,
                has_walk: walks.contains(&listed.id),
            }
        })
        .collect()
}
