//! Where a case contradicts itself: named with its row, never silently corrected.

use super::code::Key;
use super::observation::Observation;
use super::reading::{Reading, in_text, place_words, words};
use super::record::{Complication, Event};
use super::stored::{Row, StoredCase};
use super::words::{EventKind, Harm, Segment, Vessel};
use crate::clinical::Family;
use crate::quantity::{Certainty, Offset, TimiFlow};

/// Something in the record that cannot be true together with something else in it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Contradiction {
    /// What contradicts what, in a sentence.
    pub sentence: String,
    /// The place of the row on the page.
    pub anchor: String,
}

/// All contradictions of a case, those of its times first.
#[must_use]
pub fn contradictions(case: &StoredCase, reading: &Reading) -> Vec<Contradiction> {
    let mut found = reading.findings().to_vec();
    for (number, row) in (1..).zip(&case.complications) {
        found.extend(open_while_closed(case, reading, number, row));
        found.extend(in_another_coronary(case, reading, number, row));
    }
    found.extend(two_flows_at_once(case, reading));
    found.extend(treated_elsewhere(case, reading));
    found.extend(after_the_end(case, reading));
    found.extend(falling_doses(case, reading));
    found.extend(case.observations.iter().flat_map(answers_that_clash));
    found.extend(survived_death(case));
    found
}

fn at_event(number: u32, sentence: String) -> Contradiction {
    Contradiction { sentence, anchor: format!("event-{number}") }
}

/// A sight of TIMI 3 in a vessel that a complication says was closed at that time.
fn open_while_closed(
    case: &StoredCase,
    reading: &Reading,
    number: usize,
    row: &Row<Complication>,
) -> Vec<Contradiction> {
    let harm = &row.value;
    let place = |key: &Option<Key>| key.as_ref().and_then(|key| reading.number(key));
    let (Some(segment), Some(from), Some(until)) =
        (harm.segment, place(&harm.recognised).or(place(&harm.began)), place(&harm.controlled))
    else {
        return Vec::new();
    };
    if !harm.worst_flow.is_some_and(TimiFlow::is_lost) {
        return Vec::new();
    }
    let vessel = segment.vessel();
    let inside = |event: &Event| reading.number(&event.key).filter(|at| (from + 1..until).contains(at));
    case.events
        .iter()
        .map(|row| &row.value)
        .filter(|event| event.segment.is_some_and(|segment| segment.vessel() == vessel))
        .filter(|event| event.flow.is_some_and(|flow| flow.grade() == 3))
        .filter_map(inside)
        .map(|at| {
            at_event(at, format!(
                "Event {at} shows TIMI 3 in {}, which complication {number} says was closed from event {from} to event {until}.",
                in_text(vessel)
            ))
        })
        .collect()
}

/// Two grades of flow in one vessel at one exact time: which of them came first decides how long
/// flow was lost, and nothing but the order of typing says so.
fn two_flows_at_once(case: &StoredCase, reading: &Reading) -> Vec<Contradiction> {
    let seen: Vec<(&Event, Vessel, TimiFlow)> = case
        .events
        .iter()
        .map(|row| &row.value)
        .filter(|event| event.time == Certainty::Exact)
        .filter_map(|event| Some((event, event.segment?.vessel(), event.flow?)))
        .collect();
    let mut found = Vec::new();
    for (index, (later, vessel, flow)) in seen.iter().enumerate() {
        let clash = seen[..index]
            .iter()
            .find(|(earlier, other, before)| earlier.at == later.at && other == vessel && before != flow);
        let Some((earlier, _, before)) = clash else { continue };
        if let (Some(first), Some(second)) = (reading.number(&earlier.key), reading.number(&later.key)) {
            found.push(at_event(second, format!(
                "Events {first} and {second} show {before} and {flow} in {} at the same time. Give the later one its own time.",
                in_text(*vessel)
            )));
        }
    }
    found
}

/// The vessel that a coronary tree begins with: the left main or the right coronary artery.
fn coronary(segment: Segment) -> Vessel {
    let mut vessel = segment.vessel();
    while let Some(parent) = vessel.parent() {
        vessel = parent;
    }
    vessel
}

/// A harm in one coronary artery that is linked to an event in the other.
fn in_another_coronary(
    case: &StoredCase,
    reading: &Reading,
    number: usize,
    row: &Row<Complication>,
) -> Vec<Contradiction> {
    let harm = &row.value;
    let Some(segment) = harm.segment else { return Vec::new() };
    [("began", &harm.began), ("was controlled", &harm.controlled)]
        .into_iter()
        .filter_map(|(what, key)| {
            let key = key.as_ref()?;
            let event = case.events.iter().find(|row| row.value.key == *key)?;
            let other = event.value.segment.filter(|other| coronary(*other) != coronary(segment))?;
            let at = reading.number(key)?;
            Some(Contradiction {
                sentence: format!(
                    "Complication {number} lies in {}, and {what} with event {at}, which is in {}.",
                    words::lower_first(&place_words(segment)),
                    words::lower_first(&place_words(other))
                ),
                anchor: format!("complication-{}", row.id),
            })
        })
        .collect()
}

