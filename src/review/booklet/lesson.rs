//! A lesson of the booklet: its words as they were signed, and what it rests on.

use super::heading;
use crate::case::reading::Reading;
use crate::case::reading::words::{lower_first, sentence, short_time};
use crate::case::{Lesson, StoredCase};
use crate::document::{Document, Level, Phrase};
use crate::review::summary::{decision_words, event_words};

/// Writes a lesson and gives the name that a link can lead to.
pub(super) fn write(
    document: &mut Document,
    number: usize,
    (case, lesson): (&StoredCase, &Lesson),
    reading: &Reading,
) -> String {
    let kind = lower_first(lesson.kind.label());
    let anchor = heading(document, Level::Point, format!("Lesson {number}, to {kind}"));
    // A paragraph of its own, so that it is read in its own direction.
    document.paragraph(Phrase::new().strong(sentence(lesson.text.as_str())));
    let event = lesson.event.as_ref().and_then(|key| case.events.iter().find(|row| row.value.key == *key));
    let decision =
        lesson.decision.as_ref().and_then(|key| case.decisions.iter().find(|row| row.value.key == *key));
    let event = event.map(|row| {
        let event = &row.value;
        let number =
            reading.number(&event.key).map_or_else(String::new, |number| format!("Event {number}, "));
        Phrase::new().quiet(number).mono(short_time(event.at, event.time)).text(" ").then(event_words(event))
    });
    let labelled = |label: &str, phrase: Phrase| Phrase::new().quiet(format!("{label}: ")).then(phrase);
    let rests = match (event, &decision) {
        (Some(event), _) => Some(labelled("Rests on", event)),
        (None, Some(_)) => None,
        (None, None) => Some(labelled(
            "Rests on",
            Phrase::from("the case as a whole; no event or decision point is linked."),
        )),
    };
    let decision = decision.map(|row| labelled("The decision it comes from", decision_words(&row.value)));
    let print = lesson.reference.as_ref().map(|reference| {
        labelled("In print", Phrase::new().link(reference.to_string(), &reference.address()))
    });
    let recurs = lesson
        .recurring
        .as_ref()
        .map(|shared| labelled("It comes back in other cases", sentence(shared.as_str()).into()));
    let signed = lesson
        .signed_on
        .map(|day| labelled("Signed", format!("by an attending, {}.", day.date().year()).into()));
    document.bullets([rests, decision, print, recurs, signed].into_iter().flatten());
    anchor
}
