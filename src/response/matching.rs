//! Whether an event fits a sign, and which events show a step.

use super::follow::{Course, Near, Occurrence, Said, Set, StepState, set_for_step};
use super::list::{Place, PromptList, Sign, Since, Step};
use crate::quantity::TimiFlow;

/// How well an event fits a sign: the least that one of its parts fits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Fit {
    /// It does not.
    No,
    /// It may, if what is not recorded were so.
    Suggests,
    /// It does.
    Counts,
}

/// The events of a case against the signs of a list.
pub(super) struct Matches<'a> {
    list: &'a PromptList,
    course: Course<'a>,
    events: &'a [Occurrence<'a>],
    /// The texts of the events in small letters.
    texts: Vec<String>,
    /// For every step the earliest place at which it may be called done, for what has to come after it.
    first: Vec<Option<usize>>,
}

impl<'a> Matches<'a> {
    pub(super) fn of(
        list: &'a PromptList,
        course: Course<'a>,
        events: &'a [Occurrence<'a>],
        said: &[Said],
    ) -> Self {
        let texts = events.iter().map(|event| event.text.to_lowercase()).collect();
        let mut matches = Self { list, course, events, texts, first: vec![None; list.steps.len()] };
        matches.find_first(said);
        matches
    }

    /// The mechanism of the complication.
    pub(super) const fn mechanism(&self) -> &'a str {
        self.course.mechanism
    }

    /// Finds the earliest places. An earlier place of one step can only let another be earlier, so
    /// going round until nothing changes ends, after at most as many rounds as there are steps.
    fn find_first(&mut self, said: &[Said]) {
        let set: Vec<Option<&Set>> = self.list.steps.iter().map(|step| set_for_step(said, step)).collect();
        for _ in 0..=self.list.steps.len() {
            let found: Vec<Option<usize>> = self
                .list
                .steps
                .iter()
                .zip(&set)
                .map(|(step, set)| match set {
                    Some(Set::DoneAt(at)) => Some(*at),
                    Some(_) => None,
                    None => self.counting(&step.signs, step.may_precede).min(),
                })
                .collect();
            if found == self.first {
                break;
            }
            self.first = found;
        }
    }

    /// The places of the events that fit one of the signs.
    fn counting(&self, signs: &[Sign], may_precede: bool) -> impl Iterator<Item = usize> {
        self.events
            .iter()
            .filter(move |event| signs.iter().any(|sign| self.fit(sign, may_precede, event) == Fit::Counts))
            .map(|event| event.place)
    }

    /// The first event that fits one of the signs of a question.
    pub(super) fn settling(&self, signs: &[Sign]) -> Option<usize> {
        self.counting(signs, false).min()
    }

    /// What the events show of a step; nothing when none fits.
    pub(super) fn done(&self, step: &Step) -> Option<StepState> {
        let onset = self.course.onset.unwrap_or(0);
        let places = || self.counting(&step.signs, step.may_precede);
        let after = places().filter(|place| *place >= onset).min().map(|at| StepState::Done { at });
        after.or_else(|| places().max().map(|at| StepState::DoneBefore { at }))
    }

    /// The places of the events that may show a step, in their order.
    pub(super) fn perhaps(&self, step: &Step) -> Vec<usize> {
        let hints: Vec<String> = step.hints.iter().map(|hint| hint.to_lowercase()).collect();
        let may = |event: &Occurrence, text: &str| {
            let signs = || step.signs.iter().chain(&step.suggests);
            signs().any(|sign| self.fit(sign, step.may_precede, event) >= Fit::Suggests)
                || (self.is_in_time(event.place, step) && hints.iter().any(|hint| holds(text, hint)))
        };
        let mut places: Vec<usize> = self
            .events
            .iter()
            .zip(&self.texts)
            .filter(|(event, text)| may(event, text))
            .map(|(event, _)| event.place)
            .collect();
        places.sort_unstable();
        places.dedup();
        places
    }

    /// Whether a word in an event of this place can hint at a step.
    fn is_in_time(&self, place: usize, step: &Step) -> bool {
        step.may_precede || self.course.onset.is_none_or(|onset| place >= onset)
    }

    fn fit(&self, sign: &Sign, may_precede: bool, event: &Occurrence) -> Fit {
        let kind = sign.kinds.iter().any(|kind| kind == event.kind);
        let device = sign.devices.is_empty()
            || event.device.is_some_and(|device| sign.devices.iter().any(|own| own == device));
        let flow = sign.flow_at_least.is_none_or(|least| event.flow.is_some_and(|flow| flow >= least));
        if !(kind && device && flow) {
            return Fit::No;
        }
        let place = fit_of_place(sign.place, event.near);
        place
            .min(self.fit_of_time(sign.from, may_precede, event.place))
            .min(self.fit_of_order(sign, event))
            .min(self.fit_of_loss(sign, event))
    }

    fn fit_of_time(&self, from: Since, may_precede: bool, place: usize) -> Fit {
        let known = |fits: bool| if fits { Fit::Counts } else { Fit::No };
        let Course { onset, recognised, .. } = self.course;
        if may_precede {
            return Fit::Counts;
        }
        let (start, with_it) = match from {
            Since::AtOnset => (onset, true),
            Since::AfterOnset => (onset, false),
            Since::AtRecognition => (recognised, true),
            Since::AfterRecognition => (recognised, false),
        };
        let since = |start: usize| place > start || (with_it && place == start);
        // Whatever a sign says, nothing before the onset is a response; and the onset itself only where
        // the sign begins with it.
        let too_early = onset.is_some_and(|onset| place < onset || (place == onset && start != onset.into()));
        match (start, recognised) {
            _ if too_early => Fit::No,
            (Some(start), _) => known(since(start)),
            // Without an onset, what comes after the recognition comes after the onset too.
            (None, Some(recognised)) if since(recognised) => Fit::Counts,
            (None, _) => Fit::Suggests,
        }
    }

    /// Whether flow had been lost before an event, since the onset and where the sign looks.
    fn fit_of_loss(&self, sign: &Sign, event: &Occurrence) -> Fit {
        let lost = |earlier: &Occurrence| {
            earlier.place < event.place
                && self.course.onset.is_none_or(|onset| earlier.place >= onset)
                && earlier.flow.is_some_and(TimiFlow::is_lost)
                && fit_of_place(sign.place, earlier.near) == Fit::Counts
        };
        if !sign.after_lost_flow || self.events.iter().any(lost) { Fit::Counts } else { Fit::Suggests }
    }

    fn fit_of_order(&self, sign: &Sign, event: &Occurrence) -> Fit {
        let Some(step) = &sign.after_step else {
            return Fit::Counts;
        };
        match self.list.step_index(step).and_then(|index| self.first[index]) {
            Some(done) if event.place > done => Fit::Counts,
            Some(_) => Fit::No,
            None => Fit::Suggests,
        }
    }
}

const fn fit_of_place(wanted: Place, near: Near) -> Fit {
    match (wanted, near) {
        (Place::Any, _)
        | (Place::SameVessel | Place::SameTree, Near::Same)
        | (Place::SameTree | Place::OtherInTree, Near::SameTree) => Fit::Counts,
        (_, Near::NotSaid) => Fit::Suggests,
        _ => Fit::No,
    }
}

/// Whether a text holds a hint as a whole word, or with `*` at its end as the beginning of one. Both
/// are in small letters.
fn holds(text: &str, hint: &str) -> bool {
    let (word, any_ending) = hint.strip_suffix('*').map_or((hint, false), |word| (word, true));
    !word.is_empty()
        && text.match_indices(word).any(|(at, _)| {
            let outside = |c: Option<char>| c.is_none_or(|c| !c.is_alphanumeric());
            let before = text.get(..at).and_then(|before| before.chars().next_back());
            let after = text.get(at + word.len()..).and_then(|after| after.chars().next());
            outside(before) && (any_ending || outside(after))
        })
}
