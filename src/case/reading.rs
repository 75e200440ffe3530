//! What a case says about time: the numbers of its events, the flow of its vessels, and how long
//! each harm took to be seen and to be controlled. It hands the record to the timeline core, and
//! says the answers in sentences.

mod sentences;
pub mod words;

use std::collections::{BTreeMap, BTreeSet};

use super::code::Key;
use super::consistency::Contradiction;
use super::record::{Complication, Event};
use super::stored::Row;
use super::words::Vessel;
use crate::quantity::{Certainty, Offset, TimiFlow};
use crate::timeline::{
    DoseHistory, DoseReading, Elapsed, FlowHistory, FlowSight, Moment, Span, TotalLoss, moments,
};

pub use sentences::FlowSentence;
pub use words::{event_numbers, in_text, place_words, time_words};

/// A pause longer than this, in seconds, ends the procedure as far as a vessel that was still
/// without flow is concerned: what was written on the ward does not tell of flow. Our own
/// convention.
const PAUSE: i64 = 2 * 3600;

/// The times of a case, read once.
#[derive(Debug, Clone)]
pub struct Reading {
    /// By key, the place in `clock`.
    places: BTreeMap<Key, usize>,
    /// The events in order of time, so that the place of each is its number less one.
    clock: Vec<Clocked>,
    vessels: Vec<VesselFlow>,
    spans: Vec<ComplicationSpan>,
    findings: Vec<Contradiction>,
}

/// An event's time as it is written and as it is counted.
#[derive(Debug, Clone, Copy)]
struct Clocked {
    at: Offset,
    certainty: Certainty,
    moment: Moment,
}

/// A vessel and its flow.
#[derive(Debug, Clone)]
pub struct VesselFlow {
    /// The vessel.
    pub vessel: Vessel,
    /// 0 for a main vessel, 1 for a side branch.
    pub depth: u8,
    /// Its flow, from its first sight to the last event of the procedure in which it was last seen.
    pub history: FlowHistory,
    /// That last event.
    end: Option<usize>,
}

impl VesselFlow {
    /// The name on its lane.
    #[must_use]
    pub const fn lane_label(&self) -> &'static str {
        self.vessel.label()
    }

    /// Its lost flow, all episodes together. An episode that was there at the first look counts.
    #[must_use]
    pub fn total(&self) -> TotalLoss {
        self.history.total()
    }
}

/// When a complication began, was recognised and was controlled.
#[derive(Debug, Clone)]
pub struct ComplicationSpan {
    /// The key of the complication.
    pub key: Key,
    /// The span; when its events are out of order, the sentence that says so.
    pub span: Result<Span, String>,
    /// The events as linked: began, recognised, first response, controlled.
    linked: [Option<Clocked>; 4],
}

impl Reading {
    /// Reads the events and complications of a case.
    #[must_use]
    pub fn of(events: &[Row<Event>], complications: &[Row<Complication>]) -> Self {
        let times: Vec<(Offset, Certainty)> =
            events.iter().map(|row| (row.value.at, row.value.time)).collect();
        let mut timed: Vec<(&Event, Moment)> =
            events.iter().map(|row| &row.value).zip(moments(&times)).collect();
        timed.sort_by_key(|(_, moment)| moment.place());
        let mut reading = Self {
            places: timed.iter().enumerate().map(|(place, (event, _))| (event.key.clone(), place)).collect(),
            clock: timed
                .iter()
                .map(|&(event, moment)| Clocked { at: event.at, certainty: event.time, moment })
                .collect(),
            vessels: Vec::new(),
            spans: Vec::new(),
            findings: Vec::new(),
        };
        reading.vessels = lanes(events, complications)
            .into_iter()
            .map(|vessel| reading.vessel_flow(vessel, &timed))
            .collect();
        for (index, row) in complications.iter().enumerate() {
            reading.read_complication(index + 1, row);
        }
        reading
    }

