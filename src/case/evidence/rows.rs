//! Rows of facts that follow from the record: a vessel from its flow, a tear from the complication,
//! a bifurcation from the lesion. Observations of the same thing join them.

use super::{Gathered, event_anchor, vessel_of};
use crate::case::code::Key;
use crate::case::observation::{About, Observation, about};
use crate::case::reading::{Reading, VesselFlow, place_words, words::lower_first};
use crate::case::record::Complication;
use crate::case::stored::{Row, StoredCase};
use crate::case::words::{EventKind, Segment, Vessel};
use crate::clinical::{Answer, Family, Subject};
use crate::quantity::TimiFlow;
use crate::vocabulary::Vocabulary;

/// What a row is about.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Anchor {
    /// A vessel.
    Vessel(Vessel),
    /// A place in it.
    Segment(Segment),
    /// A complication.
    Complication(Key),
    /// An observation that is about nothing else in the record.
    Observation(i64),
}

/// What the trade calls a mechanism in the words of a definition: where the leaf of the mechanism
/// tree by its own meaning answers one of the definition's inputs.
const BY_MECHANISM: &[(&str, Family, &str, &str)] = &[
    ("stent-loss", Family::Device, "off_balloon", "yes"),
    ("wire-fracture", Family::Device, "broken", "yes"),
    ("wire-entrapment", Family::Device, "stuck", "yes"),
    ("balloon-entrapment", Family::Device, "stuck", "yes"),
    ("ablation-stuck", Family::Device, "stuck", "yes"),
    ("stent-longitudinal", Family::Device, "distorted", "yes"),
    ("access-pseudoaneurysm", Family::Access, "harm", "pseudoaneurysm"),
    ("access-fistula", Family::Access, "harm", "fistula"),
    ("access-retroperitoneal", Family::Access, "harm", "retroperitoneal"),
    ("access-haematoma", Family::Access, "harm", "haematoma"),
    ("access-limb-ischaemia", Family::Access, "harm", "limb-ischaemia"),
    ("access-infection", Family::Access, "harm", "infection"),
    ("wire-distal-perforation", Family::Perforation, "distal_wire", "yes"),
];

pub(super) fn derive(case: &StoredCase, reading: &Reading, vocabulary: &Vocabulary, into: &mut Gathered) {
    for flow in reading.vessels() {
        vessel(case, reading, flow, into);
    }
    for row in &case.complications {
        complication(case, row, vocabulary, into);
    }
    for row in &case.lesions {
        let Some(class) = row.value.medina else { continue };
        let subject = Subject { label: place_words(row.value.segment), origin: Some("lesions".to_owned()) };
        let place = into.row(Family::Bifurcation, &[Anchor::Segment(row.value.segment)], subject);
        into.record(Family::Bifurcation, place, "judged", class);
    }
}

/// A vessel from its flow; a side branch is looked at as such besides.
///
/// `before` is the last flow that was seen before the first harm in the vessel began, or else the
/// first that was seen; `worst` the worst seen since; `leaving` the last seen in the procedure.
fn vessel(case: &StoredCase, reading: &Reading, flow: &VesselFlow, into: &mut Gathered) {
    let sights = flow.history.sights();
    let in_vessel = |segment: Segment| segment.vessel() == flow.vessel;
    let treated = case.lesions.iter().any(|row| in_vessel(row.value.segment))
        || case.events.iter().map(|row| &row.value).any(|event| {
            matches!(event.kind, EventKind::Balloon | EventKind::Stent)
                && event.segment.is_some_and(in_vessel)
        });
    if sights.is_empty() && !treated {
        return;
    }
    let began = case
        .complications
        .iter()
        .map(|row| &row.value)
        .filter(|harm| vessel_of(harm.segment) == Some(flow.vessel))
        .filter_map(|harm| reading.moment(harm.began.as_ref()?))
        .map(crate::timeline::Moment::place)
        .min();
    let before = began
        .and_then(|place| sights.iter().rev().find(|sight| sight.moment.place() < place))
        .or_else(|| sights.first());
    let since = before.map_or(0, |sight| sight.moment.place());
    let worst = sights.iter().filter(|s| s.moment.place() >= since).min_by_key(|sight| sight.flow);
    let leaving = sights.last();
    let at = worst.or(before).and_then(|sight| reading.key_at(sight.moment));
    let origin = at.and_then(|key| event_anchor(reading, key)).or_else(|| Some("lesions".to_owned()));
    let subject = || Subject { label: flow.vessel.label().to_owned(), origin: origin.clone() };
    let anchors = [Anchor::Vessel(flow.vessel)];
    let grade = |sight: Option<&crate::timeline::FlowSight>| sight.map(|sight| sight.flow.grade());

    let row = into.row(Family::Vessel, &anchors, subject());
    if treated {
        into.record(Family::Vessel, row, "treated", Answer::Yes.slug());
    }
    let one = sights.len() == 1;
    let texts =
        [("before", grade(before)), ("worst", grade(worst)), ("leaving", grade(leaving.filter(|_| !one)))];
    for (slug, text) in texts {
        if let Some(text) = text {
            into.record(Family::Vessel, row, slug, text);
        }
    }
    if flow.vessel.is_side_branch() && !one {
        let row = into.row(Family::SideBranch, &anchors, subject());
        let after = sights.iter().filter(|s| s.moment.place() > since).map(|sight| sight.flow).min();
        let texts = [("before", before.map(|sight| sight.flow)), ("after", after)];
        for (slug, flow) in texts {
            if let Some(text) = flow.map(TimiFlow::grade) {
                into.record(Family::SideBranch, row, slug, text);
            }
        }
    }
}

