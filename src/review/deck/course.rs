//! The timeline, growing step by step, and the stop points at which it halts.

use std::collections::BTreeSet;

use super::fit::{self, LINES};
use super::{Head, Making, Purpose, StopPoint, notes, stops};
use crate::case::known::{KnownThen, until};
use crate::case::reading::Reading;
use crate::case::reading::words::{in_text, lower_first, place_words, sentence, short_time, upper_first};
use crate::case::{Decision, DecisionOption, Event, EventKind, Key, StoredCase, drawing};
use crate::document::{Block, Figure, Phrase, Svg};
use crate::figure::Distance;
use crate::figure::timeline::TimelineDrawing;
use crate::quantity::{Certainty, Offset, TimiFlow};
use crate::review::summary::{event_words, kind_words};

/// At most so many events on a screen.
const EVENTS: usize = 3;
/// At most so many vessels; those that were never without flow make room.
const LANES: usize = 4;

impl Making<'_> {
    pub(super) fn course(&mut self) {
        let (case, reading) = (self.material.case, self.material.reading);
        let mut shown: BTreeSet<Key> = BTreeSet::new();
        for decision in stops(case) {
            let then = KnownThen::at_decision(case, reading, decision);
            let new: Vec<Key> = keys(&then.case).filter(|key| !shown.contains(key)).collect();
            self.steps(&mut shown, &new, Some(decision.at));
            self.stop(decision, &then);
            self.after += 1;
            self.revealed(decision);
        }
        let rest: Vec<Key> = keys(case).filter(|key| !shown.contains(key)).collect();
        self.steps(&mut shown, &rest, None);
        if self.after > 0 {
            self.situation();
        }
        for row in case.decisions.iter().filter(|row| row.value.options.len() < 2) {
            self.told_decision(&row.value);
        }
    }

    /// The timeline up to the next stop point, or to its end, a few events a screen.
    fn steps(&mut self, shown: &mut BTreeSet<Key>, new: &[Key], stop: Option<Offset>) {
        let mut left = new;
        while !left.is_empty() {
            let mut step = Step::of(self.material.case, shown, left, 1, stop);
            while step.count < left.len().min(EVENTS) {
                let longer = Step::of(self.material.case, shown, left, step.count + 1, stop);
                if longer.is_too_tall(self.material) {
                    break;
                }
                step = longer;
            }
            let (taken, later) = left.split_at(step.count);
            shown.extend(taken.iter().cloned());
            self.step(&step, taken);
            left = later;
        }
    }

    fn step(&mut self, step: &Step, taken: &[Key]) {
        let Some(first) = taken.first() else { return };
        let reading = Reading::of(&step.case.events, &step.case.complications);
        let events: Vec<&Event> = step
            .case
            .events
            .iter()
            .map(|row| &row.value)
            .filter(|event| taken.contains(&event.key))
            .collect();
        let title = step.title();
        let drawn = step.drawing(self.material).draw_for(Distance::Room, &format!("timeline-{first}"));
        // One line more than there surely is: the smaller setting has room for it.
        let room = fit::room(&title, fit::figure_lines(&drawn.svg)).max(3.0);
        let items: Vec<Phrase> = events.iter().map(|event| item(event, &reading)).collect();
        let mut pages = fit::pages(items, room, EVENTS).into_iter();
        let mut body = vec![Block::Figure(Figure {
            title: drawn.title,
            description: drawn.summary,
            svg: Svg::trusted(drawn.svg),
            values: None,
            summary: String::new(),
            source: String::new(),
        })];
        body.extend(pages.next().map(Block::bullets));
        let more: Vec<Phrase> = pages.flatten().collect();
        let head =
            Head::new(format!("timeline-{first}"), "Timeline", title.clone()).saying(measured(&events));
        self.add(head, Purpose::Tell, body);
        if !more.is_empty() {
            let head = Head::new(format!("timeline-{first}_words"), "Timeline", title);
            self.list(head, more, EVENTS);
        }
    }

    /// The question, what speaks for and against each option, and the question again.
    fn stop(&mut self, decision: &Decision, then: &KnownThen) {
        let key = &decision.key;
        let options: Vec<String> = decision.options.iter().map(|option| option.text.to_string()).collect();
        let stop = StopPoint { decision: key.clone(), options, chosen: None };
        let (title, rest) = fit::headline(decision.question.as_str());
        let part = "Your decision";
        let head = Head::new(format!("stop-{key}"), part, title.clone()).saying(known_notes(decision, then));
        self.question(head, &Purpose::Question(stop.clone()), &rest, decision);
        let mut any = false;
        for (number, option) in (1..).zip(&decision.options) {
            if option.reasons_for.is_empty() && option.reasons_against.is_empty() {
                continue;
            }
            any = true;
            let head = Head::new(format!("stop-{key}_option-{number}"), part, numbered(number, option));
            self.reasons(head, &stop, option);
        }
        if any {
            let head = Head::new(format!("stop-{key}_answer"), "The room answers", title)
                .saying("Take the hands or the phones now, before anybody says what was done.");
            self.question(head, &Purpose::Answer(stop), &rest, decision);
        }
    }

    fn question(&mut self, head: Head, purpose: &Purpose, rest: &str, decision: &Decision) {
        let room = fit::room(&head.title, 0.0);
        let mut bodies = if rest.is_empty() { Vec::new() } else { fit::paragraphs(rest, room) };
        let options: Vec<Phrase> = decision.options.iter().map(|o| Phrase::from(o.text.as_str())).collect();
        let taken: f64 = options.iter().map(|option| fit::lines(&option.to_text()) + 0.9).sum();
        let list = Block::List { order: crate::document::Order::Numbers, items: options };
        // The options stand together: they are chosen between.
        match bodies.last_mut() {
            Some(last) if fit::lines(&phrase_of(last)) + taken <= room => last.push(list),
            _ => bodies.push(vec![list]),
        }
        self.add_all(head, purpose, bodies);
    }

    fn reasons(&mut self, head: Head, stop: &StopPoint, option: &DecisionOption) {
        let room = fit::room(&head.title, 2.0);
        let side = |label: &str, lines: &[crate::case::Line]| -> Vec<Phrase> {
            lines
                .iter()
                .map(|line| Phrase::new().strong(format!("{label}: ")).text(sentence(line.as_str())))
                .collect()
        };
        let items = [side("For", &option.reasons_for), side("Against", &option.reasons_against)].concat();
        let bodies = fit::pages(items, room, 8).into_iter().map(|page| vec![Block::bullets(page)]).collect();
        self.add_all(head, &Purpose::Reasons(stop.clone()), bodies);
    }

    /// What was chosen, by which role, and what followed.
    fn revealed(&mut self, decision: &Decision) {
        let options = decision.options.iter().map(|option| option.text.to_string()).collect();
        let chosen = decision.chosen.map(crate::case::OptionNumber::number);
        let stop = StopPoint { decision: decision.key.clone(), options, chosen };
        self.chosen(decision, format!("after-{}", decision.key), &Purpose::Revealed(stop));
    }

    /// A decision that was no stop point, once the whole course has been told.
    fn told_decision(&mut self, decision: &Decision) {
        self.chosen(decision, format!("decision-{}", decision.key), &Purpose::Tell);
    }

    fn chosen(&mut self, decision: &Decision, key: String, purpose: &Purpose) {
        if decision.chosen_option().is_none() && decision.followed.is_none() {
            return;
        }
        let (title, mut text) = match decision.chosen_option().zip(decision.chosen) {
            Some((option, number)) => {
                let (short, rest) = fit::headline(option.text.as_str());
                (format!("Option {number} was chosen: {}", lower_first(&short)), rest)
            }
            None => ("What was chosen is not recorded".to_owned(), String::new()),
        };
        for part in [
            decision
                .chosen_by
                .as_ref()
                .map(|role| format!("Chosen by: {}.", role.as_str().trim_end_matches('.'))),
            decision.followed.as_ref().map(|text| sentence(text.as_str())),
        ]
        .into_iter()
        .flatten()
        {
            text = [text.as_str(), &part].join(" ").trim().to_owned();
        }
        let head = Head::new(key, "What followed", title)
            .saying(notes([format!("The question was: {}", decision.question)]));
        // Room for the room's answers, before and after.
        let answers = f64::from(u8::try_from(decision.options.len()).unwrap_or(u8::MAX)) * 1.3 + 1.5;
        let room = fit::room(&head.title, answers);
        let bodies = if text.is_empty() { vec![Vec::new()] } else { fit::paragraphs(&text, room) };
        self.add_all(head, purpose, bodies);
    }
}