    /// An event's number, from 1 in order of time: on the drawing, in the tables, in the sentences.
    #[must_use]
    pub fn number(&self, key: &Key) -> Option<u32> {
        self.places.get(key).map(|&place| number_of(place))
    }

    /// When an event was.
    #[must_use]
    pub fn moment(&self, key: &Key) -> Option<Moment> {
        self.clocked(key).map(|clocked| clocked.moment)
    }

    /// The vessels in which flow was seen or a harm happened, and those that their branches hang
    /// from, in anatomical order.
    #[must_use]
    pub fn vessels(&self) -> &[VesselFlow] {
        &self.vessels
    }

    /// The spans of the complications, in their order.
    #[must_use]
    pub fn spans(&self) -> &[ComplicationSpan] {
        &self.spans
    }

    /// Where the times of the complications contradict themselves. For the whole case:
    /// [`super::consistency::contradictions`].
    #[must_use]
    pub fn findings(&self) -> &[Contradiction] {
        &self.findings
    }

    /// The event at a moment of the case.
    #[must_use]
    pub fn key_at(&self, moment: Moment) -> Option<&Key> {
        self.places.iter().find(|(_, place)| **place == moment.place()).map(|(key, _)| key)
    }

    /// When the last event was that follows this one without a long pause in between, which ends
    /// the procedure. An event of which only the order is known does not say when.
    #[must_use]
    pub fn end_of_procedure_from(&self, key: &Key) -> Option<Offset> {
        let from = *self.places.get(key)?;
        let last = self.end_of_procedure(from)?;
        let stated = |place: &usize| self.clock.get(*place).is_some_and(|clocked| clocked.moment.is_stated());
        let place = (from..=last).rev().find(stated)?;
        self.clock.get(place).map(|clocked| clocked.at)
    }

    /// Contrast by the events that say how much was given so far, in thousandths of a mL.
    #[must_use]
    pub fn contrast(&self, events: &[Row<Event>]) -> DoseHistory {
        self.doses(events, |event| event.contrast.map(|volume| volume.exact() / 1_000))
    }

    /// Air kerma by the events that say how much there was so far, in mGy.
    #[must_use]
    pub fn air_kerma(&self, events: &[Row<Event>]) -> DoseHistory {
        self.doses(events, |event| event.air_kerma.map(|dose| dose.exact() / 1_000_000))
    }

    fn doses(&self, events: &[Row<Event>], amount: impl Fn(&Event) -> Option<i128>) -> DoseHistory {
        let readings = events.iter().filter_map(|row| {
            let amount = i64::try_from(amount(&row.value)?).ok()?;
            DoseReading::new(self.moment(&row.value.key)?, amount).ok()
        });
        DoseHistory::new(readings.collect())
    }

    fn clocked(&self, key: &Key) -> Option<Clocked> {
        self.places.get(key).and_then(|&place| self.clock.get(place)).copied()
    }

    fn vessel_flow(&self, vessel: Vessel, timed: &[(&Event, Moment)]) -> VesselFlow {
        let sights: Vec<FlowSight> = timed
            .iter()
            .filter(|(event, _)| event.segment.is_some_and(|segment| segment.vessel() == vessel))
            .filter_map(|&(event, moment)| Some(FlowSight { moment, flow: event.flow? }))
            .collect();
        let end = sights.last().and_then(|sight| self.end_of_procedure(sight.moment.place()));
        // A vessel that is still without flow lost it for at least so long, so the earliest that
        // the last event may have been is what counts.
        let last_event = end
            .and_then(|place| self.clock.get(place))
            .map_or(Offset::ZERO, |last| last.moment.bounds().map_or(last.at, |(earliest, _)| earliest));
        VesselFlow {
            vessel,
            depth: u8::from(vessel.is_side_branch()),
            history: FlowHistory::new(sights, last_event),
            end,
        }
    }

