//! What the timeline core found, in sentences.

use super::words::{self, in_text, later, upper_first};
use super::{Clocked, ComplicationSpan, Reading, VesselFlow, number_of};
use crate::case::words::Vessel;
use crate::timeline::{Elapsed, Episode, FlowStep, Moment};

/// One episode of lost or reduced flow in words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FlowSentence {
    /// The vessel.
    pub vessel: Vessel,
    /// The finding in a few words: `the LAD was closed for 38 min`.
    pub finding: String,
    /// The episode in a sentence or two.
    pub text: String,
    /// The vessel was without flow when it was first seen: it is not known to have been lost in
    /// this procedure.
    pub at_first_look: bool,
    /// Whether flow was lost, rather than reduced to TIMI 2.
    pub lost: bool,
    /// The numbers of the events that the sentence rests on.
    pub events: Vec<u32>,
}

impl Reading {
    /// A sentence for each episode of lost flow, vessel by vessel; a vessel that never lost its
    /// flow and fell to TIMI 2 gets one for that.
    #[must_use]
    pub fn flow_sentences(&self) -> Vec<FlowSentence> {
        let mut found = Vec::new();
        for vessel in &self.vessels {
            let episodes = vessel.history.episodes();
            found.extend(episodes.iter().map(|episode| self.episode(vessel, episode)));
            if episodes.is_empty() {
                found.extend(self.reduced(vessel));
            }
        }
        found
    }

    /// When a moment was, inside a sentence.
    fn when(&self, moment: Moment) -> String {
        self.clock.get(moment.place()).map_or_else(|| moment.at().to_string(), Clocked::when)
    }

    fn episode(&self, flow: &VesselFlow, episode: &Episode) -> FlowSentence {
        let at_first_look = episode.last_open.is_none();
        let mut text =
            if at_first_look { self.closed_at_first_look(flow, episode) } else { self.lost(flow, episode) };
        let again = relapses(flow, episode);
        for step in &again {
            text.push_str(&format!(" {}", self.relapse(step)));
        }
        if let Some(sentence) = self.longest(episode) {
            text.push_str(&format!(" {sentence}"));
        }
        let events = [Some(episode.start), episode.partial, episode.restored]
            .into_iter()
            .flatten()
            .chain(again.iter().flat_map(|step| [Some(step.from), step.until]).flatten())
            .map(|moment| number_of(moment.place()));
        let mut events: Vec<u32> = events.collect();
        events.sort_unstable();
        events.dedup();
        FlowSentence {
            vessel: flow.vessel,
            finding: finding(flow, episode, &again),
            text,
            at_first_look,
            lost: true,
            events,
        }
    }

    fn lost(&self, flow: &VesselFlow, episode: &Episode) -> String {
        let (vessel, start) = (in_text(flow.vessel), self.when(episode.start));
        match (episode.restored, episode.lost_for()) {
            (Some(end), Some(lost)) if partial_before(episode).is_none() => {
                format!("Flow in {vessel} was lost for {lost}, from {start} to TIMI 3 at {}.", self.when(end))
            }
            (Some(_), Some(_)) => format!("Flow in {vessel} was lost at {start}; {}.", self.back(episode)),
            (Some(end), None) => format!(
                "Flow in {vessel} was lost at {start} and TIMI 3 again at {}; how long that was is not known.",
                self.when(end)
            ),
            (None, lost) => {
                format!("Flow in {vessel} was lost at {start} and {}", self.not_back(flow, episode, lost))
            }
        }
    }

    fn closed_at_first_look(&self, flow: &VesselFlow, episode: &Episode) -> String {
        let vessel = upper_first(in_text(flow.vessel));
        let seen = format!("{vessel} was without flow when first seen ({})", self.when(episode.start));
        match episode.restored {
            Some(_) => format!("{seen}; {}.", self.back(episode)),
            None => format!("{seen} and {}", self.not_back(flow, episode, episode.lost_for())),
        }
    }

