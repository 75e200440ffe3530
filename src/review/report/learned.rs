//! What was learned and done: lessons that were signed, actions.

use super::{ReportedAction, Writing};
use crate::case::LessonKind;
use crate::case::reading::words::{lower_first, sentence, upper_first};
use crate::document::{Document, Phrase};

impl Writing<'_> {
    /// The actions done in the quarter.
    pub(super) fn done(&self) -> impl Iterator<Item = &ReportedAction> {
        self.inputs.actions.iter().filter(|action| action.done_in(self.period))
    }

    /// The actions overdue at its end, or by today while it runs.
    pub(super) fn overdue(&self) -> impl Iterator<Item = &ReportedAction> {
        self.inputs.actions.iter().filter(|action| action.overdue(self.period, self.today))
    }

    pub(super) fn lessons(&self, document: &mut Document) {
        document.section("Lessons signed");
        let lessons = &self.inputs.lessons;
        if lessons.is_empty() {
            document.paragraph("No lesson was signed in the quarter.");
        }
        document.bullets(LessonKind::ALL.iter().flat_map(|kind| {
            lessons.iter().filter(move |lesson| lesson.kind == *kind).map(|lesson| {
                Phrase::new()
                    .strong(format!("{}. ", kind.label()))
                    .text(sentence(lesson.text.as_str()))
                    .quiet(format!(" Case {}.", lesson.code))
            })
        }));
    }

    pub(super) fn actions(&self, document: &mut Document) {
        document.section("Actions");
        document.part("Done in the quarter");
        if self.done().next().is_none() {
            document.paragraph("None.");
        }
        document.bullets(self.done().map(done));
        document.part(if self.still_runs() { "Overdue today" } else { "Overdue at its end" });
        if self.overdue().next().is_none() {
            document.paragraph("None.");
        }
        document.bullets(self.overdue().map(overdue));
    }
}

fn done(action: &ReportedAction) -> Phrase {
    let since = action.done_on.map_or_else(|| "a day not recorded".to_owned(), |day| day.in_words());
    what(action).quiet(format!(
        " Owner: {}. Due {}, in place since {since}. Case {}.",
        lower_first(action.owner.as_str()),
        action.due.in_words(),
        action.code
    ))
}

fn overdue(action: &ReportedAction) -> Phrase {
    let since = action.done_on.map_or_else(String::new, |day| format!(", done since, on {}", day.in_words()));
    what(action).quiet(format!(
        " Owner: {}. Due {}{since}. Case {}.",
        lower_first(action.owner.as_str()),
        action.due.in_words(),
        action.code
    ))
}

fn what(action: &ReportedAction) -> Phrase {
    Phrase::new().text(sentence(&upper_first(action.what.as_str())))
}
