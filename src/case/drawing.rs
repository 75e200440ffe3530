//! A case as its drawings: the timeline over its vessels, the chain of its harms, and its causes.

mod causes;

pub use causes::{cause_effect, chain_causes};

use super::reading::{ComplicationSpan, FlowSentence, Reading, VesselFlow, words};
use super::record::{Complication, Event};
use super::stored::StoredCase;
use super::words::EventKind;
use crate::figure::chain::{Chain, ChainNode};
use crate::figure::timeline::{Bracket, Lane, LaneSight, Mark, MarkFamily, TimelineDrawing};
use crate::quantity::{Certainty, Offset};
use crate::timeline::{Elapsed, Moment, Span};
use crate::vocabulary::Vocabulary;

/// At most so many characters of an event's text beside its mark.
const MARK_TEXT: usize = 90;
/// At most so many findings in a title.
const FINDINGS: usize = 3;

/// The family whose shape marks a kind of event.
#[must_use]
pub const fn family(kind: EventKind) -> MarkFamily {
    match kind {
        EventKind::Access | EventKind::Guide | EventKind::Wire | EventKind::WirePositionLost => {
            MarkFamily::Reach
        }
        EventKind::Balloon | EventKind::Stent => MarkFamily::Treat,
        EventKind::Imaging | EventKind::Finding | EventKind::Flow => MarkFamily::See,
        EventKind::Symptom | EventKind::Ecg | EventKind::Haemodynamics | EventKind::Outcome => {
            MarkFamily::Patient
        }
        EventKind::Drug | EventKind::Contrast => MarkFamily::Give,
        EventKind::Help | EventKind::Support => MarkFamily::Rescue,
        EventKind::Decision => MarkFamily::Decide,
    }
}

/// The families that a case's timeline uses, in their order, for its legend.
#[must_use]
pub fn families(case: &StoredCase) -> Vec<MarkFamily> {
    let used = |wanted: &MarkFamily| case.events.iter().any(|row| family(row.value.kind) == *wanted);
    MarkFamily::ALL.into_iter().filter(used).collect()
}

/// The timeline of a case. Its title is what it shows: how long which vessel was without flow,
/// else how long the first harm took to be seen, else how many events there are.
#[must_use]
pub fn timeline(case: &StoredCase, vocabulary: &Vocabulary) -> TimelineDrawing {
    let reading = Reading::of(&case.events, &case.complications);
    let lanes: Vec<Lane> = reading.vessels().iter().map(lane).collect();
    let marks = case.events.iter().filter_map(|row| mark(&row.value, &reading)).collect();
    let brackets = case
        .complications
        .iter()
        .zip(reading.spans())
        .filter_map(|(row, span)| bracket(&row.value, span, vocabulary))
        .collect();
    TimelineDrawing { title: title(case, vocabulary, &reading), lanes, marks, brackets, veil_from: None }
}

/// The timeline of a case as it was known at a moment, of which nothing later is drawn.
#[must_use]
pub fn timeline_known(known: &StoredCase, vocabulary: &Vocabulary, at: Offset) -> TimelineDrawing {
    TimelineDrawing { veil_from: Some(at), ..timeline(known, vocabulary) }
}

fn lane(flow: &VesselFlow) -> Lane {
    let sights = flow
        .history
        .sights()
        .iter()
        .map(|sight| LaneSight {
            at: sight.moment.at(),
            flow: Some(sight.flow),
            bounds: uncertain_bounds(sight.moment),
        })
        .collect();
    Lane { label: flow.lane_label().to_owned(), depth: flow.depth, sights }
}

fn uncertain_bounds(moment: Moment) -> Option<(Offset, Offset)> {
    moment.bounds().filter(|(earliest, latest)| earliest != latest)
}

fn mark(event: &Event, reading: &Reading) -> Option<Mark> {
    let moment = reading.moment(&event.key)?;
    let vessel = event.segment.map(super::words::Segment::vessel);
    let label = event.text.as_ref().map_or_else(
        || event.kind.label().to_owned(),
        |text| format!("{}: {}", event.kind.label(), words::shorten(text.as_str(), MARK_TEXT)),
    );
    Some(Mark {
        number: reading.number(&event.key)?,
        at: event.at,
        bounds: uncertain_bounds(moment),
        order_only: event.time == Certainty::OrderOnly,
        family: family(event.kind),
        lane: vessel.and_then(|vessel| reading.vessels().iter().position(|flow| flow.vessel == vessel)),
        label,
    })
}

/// A complication's bracket; none while nothing is linked, or while its events contradict each
/// other: a bracket drawn backwards would say something that did not happen.
fn bracket(complication: &Complication, span: &ComplicationSpan, vocabulary: &Vocabulary) -> Option<Bracket> {
    let times = span.span.as_ref().ok().filter(|times| **times != Span::default())?;
    let place =
        complication.segment.map(|segment| format!(", {}", words::lower_first(&words::place_words(segment))));
    let elapsed = |elapsed: Option<Elapsed>| elapsed.map(|elapsed| elapsed.to_string());
    Some(Bracket {
        label: format!(
            "{}{}",
            vocabulary.mechanism_label(&complication.mechanism),
            place.unwrap_or_default()
        ),
        began: times.began().map(Moment::at),
        recognised: times.recognised().map(Moment::at),
        responded: times.responded().map(Moment::at),
        controlled: times.controlled().map(Moment::at),
        to_recognition: elapsed(span.to_recognition()),
        to_response: elapsed(span.to_response()),
        to_control: elapsed(span.to_control()),
    })
}