    /// `TIMI 2 was back after 17 min and TIMI 3 after 30 min, at +42:30`, as far as it came back.
    fn back(&self, episode: &Episode) -> String {
        let after = |moment: Moment, elapsed: Option<Elapsed>| match elapsed {
            Some(elapsed) => later(elapsed),
            None => format!("at {}", self.when(moment)),
        };
        let partial = partial_before(episode).map(|partial| after(partial, episode.to_partial()));
        let restored = episode.restored.map(|end| match episode.lost_for() {
            Some(lost) => format!("{}, at {}", later(lost), self.when(end)),
            None => format!("at {}", self.when(end)),
        });
        match (partial, restored) {
            (Some(partial), Some(restored)) => format!("TIMI 2 was back {partial} and TIMI 3 {restored}"),
            (Some(partial), None) => format!("TIMI 2 was back {partial}"),
            (None, Some(restored)) => format!("TIMI 3 was back {restored}"),
            (None, None) => String::new(),
        }
    }

    /// The end of a sentence on flow that did not come back: as long as the record goes on.
    fn not_back(&self, flow: &VesselFlow, episode: &Episode, lost: Option<Elapsed>) -> String {
        let end = flow.end.and_then(|place| self.clock.get(place));
        let partial = match self.back(episode) {
            back if back.is_empty() => back,
            back => format!(" {back}."),
        };
        match (end, lost) {
            (Some(end), Some(lost)) if lost.longest() > 0 => format!(
                "was not seen at TIMI 3 by the last event of the procedure ({}): at least {lost}.{partial}",
                end.when()
            ),
            _ => format!("was not seen at TIMI 3 again; the record does not say for how long.{partial}"),
        }
    }

    fn relapse(&self, step: &FlowStep) -> String {
        let from = self.when(step.from);
        match step.until {
            Some(until) => {
                let long = Elapsed::between(step.from, until)
                    .map_or_else(String::new, |lost| format!(" for {lost},"));
                format!("It was lost again{long} from {from} to {}.", self.when(until))
            }
            None => format!("It was lost again at {from}."),
        }
    }

    /// Onset is only observed, so an episode may have begun as early as the last sight before it.
    fn longest(&self, episode: &Episode) -> Option<String> {
        let (open, longest) = (episode.last_open?, episode.longest_possible()?);
        if Some(longest) == episode.lost_for() {
            return None;
        }
        let at_most =
            if episode.is_restored() { format!(", so up to {longest} to TIMI 3") } else { String::new() };
        Some(format!("Last seen open before at {}{at_most}.", self.when(open)))
    }

    fn reduced(&self, flow: &VesselFlow) -> Vec<FlowSentence> {
        let first_full = flow.history.sights().iter().find(|sight| sight.flow.grade() == 3);
        let Some(first_full) = first_full else { return Vec::new() };
        let fallen = |step: &FlowStep| step.from.place() > first_full.moment.place();
        let name = in_text(flow.vessel);
        flow.history
            .reduced()
            .iter()
            .filter(|step| fallen(step))
            .map(|step| {
                let from = self.when(step.from);
                let lasted = step.until.and_then(|until| Elapsed::between(step.from, until));
                let (finding, text) = match (step.until, lasted) {
                    (Some(until), Some(lasted)) => (
                        format!("{name} was down to TIMI 2 for {lasted}"),
                        format!("Flow in {name} was reduced to TIMI 2 for {lasted}, from {from} to {}, and never seen lost.", self.when(until)),
                    ),
                    _ => (
                        format!("{name} was down to TIMI 2 at the last look"),
                        format!("Flow in {name} was reduced to TIMI 2 from {from} on, and never seen lost."),
                    ),
                };
                FlowSentence {
                    vessel: flow.vessel,
                    finding,
                    text,
                    at_first_look: false,
                    lost: false,
                    events: [Some(step.from), step.until].into_iter().flatten().map(|m| number_of(m.place())).collect(),
                }
            })
            .collect()
    }
}

