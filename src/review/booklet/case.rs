//! A case of the booklet, in short.

use std::collections::BTreeSet;

use super::{Told, Written, heading, lesson};
use crate::case::reading::Reading;
use crate::case::reading::words::{lower_first, place_words, sentence, short_time, upper_first};
use crate::case::{Action, ActionState, Complication, Event, Key, StoredCase, drawing};
use crate::document::{Column, Document, Figure, Level, Phrase, Svg, Table};
use crate::review::summary::{chain_figure, event_words, outcome_words, timeline_figure};
use crate::vocabulary::Vocabulary;

/// Writes a case with its lessons, and says which lessons were written.
pub(super) fn write<'a>(
    document: &mut Document,
    told: &Told<'a>,
    vocabulary: &Vocabulary,
    written: &mut Vec<Written<'a>>,
) {
    let case = told.case;
    let reading = Reading::of(&case.events, &case.complications);
    let case_anchor = heading(document, Level::Part, format!("{}: {}", case.code, case.head.title));
    account(document, case, vocabulary);
    let why = figures(document, case, vocabulary, &reading);
    events(document, told, &reading, why);
    for row in &told.lessons {
        let number = written.len() + 1;
        let anchor = lesson::write(document, number, (case, &row.value), &reading);
        let case_anchor = case_anchor.clone();
        written.push(Written { number, lesson: &row.value, anchor, case, case_anchor });
    }
    actions(document, case);
}

/// The situation, what it was, how it ended, and where the whole of it is read.
fn account(document: &mut Document, case: &StoredCase, vocabulary: &Vocabulary) {
    match &case.head.situation {
        Some(situation) => document.paragraph(situation.as_str()),
        None => document.missing("the situation in two sentences"),
    };
    let harms: Vec<String> =
        case.complications.iter().map(|row| harm_words(&row.value, vocabulary)).collect();
    if harms.is_empty() {
        document.missing("the complication and its mechanism");
    } else {
        document.paragraph(Phrase::new().strong("What it was. ").text(sentence(&harms.join("; then "))));
    }
    document.paragraph(
        outcome_words(&case.head.outcome)
            .text(" ")
            .link(format!("The summary of {}", case.code), &format!("/cases/{}/summary", case.code))
            .text(" tells all of it."),
    );
}

fn harm_words(harm: &Complication, vocabulary: &Vocabulary) -> String {
    let place =
        harm.segment.map_or_else(String::new, |segment| format!(", {}", lower_first(&place_words(segment))));
    format!("{}{place}", drawing::complication_words(harm, vocabulary))
}

/// What is drawn beside the timeline.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Why {
    /// The chain of harms, or nothing: its numbers are no events'.
    Chain,
    /// The causes, each with the events that show it.
    Causes,
}

/// The timeline; then the chain of harms, or where there is none the causes on the way to the harm.
fn figures(document: &mut Document, case: &StoredCase, vocabulary: &Vocabulary, reading: &Reading) -> Why {
    if !case.events.is_empty() {
        document.figure(timeline_figure(case, vocabulary, &format!("timeline-{}", case.code)));
    }
    if let Some(chain) = chain_figure(case, vocabulary, &format!("chain-{}", case.code)) {
        document.figure(chain);
        return Why::Chain;
    }
    let Some(causes) = drawing::cause_effect(case, vocabulary, reading) else { return Why::Chain };
    let drawn = causes.draw(&format!("causes-{}", case.code));
    document.figure(Figure {
        title: drawn.title,
        description: drawn.description,
        svg: Svg::trusted(drawn.svg),
        values: None,
        summary: drawn.summary,
        source: String::new(),
    });
    Why::Causes
}

/// The events that harms, decisions and the lessons of the booklet rest on, and those that show a cause that is
/// drawn; the summary of the case has all.
fn events(document: &mut Document, told: &Told, reading: &Reading, why: Why) {
    let case = told.case;
    let mut named: BTreeSet<&Key> = BTreeSet::new();
    for harm in case.complications.iter().map(|row| &row.value) {
        named
            .extend([&harm.began, &harm.recognised, &harm.responded, &harm.controlled].into_iter().flatten());
    }
    named.extend(told.lessons.iter().filter_map(|row| row.value.event.as_ref()));
    if why == Why::Causes {
        named.extend(case.causes.iter().flat_map(|row| &row.value.shown_by));
    }
    let rows: Vec<[Phrase; 3]> = case
        .events
        .iter()
        .map(|row| &row.value)
        .filter(|event| named.contains(&event.key))
        .map(|event| row(event, reading))
        .collect();
    if rows.is_empty() {
        return;
    }
    let caption = if rows.len() == case.events.len() {
        format!("The events of {}", case.code)
    } else {
        format!("The events of {} on which this rests; its summary has the others", case.code)
    };
    let columns =
        [Column::number("No."), Column::offset("Time"), Column::text("What happened, where, flow after it")];
    document.table(Table::of(caption, columns).rows(rows));
}

fn row(event: &Event, reading: &Reading) -> [Phrase; 3] {
    let number = reading.number(&event.key).map_or_else(String::new, |number| number.to_string());
    [number.into(), Phrase::new().mono(short_time(event.at, event.time)), event_words(event)]
}

fn actions(document: &mut Document, case: &StoredCase) {
    heading(document, Level::Point, format!("What came of {}", case.code));
    if case.actions.is_empty() {
        document.missing("an action");
        return;
    }
    document.bullets(case.actions.iter().map(|row| action_words(&row.value)));
}

/// What is different, how strong that is, and where it stands; of days the year alone.
fn action_words(action: &Action) -> Phrase {
    let owner = lower_first(action.owner.as_str());
    let year = |day: crate::case::Day| day.date().year();
    let stands = match (action.state, action.done_on) {
        (ActionState::Done, Some(day)) => format!("Done, in place since {}", year(day)),
        (ActionState::Done, None) => "Done".to_owned(),
        (ActionState::Open, _) => format!("Open, due in {}", year(action.due)),
        (ActionState::Dropped, _) => "Dropped".to_owned(),
    };
    let kind = action.kind.map(|kind| format!(" ({})", lower_first(kind.label()))).unwrap_or_default();
    Phrase::new()
        .strong(format!("{stands}: "))
        .text(sentence(&upper_first(action.what.as_str())))
        .quiet(format!(" {} action{kind}; {owner}.", action.strength.label()))
}