    /// The last event that follows an event without a long pause in between.
    fn end_of_procedure(&self, from: usize) -> Option<usize> {
        let mut last = from;
        for pair in self.clock.get(from..)?.windows(2) {
            if pair[1].at.seconds() - pair[0].at.seconds() > PAUSE {
                break;
            }
            last += 1;
        }
        Some(last)
    }

    fn read_complication(&mut self, number: usize, row: &Row<Complication>) {
        let complication = &row.value;
        let anchor = format!("complication-{}", row.id);
        let mut found = Vec::new();
        let ends = [
            &complication.began,
            &complication.recognised,
            &complication.responded,
            &complication.controlled,
        ];
        for key in ends.into_iter().flatten().filter(|key| !self.places.contains_key(key)) {
            found.push(format!(
                "Complication {number} points to the event “{key}”, which the timeline does not have."
            ));
        }
        let linked = ends.map(|end| end.as_ref().and_then(|key| self.clocked(key)));
        let [began, recognised, responded, controlled] = linked.map(|end| end.map(|clocked| clocked.moment));
        let span = Span::new(began, recognised, responded, controlled).map_err(|error| error.to_string());
        if let Err(sentence) = &span {
            found.push(format!("Complication {number}: {}", words::lower_first(sentence)));
        }
        if let Some(sentence) = self.milder_than_seen(number, complication, began, controlled) {
            found.push(sentence);
        }
        let told = found.into_iter().map(|sentence| Contradiction { sentence, anchor: anchor.clone() });
        self.findings.extend(told);
        self.spans.push(ComplicationSpan { key: complication.key.clone(), span, linked });
    }

    /// A worst flow that the timeline shows to have been worse.
    fn milder_than_seen(
        &self,
        number: usize,
        complication: &Complication,
        began: Option<Moment>,
        controlled: Option<Moment>,
    ) -> Option<String> {
        let stated = complication.worst_flow?;
        let vessel = complication.segment?.vessel();
        let (from, until) = (began?.place(), controlled.map_or(usize::MAX, Moment::place));
        let sights = self.vessels.iter().find(|flow| flow.vessel == vessel)?.history.sights();
        let seen: TimiFlow = sights
            .iter()
            .filter(|sight| (from..=until).contains(&sight.moment.place()))
            .map(|sight| sight.flow)
            .min()?;
        (seen < stated).then(|| {
            let vessel = in_text(vessel);
            format!("Complication {number} says {stated} at worst; the timeline shows {seen} in {vessel} meanwhile.")
        })
    }
}

impl ComplicationSpan {
    /// From its beginning to its recognition.
    #[must_use]
    pub fn to_recognition(&self) -> Option<Elapsed> {
        self.span.as_ref().ok().and_then(Span::to_recognition)
    }

    /// From its beginning to the first response.
    #[must_use]
    pub fn to_response(&self) -> Option<Elapsed> {
        self.span.as_ref().ok().and_then(Span::to_response)
    }

    /// From its beginning to its control.
    #[must_use]
    pub fn to_control(&self) -> Option<Elapsed> {
        self.span.as_ref().ok().and_then(Span::to_control)
    }
}

fn number_of(place: usize) -> u32 {
    u32::try_from(place).unwrap_or(u32::MAX).saturating_add(1)
}

/// The vessels that need a lane: those in which flow was seen or a harm happened. A branch brings
/// the vessel that it hangs from.
fn lanes(events: &[Row<Event>], complications: &[Row<Complication>]) -> BTreeSet<Vessel> {
    let seen = events.iter().filter(|row| row.value.flow.is_some()).filter_map(|row| row.value.segment);
    let harmed = complications.iter().filter_map(|row| row.value.segment);
    seen.chain(harmed)
        .map(super::words::Segment::vessel)
        .flat_map(|vessel| [Some(vessel), vessel.parent().filter(|_| vessel.is_side_branch())])
        .flatten()
        .collect()
}

#[cfg(test)]
mod tests;
