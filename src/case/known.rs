//! What was known at a moment of a case: the events until then, and the results that had come back.
//! Hindsight is everything else, and stays out.

use super::code::Key;
use super::decision::Decision;
use super::evidence;
use super::lab::Lab;
use super::reading::Reading;
use super::record::{Complication, Outcome};
use super::stored::{Row, StoredCase};
use super::words::EventKind;
use crate::clinical::Facts;
use crate::quantity::Offset;
use crate::timeline::{Given, Known, Moment, ResultTimes};
use crate::vocabulary::Vocabulary;

/// A case as far as it was known at the moment of one of its events.
#[derive(Debug, Clone)]
pub struct KnownThen {
    /// The case without what came later: events until then, results that were surely back, harms
    /// that somebody had recognised. Observations have no time, and are left out.
    pub case: StoredCase,
    /// Results that may have been back: their return is not recorded, or the moment is uncertain.
    pub perhaps: Vec<Row<Lab>>,
    /// Samples that had been drawn, and whose result was surely not back.
    pub waited_for: Vec<Row<Lab>>,
    /// How many events came later.
    pub later_events: usize,
    /// Contrast so far, in thousandths of a mL; none when no event says.
    pub contrast: Option<Given>,
    /// Air kerma so far, in mGy; none when no event says.
    pub air_kerma: Option<Given>,
}

impl KnownThen {
    /// What was known at an event; none when the case has no such event.
    #[must_use]
    pub fn at(case: &StoredCase, reading: &Reading, event: &Key) -> Option<Self> {
        reading.moment(event).map(|moment| Self::by(case, reading, Then::Event(moment)))
    }

    /// What was known at a decision: what surely had happened, and surely was back, by its second.
    /// The event that is the decision, of the same second, gives the answer and is left out. So is every
    /// harm, also one that somebody had seen: what it is called here was said afterwards, and may be the
    /// answer too.
    #[must_use]
    pub fn at_decision(case: &StoredCase, reading: &Reading, decision: &Decision) -> Self {
        let then = Then::Second(decision.at);
        let is_answer = |key: &Key| {
            let event = case.events.iter().find(|row| row.value.key == *key).map(|row| &row.value);
            event.is_some_and(|event| event.kind == EventKind::Decision && event.at == decision.at)
        };
        let by_then =
            |key: &Key| reading.moment(key).is_some_and(|event| then.follows(event)) && !is_answer(key);
        let mut known = Self::of_events(case, reading, then, by_then);
        known.case.complications.clear();
        known
    }

    fn by(case: &StoredCase, reading: &Reading, then: Then) -> Self {
        let by_then = |key: &Key| reading.moment(key).is_some_and(|event| then.follows(event));
        Self::of_events(case, reading, then, by_then)
    }

    fn of_events(case: &StoredCase, reading: &Reading, then: Then, by_then: impl Fn(&Key) -> bool) -> Self {
        let cut = until(case, by_then);
        let later_events = case.events.len() - cut.events.len();
        let mut labs = Vec::new();
        let (mut perhaps, mut waited_for) = (Vec::new(), Vec::new());
        for row in &case.labs {
            let times = ResultTimes { drawn: row.value.drawn, returned: row.value.returned };
            match then.had_result(times) {
                Known::Yes => labs.push(row.clone()),
                Known::Unsure => perhaps.push(row.clone()),
                Known::No if then.may_follow(row.value.drawn) => waited_for.push(row.clone()),
                Known::No => {}
            }
        }
        // A reading stands at an event, so that the last event that was known holds all of them.
        let last = cut.events.iter().rev().find_map(|row| reading.moment(&row.value.key));
        let doses = [reading.contrast(&case.events), reading.air_kerma(&case.events)];
        let [contrast, air_kerma] = doses.map(|history| {
            last.filter(|_| !history.readings().is_empty())
                .map(|moment| then.without_later(history.by(moment)))
        });
        let case = StoredCase { labs, ..cut };
        Self { case, perhaps, waited_for, later_events, contrast, air_kerma }
    }
}

/// A case cut down to some of its events: without what was written with hindsight, and with the
/// harms that somebody had recognised by then, as they were known.
#[must_use]
pub fn until(case: &StoredCase, by_then: impl Fn(&Key) -> bool) -> StoredCase {
    let events = case.events.iter().filter(|row| by_then(&row.value.key)).cloned().collect();
    let complications = case
        .complications
        .iter()
        .filter(|row| row.value.recognised.as_ref().is_some_and(&by_then))
        .map(|row| Row { id: row.id, value: as_known(&row.value, &by_then) })
        .collect();
    let mut head = case.head.clone();
    // The story and the end were written with hindsight.
    (head.narrative, head.outcome, head.situation) = (None, Outcome::default(), None);
    StoredCase {
        head,
        events,
        complications,
        labs: Vec::new(),
        observations: Vec::new(),
        prompts: Vec::new(),
        decisions: Vec::new(),
        causes: Vec::new(),
        lessons: Vec::new(),
        actions: Vec::new(),
        pictures: case
            .pictures
            .iter()
            .filter(|row| row.value.event.as_ref().is_some_and(&by_then))
            .cloned()
            .collect(),
        ..case.clone()
    }
}

/// A moment to look back from: an event of the case, or a second of its clock.
#[derive(Clone, Copy)]
enum Then {
    Event(Moment),
    Second(Offset),
}

impl Then {
    /// Whether an event surely was by then.
    fn follows(self, event: Moment) -> bool {
        let known = match self {
            Self::Event(moment) => Known::event_by(event, moment),
            Self::Second(at) => Known::event_at(event, at),
        };
        known == Known::Yes
    }

    fn had_result(self, times: ResultTimes) -> Known {
        match self {
            Self::Event(moment) => Known::result_by(times, moment),
            Self::Second(at) => Known::result_at(times, at),
        }
    }

    /// A dose without a bound that only a later reading gives.
    fn without_later(self, given: Given) -> Given {
        match self {
            Self::Second(_) if given.exactly().is_none() => Given { at_most: None, ..given },
            _ => given,
        }
    }

    /// Whether this moment may be at or after a second.
    fn may_follow(self, at: Offset) -> bool {
        match self {
            Self::Event(moment) => moment.bounds().is_none_or(|(_, latest)| at <= latest),
            Self::Second(second) => at <= second,
        }
    }
}

impl KnownThen {
    /// What the definitions could look at then. How it was on leaving the laboratory, and when that
    /// was, nobody knew yet.
    #[must_use]
    pub fn facts(&self, reading: &Reading, vocabulary: &Vocabulary) -> Facts {
        let mut facts = evidence::facts(&self.case, reading, vocabulary);
        facts.procedure.ended = None;
        for vessel in &mut facts.vessels {
            vessel.facts.leaving = None;
        }
        facts
    }
}

/// A harm without what was linked to it later, and without a grade that was given afterwards.
fn as_known(harm: &Complication, by_then: impl Fn(&Key) -> bool) -> Complication {
    let linked = |key: &Option<Key>| key.clone().filter(&by_then);
    Complication {
        began: linked(&harm.began),
        recognised: linked(&harm.recognised),
        responded: linked(&harm.responded),
        controlled: linked(&harm.controlled),
        dissection: None,
        perforation: None,
        worst_flow: None,
        consequence_of: None,
        ..harm.clone()
    }
}

#[cfg(test)]
mod tests;