/// A balloon or a stent in a coronary artery that holds neither a lesion nor a harm.
fn treated_elsewhere(case: &StoredCase, reading: &Reading) -> Vec<Contradiction> {
    let lesions = case.lesions.iter().map(|row| row.value.segment);
    let harms = case.complications.iter().filter_map(|row| row.value.segment);
    let held: Vec<Vessel> = lesions.chain(harms).map(coronary).collect();
    if held.is_empty() {
        return Vec::new();
    }
    case.events
        .iter()
        .map(|row| &row.value)
        .filter(|event| matches!(event.kind, EventKind::Balloon | EventKind::Stent))
        .filter_map(|event| {
            let segment = event.segment.filter(|segment| !held.contains(&coronary(*segment)))?;
            let at = reading.number(&event.key)?;
            let what = event.kind.label().to_lowercase();
            Some(at_event(at, format!(
                "Event {at} is a {what} in {}; no lesion and no complication of this case lies in that artery.",
                words::lower_first(&place_words(segment))
            )))
        })
        .collect()
}

/// Work in a coronary artery after the procedure was said to have ended, without a new access.
fn after_the_end(case: &StoredCase, reading: &Reading) -> Vec<Contradiction> {
    let stated = case
        .observations
        .iter()
        .find(|row| row.value.family() == Family::Procedure)
        .and_then(|row| row.value.text("ended").parse::<Offset>().ok());
    let Some(end) = stated else { return Vec::new() };
    let later: Vec<&Event> = case
        .events
        .iter()
        .map(|row| &row.value)
        .filter(|event| event.at > end && event.time != Certainty::OrderOnly)
        .take_while(|event| event.kind != EventKind::Access)
        .collect();
    later
        .into_iter()
        .filter(|event| {
            matches!(
                event.kind,
                EventKind::Guide | EventKind::Wire | EventKind::Balloon | EventKind::Stent | EventKind::Contrast
            )
        })
        .filter_map(|event| {
            let at = reading.number(&event.key)?;
            Some(at_event(at, format!(
                "Event {at} is at {}, after the procedure ended at {end}, and no new access lies between.",
                event.at
            )))
        })
        .collect()
}

/// Contrast or air kerma so far that is less than it was before.
fn falling_doses(case: &StoredCase, reading: &Reading) -> Vec<Contradiction> {
    let mut found = Vec::new();
    for (what, history) in
        [("contrast", reading.contrast(&case.events)), ("air kerma", reading.air_kerma(&case.events))]
    {
        for (earlier, later) in history.falls() {
            let (earlier, later) = (earlier + 1, later + 1);
            found.push(Contradiction {
                sentence: format!("Event {later} gives less {what} so far than event {earlier} before it."),
                anchor: format!("event-{later}"),
            });
        }
    }
    found
}

/// Two answers of one observation that cannot both be true.
fn answers_that_clash(row: &Row<Observation>) -> Vec<Contradiction> {
    /// A "no", and what it rules out.
    const CLASHES: &[(Family, &str, &str)] = &[
        (Family::Ischaemia, "q_waves", "q_waves_contiguous"),
        (Family::Ischaemia, "imaging_loss", "imaging_substantial"),
        (Family::Ischaemia, "ecg", "st_shift"),
        (Family::Bleeding, "fatal", "fatal_proved"),
        (Family::Bleeding, "bypass_related", "bypass_intracranial"),
        (Family::Bleeding, "bypass_related", "sternum_reopened"),
        (Family::Outcome, "death", "death_by_event"),
        (Family::Pericardium, "effusion", "compromised"),
        (Family::Pericardium, "effusion", "drained"),
    ];
    let seen = &row.value;
    let label = |slug: &str| {
        seen.family().inputs().iter().find(|input| input.slug == slug).map_or("", |input| input.label)
    };
    let mut found: Vec<String> = CLASHES
        .iter()
        .filter(|(family, no, yes)| {
            *family == seen.family() && seen.text(no) == "no" && seen.text(yes) == "yes"
        })
        .map(|(family, no, yes)| {
            format!("{}: “{}” is answered no, and “{}” yes.", family.label(), label(no), label(yes))
        })
        .collect();
    let units = seen.text("units_before_nadir");
    if seen.text("transfused") == "no" && !units.is_empty() && !units.starts_with("0 ") {
        found.push(format!("Bleeding: no transfusion, and {units} given before the lowest haemoglobin."));
    }
    found
        .into_iter()
        .map(|sentence| Contradiction { sentence, anchor: format!("observation-{}", row.id) })
        .collect()
}

/// A degree of harm that is death, of a patient who did not die.
fn survived_death(case: &StoredCase) -> Option<Contradiction> {
    let row = case.observations.iter().find(|row| row.value.family() == Family::Outcome)?;
    (case.head.outcome.harm == Some(Harm::Death) && row.value.text("death") == "no").then(|| Contradiction {
        sentence: "The degree of harm is death, and death is answered no.".to_owned(),
        anchor: format!("observation-{}", row.id),
    })
}

#[cfg(test)]
mod tests;