fn keys(case: &StoredCase) -> impl Iterator<Item = Key> + '_ {
    case.events.iter().map(|row| row.value.key.clone())
}

fn phrase_of(blocks: &[Block]) -> String {
    blocks
        .iter()
        .map(|block| match block {
            Block::Paragraph(phrase) => phrase.to_text(),
            _ => String::new(),
        })
        .collect()
}

fn numbered(number: usize, option: &DecisionOption) -> String {
    format!("Option {number}: {}", lower_first(option.text.as_str()))
}

/// A step of the timeline: the case cut to what had happened, and how many of its events are new.
struct Step {
    case: StoredCase,
    new: Vec<Key>,
    count: usize,
    /// Where the drawing ends; none where nothing follows.
    veil: Option<Offset>,
}

impl Step {
    fn of(
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

    fn is_too_tall(&self, material: &super::Material<'_>) -> bool {
        let reading = Reading::of(&self.case.events, &self.case.complications);
        let drawn = self.drawing(material).draw_for(Distance::Room, "measure");
        let words: f64 = self.events().map(|event| fit::lines(&item(event, &reading).to_text()) + 0.35).sum();
        fit::title_lines(&self.title()) + fit::figure_lines(&drawn.svg) + words > LINES
    }

    fn events(&self) -> impl Iterator<Item = &Event> {
        self.case.events.iter().map(|row| &row.value).filter(|event| self.new.contains(&event.key))
    }

    /// The vessels as far as they were seen, with the marks of what is new: from the last row, more
    /// cannot be told apart.
    fn drawing(&self, material: &super::Material<'_>) -> TimelineDrawing {
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
    fn title(&self) -> String {
        let lost = self.events().filter(|event| event.flow.is_some()).min_by_key(|event| event.flow);
        let told = lost.or_else(|| self.events().last());
        let title = told.map_or_else(String::new, |event| match event.flow.zip(event.segment) {
            Some((flow, segment)) => {
                let before = self.flow_before(event);
                let vessel = upper_first(in_text(segment.vessel()));
                format!("{vessel} {}", flow_words(before, flow, event))
            }
            None if said(event).is_some() => {
                let text = said(event).unwrap_or_default();
                format!("{} ({})", text.trim_end_matches('.'), when(event).trim_start_matches("at "))
            }
            None => {
                let place = event.segment.map_or_else(String::new, |s| format!(", {}", place_words(s)));
                format!("{}{place}, {}", kind_words(event), when(event))
            }
        });
        upper_first(&title)
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

fn when(event: &Event) -> String {
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
fn item(event: &Event, reading: &Reading) -> Phrase {
    let number = reading.number(&event.key).map_or_else(String::new, |number| number.to_string());
    Phrase::new()
        .strong(format!("{number} "))
        .mono(format!("{} ", short_time(event.at, event.time)))
        .then(event_words(event))
}

/// What was measured meanwhile.
fn measured(events: &[&Event]) -> String {
    let lines = events.iter().map(|event| {
        let parts = [
            event.pressure.map(|pressure| format!("{pressure} mmHg")),
            event.heart_rate.map(|rate| format!("{rate}/min")),
            event.contrast.map(|volume| format!("contrast so far {volume}")),
            event.air_kerma.map(|dose| format!("air kerma so far {dose}")),
        ];
        let parts: Vec<String> = parts.into_iter().flatten().collect();
        if parts.is_empty() {
            return String::new();
        }
        format!("{}: {}", upper_first(&when(event)), parts.join(", "))
    });
    notes(lines)
}

/// What was known when the question stood.
fn known_notes(decision: &Decision, then: &KnownThen) -> String {
    let results = |rows: &[crate::case::Row<crate::case::Lab>]| -> String {
        let said = rows.iter().map(|row| {
            let lab = &row.value;
            format!(
                "{} {} (drawn at {})",
                lower_first(lab.result.test().label()),
                lab.result.value(),
                lab.drawn
            )
        });
        said.collect::<Vec<_>>().join("; ")
    };
    let waited: Vec<String> = then
        .waited_for
        .iter()
        .map(|row| format!("{} drawn at {}", lower_first(row.value.result.test().label()), row.value.drawn))
        .collect();
    let line =
        |head: &str, text: String| if text.is_empty() { String::new() } else { format!("{head}: {text}") };
    notes([
        format!("It is {}; nothing later is known", decision.at),
        line("Results that were back", results(&then.case.labs)),
        line("Results that were waited for", waited.join("; ")),
        "Let the room answer before you go on: the next screen after this stop tells what was chosen"
            .to_owned(),
    ])
}