fn title(case: &StoredCase, vocabulary: &Vocabulary, reading: &Reading) -> String {
    if case.events.is_empty() {
        return "No events yet".to_owned();
    }
    let sentences = reading.flow_sentences();
    let findings = flow_findings(reading, &sentences);
    if !findings.is_empty() {
        return words::upper_first(&findings.join("; "));
    }
    if let Some(finding) = span_finding(case, vocabulary, reading) {
        return finding;
    }
    match case.events.as_slice() {
        [only] => format!("One event, at {}", only.value.at),
        [first, .., last] => {
            format!("{} events from {} to {}", words::count(case.events.len()), first.value.at, last.value.at)
        }
        [] => String::new(),
    }
}

/// What the flow of the vessels says, the losses first. A vessel that was closed when first seen,
/// and was opened, is no finding of a complication.
fn flow_findings(reading: &Reading, sentences: &[FlowSentence]) -> Vec<String> {
    let mut findings: Vec<String> = Vec::new();
    for vessel in reading.vessels() {
        let own: Vec<&FlowSentence> =
            sentences.iter().filter(|s| s.vessel == vessel.vessel && s.lost).collect();
        match own.as_slice() {
            [] => {}
            [one] if one.at_first_look && !one.finding.contains("again") => {}
            [one] => findings.push(one.finding.clone()),
            [.., last] if own.iter().any(|s| s.at_first_look) => findings.push(last.finding.clone()),
            _ => findings.push(format!(
                "{} lost its flow for {}",
                words::in_text(vessel.vessel),
                vessel.total()
            )),
        }
    }
    if findings.is_empty() {
        findings.extend(sentences.iter().filter(|s| !s.lost).map(|s| s.finding.clone()));
    }
    findings.truncate(FINDINGS);
    findings
}

fn span_finding(case: &StoredCase, vocabulary: &Vocabulary, reading: &Reading) -> Option<String> {
    case.complications.iter().zip(reading.spans()).find_map(|(row, span)| {
        let label = vocabulary.mechanism_label(&row.value.mechanism);
        let parts = [("recognised", span.to_recognition()), ("controlled", span.to_control())];
        let said: Vec<String> = parts
            .into_iter()
            .filter_map(|(what, elapsed)| Some((what, elapsed.filter(|elapsed| *elapsed != Elapsed::NONE)?)))
            .map(|(what, elapsed)| format!("{what} {}", words::later(elapsed)))
            .collect();
        (!said.is_empty()).then(|| format!("{label}: {}", said.join(", ")))
    })
}

/// A complication as it is named: its mechanism, with its grades.
#[must_use]
pub fn complication_words(complication: &Complication, vocabulary: &Vocabulary) -> String {
    let mut named = vocabulary.mechanism_label(&complication.mechanism);
    let says_dissection = named.to_lowercase().contains("dissection");
    let grades = [
        complication.dissection.map(|kind| match says_dissection {
            true => kind.label().to_owned(),
            false => format!("dissection {}", kind.label()),
        }),
        complication.perforation.map(|grade| grade.label().to_owned()),
        complication.worst_flow.map(|flow| format!("{flow} at worst")),
    ];
    for grade in grades.into_iter().flatten() {
        named.push_str(", ");
        named.push_str(&grade);
    }
    named
}

/// The chain of a case's harms; its title tells which led to which.
#[must_use]
pub fn chain(case: &StoredCase, vocabulary: &Vocabulary) -> Chain {
    let reading = Reading::of(&case.events, &case.complications);
    let harms: Vec<&Complication> = case.complications.iter().map(|row| &row.value).collect();
    let nodes = harms
        .iter()
        .map(|harm| ChainNode {
            label: complication_words(harm, vocabulary),
            vessel: harm.segment.map(words::place_words),
            began: harm.began.as_ref().and_then(|key| reading.moment(key)).map(Moment::at),
        })
        .collect();
    let edges: Vec<(usize, usize)> = harms
        .iter()
        .enumerate()
        .filter_map(|(index, harm)| {
            let parent = harm.consequence_of.as_ref()?;
            Some((harms.iter().position(|other| other.key == *parent)?, index))
        })
        .collect();
    let label = |index: usize| {
        harms.get(index).map_or_else(String::new, |harm| vocabulary.mechanism_label(&harm.mechanism))
    };
    let title = match (edges.is_empty(), harms.len()) {
        (false, _) => chain_title(&edges, label),
        (true, 1) => "One harm".to_owned(),
        (true, count) => {
            format!("{} harms, none of which is said to have led to another", words::count(count))
        }
    };
    Chain { title, nodes, edges }
}

/// `Wire dissection led to vessel closure, which led to jailed branch`.
fn chain_title(edges: &[(usize, usize)], label: impl Fn(usize) -> String) -> String {
    let mut title = String::new();
    let mut reached = None;
    for &(cause, consequence) in edges {
        let follows = words::lower_first(&label(consequence));
        if reached == Some(cause) {
            title.push_str(&format!(", which led to {follows}"));
        } else {
            let start = if title.is_empty() {
                label(cause)
            } else {
                format!("; {}", words::lower_first(&label(cause)))
            };
            title.push_str(&format!("{start} led to {follows}"));
        }
        reached = Some(consequence);
    }
    title
}

#[cfg(test)]
mod tests;