impl Clocked {
    /// When an event was, inside a sentence. An order alone is no time; the number then says where
    /// in the order it stands.
    fn when(&self) -> String {
        if self.moment.is_stated() {
            words::short_time(self.at, self.certainty)
        } else {
            format!("event {}", number_of(self.moment.place()))
        }
    }
}

impl ComplicationSpan {
    /// `Began at +6:40, recognised after 5 min 30 s, first response after 7 min, controlled after
    /// 26 min.`; none while no event is linked, and none when the events contradict each other. A
    /// first response that is not linked goes without saying: many harms have none of their own.
    #[must_use]
    pub fn sentence(&self) -> Option<String> {
        let span = self.span.as_ref().ok()?;
        let [began, recognised, responded, controlled] = self.linked;
        let at = |what: &str, end: Clocked| format!("{what} at {}", end.when());
        let end = |what: &str, of: Option<Clocked>, elapsed: Option<Elapsed>| match (of, elapsed) {
            (Some(_), Some(elapsed)) => format!("{what} {}", later(elapsed)),
            (Some(of), None) => at(what, of),
            (None, _) => format!("not linked to an event where it was {what}"),
        };
        if self.linked.iter().all(Option::is_none) {
            return None;
        }
        let began =
            began.map_or_else(|| "its beginning is not linked to an event".to_owned(), |of| at("began", of));
        let parts = [
            Some(began),
            Some(end("recognised", recognised, span.to_recognition())),
            responded.map(|_| end("first response", responded, span.to_response())),
            Some(end("controlled", controlled, span.to_control())),
        ];
        let parts: Vec<String> = parts.into_iter().flatten().collect();
        Some(format!("{}.", upper_first(&parts.join(", "))))
    }
}

/// When flow was back at TIMI 2, where that was before TIMI 3.
fn partial_before(episode: &Episode) -> Option<Moment> {
    episode.partial.filter(|partial| Some(*partial) != episode.restored)
}

/// The stretches of lost flow inside an episode after flow had come back to TIMI 2.
fn relapses(flow: &VesselFlow, episode: &Episode) -> Vec<FlowStep> {
    let Some(partial) = episode.partial else { return Vec::new() };
    let until = episode.restored.map_or(usize::MAX, Moment::place);
    flow.history
        .lost()
        .into_iter()
        .filter(|step| (partial.place()..until).contains(&step.from.place()))
        .collect()
}

/// The episode in a few words, for a title.
fn finding(flow: &VesselFlow, episode: &Episode, again: &[FlowStep]) -> String {
    let vessel = in_text(flow.vessel);
    if episode.last_open.is_none() {
        return match again.first() {
            Some(step) => match step.until.and_then(|until| Elapsed::between(step.from, until)) {
                Some(lost) => format!("{vessel} was opened and lost its flow again for {lost}"),
                None => format!("{vessel} was opened and lost its flow again"),
            },
            None => format!("{vessel} was closed when first seen"),
        };
    }
    let partial = partial_before(episode).and_then(|_| episode.to_partial());
    match (episode.lost_for(), partial) {
        _ if !episode.is_restored() => format!("{vessel} was not restored"),
        (Some(lost), Some(partial)) => {
            format!("{vessel} lost its flow: TIMI 2 {}, TIMI 3 {}", later(partial), later(lost))
        }
        // TIMI 0 from the beginning to the end is a closed vessel, TIMI 1 is not.
        (Some(lost), None) if only_timi_0(flow, episode) => format!("{vessel} was closed for {lost}"),
        (Some(lost), None) => format!("{vessel} was without flow for {lost}"),
        (None, _) => format!("{vessel} lost its flow and got it back"),
    }
}

fn only_timi_0(flow: &VesselFlow, episode: &Episode) -> bool {
    let until = episode.restored.map_or(usize::MAX, Moment::place);
    flow.history
        .sights()
        .iter()
        .filter(|sight| (episode.start.place()..until).contains(&sight.moment.place()))
        .all(|sight| sight.flow.grade() == 0)
}
