//! The timeline, growing step by step, and the stop points at which it halts.

use std::collections::BTreeSet;

use super::meaning::picture;
use super::step::{Step, item, when};
use super::{Head, Making, Purpose, StopPoint, fit, notes, stops};
use crate::case::known::KnownThen;
use crate::case::reading::Reading;
use crate::case::reading::words::{lower_first, sentence, upper_first};
use crate::case::{Decision, DecisionOption, Event, Key, StoredCase};
use crate::document::{Block, Phrase};
use crate::figure::Distance;
use crate::quantity::Offset;

/// At most so many events on a screen.
const EVENTS: usize = 3;

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
        self.other_stills();
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
        let events: Vec<&Event> = step.events().collect();
        let title = step.title();
        let drawn = step.drawing(self.material).draw_for(Distance::Room, &format!("timeline-{first}"));
        // One line more than there surely is: the smaller setting has room for it.
        let room = fit::room(&title, fit::figure_lines(&drawn.svg)).max(3.0);
        let items: Vec<Phrase> = events.iter().map(|event| item(event, &reading)).collect();
        let mut pages = fit::pages(items, room, EVENTS).into_iter();
        let mut body = vec![picture(drawn)];
        body.extend(pages.next().map(Block::bullets));
        let more: Vec<Phrase> = pages.flatten().collect();
        let head =
            Head::new(format!("timeline-{first}"), "Timeline", title.clone()).saying(measured(&events));
        self.add(head, Purpose::Tell, body);
        if !more.is_empty() {
            let head = Head::new(format!("timeline-{first}_words"), "Timeline", title);
            self.list(head, more, EVENTS);
        }
        self.stills(taken);
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
