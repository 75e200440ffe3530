//! The timeline in a table and in sentences.

use std::fmt::{self, Write as _};

use super::{Bracket, LaneSight, Mark, TimelineDrawing};
use crate::figure::FigureTable;
use crate::quantity::{DurationWords, Offset};

pub(super) const DESCRIPTION: &str = "Time runs from left to right. Each vessel is drawn as two walls, filled to its flow: full at TIMI 3, half at TIMI 2, a hairline at TIMI 1, empty with a hatched cap at TIMI 0, a dotted line where flow is not known. Numbered shapes above are events; the table gives the same numbers. Brackets below run from began to controlled, with a ring where it was recognised and a solid triangle where the first thing was done about it.";

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

/// A bracket's words: `Vessel closure: recognised after 4 min, first response after 6 min, controlled
/// after 38 min`. A length that the bracket does not bring with it is not known, and never taken from
/// the offsets: they may be no more than a place in the order. Of a response that is not recorded
/// nothing is said.
pub(super) fn bracket(drawing: &TimelineDrawing, bracket: &Bracket) -> String {
    let when = |length: &Option<String>, end: Option<Offset>| {
        let end = end?;
        Some(match (bracket.began, length) {
            (None, _) => format!("at {}", moment(drawing, end)),
            (Some(_), None) => "after a time that is not known".to_owned(),
            (Some(_), Some(length)) if length == "0 s" => "at once".to_owned(),
            (Some(_), Some(length)) => format!("after {length}"),
        })
    };
    let mut parts = Vec::new();
    if bracket.began.is_none() {
        parts.push("beginning not recorded".to_owned());
    }
    parts.push(match when(&bracket.to_recognition, bracket.recognised) {
        Some(when) => format!("recognised {when}"),
        None => "recognition not recorded".to_owned(),
    });
    parts.extend(when(&bracket.to_response, bracket.responded).map(|when| format!("first response {when}")));
    parts.push(match when(&bracket.to_control, bracket.controlled) {
        Some(when) => format!("controlled {when}"),
        None if drawing.veil_from.is_some() => "not controlled yet".to_owned(),
        None => "control not recorded".to_owned(),
    });
    format!("{}: {}", bracket.label, parts.join(", "))
}

/// A moment as the surest event at it has it.
fn moment(drawing: &TimelineDrawing, at: Offset) -> String {
    let events = drawing.marks.iter().filter(|mark| mark.at == at);
    match events.min_by_key(|mark| (mark.order_only, mark.is_uncertain())) {
        Some(mark) if mark.order_only => format!("{at} (order only)"),
        Some(mark) => time(mark),
        None => at.to_string(),
    }
}

/// The table: one row for each event, then one for each complication.
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
    for complication in &drawing.brackets {
        table.rows.push(vec![
            String::new(),
            complication.began.map_or_else(|| "not recorded".to_owned(), |began| moment(drawing, began)),
            "complication".to_owned(),
            String::new(),
            bracket(drawing, complication),
        ]);
    }
    table
}

/// The timeline in sentences.
pub(super) fn summary(drawing: &TimelineDrawing) -> String {
    let mut text = match (drawing.marks.first(), drawing.marks.last()) {
        (Some(first), Some(last)) if drawing.marks.len() > 1 => {
            let (from, to) = (moment(drawing, first.at), moment(drawing, last.at));
            format!("{} events from {from} to {to}.", drawing.marks.len())
        }
        (Some(only), _) => format!("One event, at {}.", moment(drawing, only.at)),
        _ => "No events yet.".to_owned(),
    };
    for index in 0..drawing.lanes.len() {
        let _ = write!(text, " {}", lane_sentence(drawing, index));
    }
    for complication in &drawing.brackets {
        let _ = write!(text, " {}.", bracket(drawing, complication));
    }
    if let Some(veil) = drawing.veil_from {
        let _ = write!(text, " Only what was known at {veil} is shown.");
    }
    text
}

/// A vessel's flow: `LAD: flow lost from +12:30 to +50:10 (38 min), TIMI 2 from +41:00.`
fn lane_sentence(drawing: &TimelineDrawing, index: usize) -> String {
    let lane = &drawing.lanes[index];
    let Some(last) = lane.sights.last() else {
        return format!("{}: flow not recorded.", lane.label);
    };
    let seen = |sight: &LaneSight| Seen::of(drawing, index, sight);
    let mut parts = Vec::new();
    let mut loss: Option<Loss> = None;
    for sight in &lane.sights {
        match (&mut loss, sight.flow) {
            (None, Some(flow)) if flow.is_lost() => loss = Some(Loss { from: seen(sight), partial: None }),
            (Some(running), Some(flow)) if flow.grade() == 3 => {
                parts.push(running.until(&seen(sight)));
                loss = None;
            }
            (Some(running), Some(flow)) if !flow.is_lost() && running.partial.is_none() => {
                running.partial = Some(seen(sight));
            }
            _ => {}
        }
    }
    if let Some(running) = loss {
        let again = if drawing.veil_from.is_some() { "yet" } else { "again" };
        let (from, partial) = (&running.from, running.partial());
        parts.push(format!("flow lost from {from}{partial}, not seen at TIMI 3 {again}"));
    }
    if parts.is_empty() {
        parts.push("flow not seen lost".to_owned());
    }
    let end = last.flow.map_or_else(|| "not known".to_owned(), |flow| flow.to_string());
    format!("{}: {}; {end} at the last look.", lane.label, parts.join("; "))
}

/// When flow was seen, and how sure that is.
struct Seen {
    at: Offset,
    estimated: bool,
    order_only: bool,
}

impl Seen {
    /// A vessel's sight; the event at which it was made says whether only its order is known.
    fn of(drawing: &TimelineDrawing, lane: usize, sight: &LaneSight) -> Self {
        let made = |mark: &&Mark| mark.lane == Some(lane) && mark.at == sight.at;
        Self {
            at: sight.at,
            estimated: sight.bounds.is_some_and(|(earliest, latest)| earliest != latest),
            order_only: drawing.marks.iter().filter(made).any(|mark| mark.order_only),
        }
    }
}

impl fmt::Display for Seen {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (self.order_only, self.estimated) {
            (true, _) => write!(f, "{} (order only)", self.at),
            (false, true) => write!(f, "≈ {}", self.at),
            (false, false) => write!(f, "{}", self.at),
        }
    }
}

/// A loss of flow: from TIMI 0 or 1 until TIMI 3.
struct Loss {
    from: Seen,
    partial: Option<Seen>,
}

impl Loss {
    fn partial(&self) -> String {
        self.partial.as_ref().map(|seen| format!(", TIMI 2 from {seen}")).unwrap_or_default()
    }

    fn until(&self, end: &Seen) -> String {
        let seconds = (end.at.seconds() - self.from.at.seconds()).max(0);
        let length = if self.from.order_only || end.order_only {
            "length not known".to_owned()
        } else if self.from.estimated || end.estimated {
            format!("about {}", DurationWords::of(seconds))
        } else {
            DurationWords::of(seconds).to_string()
        };
        format!("flow lost from {} to {end} ({length}){}", self.from, self.partial())
    }
}