/// A complication: its grade as judged, and what its mechanism says by its own meaning.
fn complication(case: &StoredCase, row: &Row<Complication>, vocabulary: &Vocabulary, into: &mut Gathered) {
    let (harm, id) = (&row.value, row.id);
    let anchors = [Anchor::Complication(harm.key.clone())];
    let subject =
        || Subject { label: harm_words(harm, case, vocabulary), origin: Some(format!("complication-{id}")) };
    if let Some(judged) = harm.dissection {
        let row = into.row(Family::Dissection, &anchors, subject());
        into.record(Family::Dissection, row, "judged", judged);
    }
    if let Some(judged) = harm.perforation {
        let row = into.row(Family::Perforation, &anchors, subject());
        into.record(Family::Perforation, row, "judged", judged);
    }
    let mechanism = harm.mechanism.as_str();
    if mechanism == "stent-thrombosis" {
        into.row(Family::StentThrombosis, &anchors, subject());
    }
    for (_, family, slug, text) in BY_MECHANISM.iter().filter(|(leaf, ..)| *leaf == mechanism) {
        let row = into.row(*family, &anchors, subject());
        into.record(*family, row, slug, text);
    }
}

/// A complication by its mechanism, without the grades that the finding is to say; with its place
/// where another has the same mechanism.
fn harm_words(harm: &Complication, case: &StoredCase, vocabulary: &Vocabulary) -> String {
    let label = vocabulary.mechanism_label(&harm.mechanism);
    let same = case.complications.iter().filter(|row| row.value.mechanism == harm.mechanism).count();
    match harm.segment.filter(|_| same > 1) {
        Some(segment) => format!("{label}, {}", lower_first(&place_words(segment))),
        None => label,
    }
}

/// By what an observation finds the row of the same thing.
pub(super) fn anchors(seen: &Observation, id: i64) -> Vec<Anchor> {
    match about(seen.family()) {
        About::Vessel => vessel_of(seen.segment).map(Anchor::Vessel).into_iter().collect(),
        About::Case | About::Place | About::Thing => {
            let complication = seen.complication.clone().map(Anchor::Complication);
            let segment = seen.segment.filter(|_| seen.family() == Family::Bifurcation).map(Anchor::Segment);
            complication.or(segment).or(Some(Anchor::Observation(id))).into_iter().collect()
        }
    }
}

/// What an observation is about, in words.
pub(super) fn subject(seen: &Observation, id: i64, vocabulary: &Vocabulary, case: &StoredCase) -> Subject {
    let harm = seen
        .complication
        .as_ref()
        .and_then(|key| case.complications.iter().find(|row| row.value.key == *key))
        .map(|row| harm_words(&row.value, case, vocabulary));
    let place = seen.segment.map(|segment| match about(seen.family()) {
        About::Vessel => segment.vessel().label().to_owned(),
        _ => place_words(segment),
    });
    let label = seen.label.as_ref().map(ToString::to_string).or(harm).or(place);
    Subject {
        label: label.unwrap_or_else(|| seen.family().label().to_lowercase()),
        origin: Some(format!("observation-{id}")),
    }
}

/// The mechanisms that answer an input, for a test.
#[cfg(test)]
pub(super) fn leaves() -> impl Iterator<Item = &'static str> {
    BY_MECHANISM.iter().map(|(leaf, ..)| *leaf)
}
