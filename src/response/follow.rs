//! The events of a case laid beside a list.

use super::branch::{Branch, branch};
use super::list::{PromptList, Step};
use super::matching::Matches;
use super::slug::Slug;
use crate::quantity::TimiFlow;

/// The complication that is followed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Course<'a> {
    /// The slug of its mechanism.
    pub mechanism: &'a str,
    /// The place of the event that it began with.
    ///
    /// When that is not known, only what comes after its recognition counts, and when neither is
    /// known, only what may come before the onset does: a balloon is a response only when it comes
    /// after the harm. All else is offered as "perhaps". What is done then has no time from the onset.
    pub onset: Option<usize>,
    /// The place of the event by which it was recognised.
    pub recognised: Option<usize>,
}

/// Where an event lies, seen from the vessel of the complication.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Near {
    /// In the same vessel.
    Same,
    /// In a vessel that it branches from, or that branches from it, directly or through another.
    SameTree,
    /// In another vessel.
    Elsewhere,
    /// The event or the complication names no vessel.
    NotSaid,
}

/// An event of the case.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Occurrence<'a> {
    /// Its place in the order of the case. Each event has its own.
    pub place: usize,
    /// The slug of its kind.
    pub kind: &'a str,
    /// The slug of its device class.
    pub device: Option<&'a str>,
    /// Where it lies.
    pub near: Near,
    /// The flow after it.
    pub flow: Option<TimiFlow>,
    /// Its text.
    pub text: &'a str,
}

/// What a person set for a step or a question. Of several for one slug the last holds; one whose slug
/// is not in the list, or that does not suit it, says nothing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Said {
    /// The step or the question.
    pub slug: String,
    /// What was set.
    pub set: Set,
}

/// What a person can set.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Set {
    /// A step was done by the event at this place. The caller leaves out what points to no event.
    DoneAt(usize),
    /// A step does not apply, because of this.
    DoesNotApply(String),
    /// No event shows the step, whatever seems to match.
    NotRecorded,
    /// A question is answered by yes.
    Yes,
    /// A question is answered by no.
    No,
}

/// What is known of a step.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum StepState {
    /// Done by the event at this place.
    Done {
        /// The first event that shows it.
        at: usize,
    },
    /// Done before the complication began.
    DoneBefore {
        /// The last event before it that shows the step.
        at: usize,
    },
    /// No event shows it.
    NotRecorded {
        /// Events that may show it, in their order; a person confirms one.
        perhaps: Vec<usize>,
    },
    /// A person said that it does not apply.
    DoesNotApply {
        /// The reason, as the person wrote it.
        because: String,
    },
    /// The case took another branch.
    OtherBranch {
        /// The question that decided it.
        question: Slug,
        /// The answer that the case gives to it.
        answer: super::Answer,
    },
    /// The branch is not decided: the step applies if the question is answered its way.
    Waits {
        /// The first question that is open.
        question: Slug,
    },
}

impl StepState {
    /// The place of the event that shows the step.
    #[must_use]
    pub const fn place(&self) -> Option<usize> {
        match self {
            Self::Done { at } | Self::DoneBefore { at } => Some(*at),
            _ => None,
        }
    }
}

/// A step and what is known of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StepResult<'l> {
    /// The step.
    pub step: &'l Step,
    /// What is known of it.
    pub state: StepState,
    /// The step that it should have come before, when it came after that one.
    pub late_for: Option<&'l Slug>,
    /// Whether a person set the state.
    pub set_by_person: bool,
}

/// Tells of every step of a list, in its order, what the events show.
///
/// What a person set wins. Next comes the branch: a step of the other branch is told as such, and one
/// whose branch is open waits, whatever the events show. Then the first event at or after the onset
/// that fits a sign makes it done; an event before the onset does so only where the step allows it. Whether
/// the onset itself can fit is the sign's own matter ([`super::Since`]).
///
/// The order in which the events are given changes nothing; their places do. An event that is added
/// can make a step done, and can contradict the answer to a question, but never makes a step that was
/// done unrecorded.
#[must_use]
pub fn follow<'l>(
    list: &'l PromptList,
    course: Course,
    events: &[Occurrence],
    said: &[Said],
) -> Vec<StepResult<'l>> {
    let matches = Matches::of(list, course, events, said);
    let mut results: Vec<StepResult> = list
        .steps
        .iter()
        .map(|step| {
            let set = by_person(step, course, said);
            let set_by_person = set.is_some();
            let state = set.unwrap_or_else(|| by_record(list, step, &matches, said));
            StepResult { step, state, late_for: None, set_by_person }
        })
        .collect();
    let places: Vec<Option<usize>> = results.iter().map(|result| result.state.place()).collect();
    for (result, own) in results.iter_mut().zip(&places) {
        result.late_for = result.step.before.as_ref().filter(|next| {
            let next = list.step_index(next).and_then(|index| places[index]);
            next.zip(*own).is_some_and(|(next, own)| next < own)
        });
    }
    results
}

/// What a person set for a slug, the last when there are several.
pub(super) fn set_for<'s>(said: &'s [Said], slug: &Slug, suits: fn(&Set) -> bool) -> Option<&'s Set> {
    said.iter()
        .rev()
        .map(|said| (said, &said.set))
        .find(|(s, set)| *slug == *s.slug && suits(set))
        .map(|(_, s)| s)
}

/// What a person set for a step.
pub(super) fn set_for_step<'s>(said: &'s [Said], step: &Step) -> Option<&'s Set> {
    set_for(said, &step.slug, |set| !matches!(set, Set::Yes | Set::No))
}

fn by_person(step: &Step, course: Course, said: &[Said]) -> Option<StepState> {
    match set_for_step(said, step)? {
        Set::DoneAt(at) if course.onset.is_some_and(|onset| *at < onset) => {
            Some(StepState::DoneBefore { at: *at })
        }
        Set::DoneAt(at) => Some(StepState::Done { at: *at }),
        Set::DoesNotApply(because) => Some(StepState::DoesNotApply { because: because.clone() }),
        Set::NotRecorded => Some(StepState::NotRecorded { perhaps: Vec::new() }),
        Set::Yes | Set::No => None,
    }
}

fn by_record(list: &PromptList, step: &Step, matches: &Matches, said: &[Said]) -> StepState {
    match branch(list, step.only_if.as_ref(), matches, said) {
        Branch::Other { question, answer } => StepState::OtherBranch { question: question.clone(), answer },
        Branch::Open { question } => StepState::Waits { question: question.clone() },
        Branch::Applies => match matches.done(step) {
            Some(state) => state,
            None => StepState::NotRecorded { perhaps: matches.perhaps(step) },
        },
    }
}
