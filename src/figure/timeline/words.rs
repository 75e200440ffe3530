//! The timeline in a table and in sentences.

use std::fmt::Write as _;

use super::{Bracket, Lane, LaneSight, Mark, TimelineDrawing};
use crate::figure::FigureTable;
use crate::quantity::{DurationWords, Offset};

pub(super) const DESCRIPTION: &str = "Time runs from left to right. Each vessel is drawn as two walls, filled to its flow: full at TIMI 3, half at TIMI 2, a hairline at TIMI 1, empty with a hatched cap at TIMI 0, a dotted line where flow is not known. Numbered shapes above are events; the table gives the same numbers. Brackets below run from began to controlled, with a ring where it was recognised.";

/// An offset as a mark's certainty has it: `+12:30`, `≈ +12:30`, `order only`.
pub(super) fn time(mark: &Mark) -> String {
    if mark.order_only {
        "order only".to_owned()
    } else if mark.is_uncertain() {
        format!("≈ {}", mark.at)
    } else {
        mark.at.to_string()
    }
}

/// A mark in one line.
pub(super) fn mark_title(mark: &Mark) -> String {
    format!("{}. {} {}", mark.number, time(mark), mark.label)
}

/// A bracket's words: `Vessel closure: recognised after 4 min, controlled after 38 min`.
pub(super) fn bracket(bracket: &Bracket, veiled: bool) -> String {
    let after = |words: &Option<String>, end: Option<Offset>| {
        end.map(|end| {
            let length = words.clone().or_else(|| Some(minutes(bracket.began?, end)));
            match (length, bracket.began) {
                (Some(length), Some(_)) if length.starts_with("between") => length,
                (Some(length), Some(_)) => format!("after {length}"),
                _ => format!("at {end}"),
            }
        })
    };
    let recognised = match after(&bracket.to_recognition, bracket.recognised) {
        Some(_) if bracket.began.is_some() && bracket.recognised == bracket.began => {
            "recognised at once".to_owned()
        }
        Some(when) => format!("recognised {when}"),
        None => "recognition not recorded".to_owned(),
    };
    let controlled = match after(&bracket.to_control, bracket.controlled) {
        Some(when) => format!("controlled {when}"),
        None if veiled => "not controlled yet".to_owned(),
        None => "not controlled by the end".to_owned(),
    };
    if bracket.began.is_some() {
        format!("{}: {recognised}, {controlled}", bracket.label)
    } else {
        format!("{}: beginning not recorded, {recognised}, {controlled}", bracket.label)
    }
}

/// The time between two moments, in the units that fit it.
fn minutes(from: Offset, to: Offset) -> String {
    DurationWords::of((to.seconds() - from.seconds()).max(0)).to_string()
}

/// The table: one row for each event.
pub(super) fn table(drawing: &TimelineDrawing) -> FigureTable {
    let mut table = FigureTable::with_columns(&["Event", "Time", "Kind", "Vessel", "What happened"]);
    for mark in &drawing.marks {
        let lane = mark.lane.and_then(|lane| drawing.lanes.get(lane));
        table.rows.push(vec![
            mark.number.to_string(),
            time(mark),
            mark.family.word().to_owned(),
            lane.map_or_else(String::new, |lane| lane.label.clone()),
            mark.label.clone(),
        ]);
    }
    table
}

/// The timeline in sentences.
pub(super) fn summary(drawing: &TimelineDrawing) -> String {
    let mut text = match (drawing.marks.first(), drawing.marks.last()) {
        (Some(first), Some(last)) if drawing.marks.len() > 1 => {
            format!("{} events from {} to {}.", drawing.marks.len(), first.at, last.at)
        }
        (Some(only), _) => format!("One event at {}.", only.at),
        _ => "No events yet.".to_owned(),
    };
    let veiled = drawing.veil_from.is_some();
    for lane in &drawing.lanes {
        let _ = write!(text, " {}", lane_sentence(lane, veiled));
    }
    for complication in &drawing.brackets {
        let _ = write!(text, " {}.", bracket(complication, veiled));
    }
    if let Some(veil) = drawing.veil_from {
        let _ = write!(text, " Only what was known at {veil} is shown.");
    }
    text
}

/// A vessel's flow: `LAD: flow lost from +12:30 to +50:10 (38 min), TIMI 2 from +41:00.`
fn lane_sentence(lane: &Lane, veiled: bool) -> String {
    let Some(last) = lane.sights.last() else {
        return format!("{}: flow not recorded.", lane.label);
    };
    let mut parts = Vec::new();
    let mut loss: Option<Loss> = None;
    for sight in &lane.sights {
        match (&mut loss, sight.flow) {
            (None, Some(flow)) if flow.is_lost() => loss = Some(Loss::from(sight)),
            (Some(running), Some(flow)) if flow.grade() == 3 => {
                parts.push(running.until(sight));
                loss = None;
            }
            (Some(running), Some(flow)) if !flow.is_lost() => {
                running.partial = running.partial.or(Some(sight.at));
            }
            _ => {}
        }
    }
    if let Some(running) = loss {
        let again = if veiled { "yet" } else { "again" };
        parts.push(format!("{}, not seen at TIMI 3 {again}", running.begun()));
    }
    if parts.is_empty() {
        parts.push("flow not seen lost".to_owned());
    }
    let end = last.flow.map_or_else(|| "not known".to_owned(), |flow| flow.to_string());
    format!("{}: {}; {end} at the last look.", lane.label, parts.join("; "))
}

/// A loss of flow: from TIMI 0 or 1 until TIMI 3.
struct Loss {
    from: LaneSight,
    partial: Option<Offset>,
}

impl Loss {
    const fn from(sight: &LaneSight) -> Self {
        Self { from: *sight, partial: None }
    }

    fn begun(&self) -> String {
        let partial = self.partial.map(|at| format!(", TIMI 2 from {at}")).unwrap_or_default();
        format!("flow lost from {}{partial}", self.from.at)
    }

    fn until(&self, end: &LaneSight) -> String {
        let uncertain = |sight: &LaneSight| sight.bounds.is_some_and(|(a, b)| a != b);
        let about = if uncertain(&self.from) || uncertain(end) { "about " } else { "" };
        let partial = self.partial.map(|at| format!(", TIMI 2 from {at}")).unwrap_or_default();
        let length = minutes(self.from.at, end.at);
        format!("flow lost from {} to {} ({about}{length}){partial}", self.from.at, end.at)
    }
}
