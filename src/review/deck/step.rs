//! A step of the timeline: what is new since the last, drawn and said.

use std::collections::BTreeSet;

use super::Material;
use super::fit::{self, LINES};
use crate::case::known::until;
use crate::case::reading::Reading;
use crate::case::reading::words::{in_text, lower_first, place_words, short_time, upper_first};
use crate::case::{Event, EventKind, Key, StoredCase, drawing};
use crate::document::Phrase;
use crate::figure::Distance;
use crate::figure::timeline::TimelineDrawing;
use crate::quantity::{Certainty, Offset, TimiFlow};
use crate::review::summary::{event_words, kind_words};

/// At most so many vessels; those that were never without flow make room.
const LANES: usize = 4;

/// A step of the timeline: the case cut to what had happened, and how many of its events are new.
pub(super) struct Step {
    pub(super) case: StoredCase,
    new: Vec<Key>,
    pub(super) count: usize,
    /// Where the drawing ends; none where nothing follows.
    veil: Option<Offset>,
}

impl Step {
    pub(super) fn of(
        case: &StoredCase,
        shown: &BTreeSet<Key>,
        left: &[Key],
        count: usize,
        stop: Option<Offset>,
    ) -> Self {
        let new: Vec<Key> = left[..count].to_vec();
        let case = until(case, |key| shown.contains(key) || new.contains(key));
        let is_last = count == left.len();
        let latest = case.events.iter().map(|row| row.value.at).max();
        let veil = match (stop, is_last) {
            (Some(stop), true) => Some(latest.map_or(stop, |latest| latest.max(stop))),
            (None, true) => None,
            (_, false) => latest,
        };
        Self { case, new, count, veil }
    }

    pub(super) fn is_too_tall(&self, material: &Material<'_>) -> bool {
        let reading = Reading::of(&self.case.events, &self.case.complications);
        let drawn = self.drawing(material).draw_for(Distance::Room, "measure");
        let words: f64 = self.events().map(|event| fit::lines(&item(event, &reading).to_text()) + 0.35).sum();
        fit::title_lines(&self.title()) + fit::figure_lines(&drawn.svg) + words > LINES
    }

    pub(super) fn events(&self) -> impl Iterator<Item = &Event> {
        self.case.events.iter().map(|row| &row.value).filter(|event| self.new.contains(&event.key))
    }

    /// The vessels as far as they were seen, with the marks of what is new: from the last row, more
    /// cannot be told apart.
    pub(super) fn drawing(&self, material: &Material<'_>) -> TimelineDrawing {
        let reading = Reading::of(&self.case.events, &self.case.complications);
        let mut drawn = drawing::timeline(&self.case, material.vocabulary);
        drawn.veil_from = self.veil;
        drawn.brackets.clear();
        let new: Vec<u32> = self.new.iter().filter_map(|key| reading.number(key)).collect();
        drawn.marks.retain(|mark| new.contains(&mark.number));
        drop_lanes(&mut drawn);
        drawn
    }

    /// What the step shows: how the flow changed, else the last thing that happened.
    pub(super) fn title(&self) -> String {
        let lost = self.events().filter(|event| event.flow.is_some()).min_by_key(|event| event.flow);
        let told = lost.or_else(|| self.events().last());
        told.map_or_else(String::new, |event| upper_first(&self.title_of(event)))
    }

    fn title_of(&self, event: &Event) -> String {
        match (event.flow.zip(event.segment), said(event)) {
            (Some((flow, segment)), _) => {
                let before = self.flow_before(event);
                let vessel = upper_first(in_text(segment.vessel()));
                format!("{vessel} {}", flow_words(before, flow, event))
            }
            (None, Some(text)) => {
                format!("{} ({})", text.trim_end_matches('.'), when(event).trim_start_matches("at "))
            }
            (None, None) => {
                let place = event.segment.map_or_else(String::new, |s| format!(", {}", place_words(s)));
                format!("{}{place}, {}", kind_words(event), when(event))
            }
        }
    }

    /// The flow that was seen in a vessel before an event.
    fn flow_before(&self, event: &Event) -> Option<TimiFlow> {
        let vessel = event.segment?.vessel();
        let before = self.case.events.iter().map(|row| &row.value).take_while(|other| other.key != event.key);
        before
            .filter(|other| other.segment.is_some_and(|s| s.vessel() == vessel))
            .filter_map(|o| o.flow)
            .last()
    }
}

/// What an event says in few words: the question of a decision, else its own short text, after what
/// was used where the text does not say it.
fn said(event: &Event) -> Option<String> {
    use EventKind::{Decision, Ecg, Finding, Haemodynamics, Help, Outcome, Symptom};
    const SHORT: usize = 90;
    let text = event.text.as_ref()?.as_str();
    let question = text.split_inclusive('?').next().filter(|first| first.ends_with('?'));
    let text = question.filter(|_| event.kind == Decision).unwrap_or(text);
    let (title, rest) = fit::headline_within(text, SHORT);
    let speaks = matches!(event.kind, Decision | Ecg | Finding | Haemodynamics | Help | Outcome | Symptom);
    let title = if speaks { title } else { format!("{}: {}", kind_words(event), lower_first(&title)) };
    (rest.is_empty() || !title.ends_with('…')).then_some(title)
}

fn flow_words(before: Option<TimiFlow>, flow: TimiFlow, event: &Event) -> String {
    let when = when(event);
    match (before.map(TimiFlow::grade), flow.grade()) {
        (None, _) => format!("is seen with {flow}, {when}"),
        (Some(old), 0) if old > 0 => format!("has lost its flow, {when}"),
        (Some(old), 3) if old < 3 => format!("has {flow} again, {when}"),
        (Some(old), new) if new < old => format!("falls to {flow}, {when}"),
        (Some(old), new) if new > old => format!("rises to {flow}, {when}"),
        (Some(_), _) => format!("still has {flow}, {when}"),
    }
}

pub(super) fn when(event: &Event) -> String {
    match event.time {
        Certainty::OrderOnly => "time not known".to_owned(),
        certainty => format!("at {}", short_time(event.at, certainty)),
    }
}

/// Leaves out vessels that always had full flow while there are more than a room can read; a branch
/// keeps the vessel that it hangs from.
fn drop_lanes(drawn: &mut TimelineDrawing) {
    while drawn.lanes.len() > LANES {
        let spare = (0..drawn.lanes.len()).rev().find(|&index| {
            let lane = &drawn.lanes[index];
            let full = lane.sights.iter().all(|sight| sight.flow.is_none_or(|flow| flow.grade() == 3));
            let carries = lane.depth == 0 && drawn.lanes.get(index + 1).is_some_and(|next| next.depth > 0);
            let marked = drawn.marks.iter().any(|mark| mark.lane == Some(index));
            full && !carries && !marked
        });
        let Some(spare) = spare else { return };
        drawn.lanes.remove(spare);
        for mark in &mut drawn.marks {
            mark.lane = mark.lane.map(|lane| if lane > spare { lane - 1 } else { lane });
        }
    }
}

/// An event as a line: its number on the drawing, its time, what happened.
pub(super) fn item(event: &Event, reading: &Reading) -> Phrase {
    let number = reading.number(&event.key).map_or_else(String::new, |number| number.to_string());
    Phrase::new()
        .strong(format!("{number} "))
        .mono(format!("{} ", short_time(event.at, event.time)))
        .then(event_words(event))
}
