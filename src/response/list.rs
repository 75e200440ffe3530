//! What a list of prompts is.

use super::slug::Slug;
use crate::quantity::{TimiFlow, words};

words!(
    /// The answer to a question.
    Answer, "an answer", {
        Yes = "yes", "Yes";
        No = "no", "No";
    }
);

words!(
    /// Where an event has to lie to fit a sign, seen from the vessel of the complication.
    Place, "a place", {
        Any = "any", "anywhere";
        SameVessel = "same-vessel", "in the same vessel";
        SameTree = "same-tree", "in the same vessel, upstream or downstream of it";
        OtherInTree = "other-in-tree", "upstream or downstream of the vessel, not in it";
    }
);

words!(
    /// From when on an event can fit a sign.
    Since, "a beginning", {
        /// The event that the complication began with counts too.
        AtOnset = "at-onset", "from the event that it began with";
        /// The usual: what a complication began with is no response to it.
        AfterOnset = "after-onset", "after it began";
        /// The event that it was recognised by counts too.
        AtRecognition = "at-recognition", "from the event that it was recognised by";
        /// For what happens in any procedure, such as a balloon: it is a response only when the
        /// complication had been recognised.
        AfterRecognition = "after-recognition", "after it was recognised";
    }
);

/// A list of prompts for one complication.
///
/// Made by [`PromptList::parse`] alone, so that what it points to is there: conditions meet questions,
/// orders meet steps, and no two steps wait for each other.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PromptList {
    pub(super) slug: Slug,
    pub(super) title: String,
    pub(super) source: String,
    pub(super) mechanisms: Vec<Slug>,
    pub(super) questions: Vec<Question>,
    pub(super) steps: Vec<Step>,
}

impl PromptList {
    /// The lasting name of the list.
    #[must_use]
    pub const fn slug(&self) -> &Slug {
        &self.slug
    }

    /// The complication that the list answers to.
    #[must_use]
    pub fn title(&self) -> &str {
        &self.title
    }

    /// Where the list comes from, and how far that can be relied on.
    #[must_use]
    pub fn source(&self) -> &str {
        &self.source
    }

    /// The mechanisms that the list is for, at least one.
    #[must_use]
    pub fn mechanisms(&self) -> &[Slug] {
        &self.mechanisms
    }

    /// The questions that decide between branches; a question stands after the one that leads to it.
    #[must_use]
    pub fn questions(&self) -> &[Question] {
        &self.questions
    }

    /// The steps in their usual order, at least one.
    #[must_use]
    pub fn steps(&self) -> &[Step] {
        &self.steps
    }

    /// Whether the list is for a mechanism.
    #[must_use]
    pub fn is_for(&self, mechanism: &str) -> bool {
        self.mechanisms.iter().any(|own| own == mechanism)
    }

    pub(super) fn question(&self, slug: &Slug) -> Option<&Question> {
        self.questions.iter().find(|question| question.slug == *slug)
    }

    pub(super) fn step_index(&self, slug: &Slug) -> Option<usize> {
        self.steps.iter().position(|step| step.slug == *slug)
    }
}

/// A step: something that somebody in the room could see being done.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Step {
    /// Its lasting name, unlike that of every other step and question of the list.
    pub slug: Slug,
    /// The observable event.
    pub text: String,
    /// Why it is done.
    pub why: String,
    /// Where the step comes from, when the list's source is not all that can be said.
    pub source: Option<String>,
    /// The branch that it belongs to; none when it always applies.
    pub only_if: Option<Condition>,
    /// The step that it should come before.
    pub before: Option<Slug>,
    /// Whether it also counts when it was done before the complication began.
    pub may_precede: bool,
    /// What shows that it was done: an event that fits one of them.
    pub signs: Vec<Sign>,
    /// What may show it: an event that fits one of them is offered, and a person confirms it.
    pub suggests: Vec<Sign>,
    /// Words that may show it: an event whose text holds one of them is offered, and a person confirms
    /// it. Whole words, capitals or not; with `*` at the end, any ending.
    pub hints: Vec<String>,
}

/// The answer that a step or a question hangs on.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Condition {
    /// The question.
    pub question: Slug,
    /// The answer to it.
    pub answer: Answer,
}

/// A question that decides between branches. A person answers it; else the mechanism of the
/// complication and the events may, when they do not contradict each other.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Question {
    /// Its lasting name, unlike that of every other step and question of the list.
    pub slug: Slug,
    /// The question in words, to be answered by yes or no.
    pub asks: String,
    /// The answer to an earlier question that leads to this one; none when it is always asked.
    pub only_if: Option<Condition>,
    /// Mechanisms that say yes by what they are.
    pub yes_mechanisms: Vec<Slug>,
    /// Mechanisms that say no by what they are.
    pub no_mechanisms: Vec<Slug>,
    /// Events that say yes.
    pub yes_signs: Vec<Sign>,
    /// Events that say no.
    pub no_signs: Vec<Sign>,
}

/// What an event has to be: everything that is given here has to fit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sign {
    /// Its kind is one of these; at least one.
    pub kinds: Vec<Slug>,
    /// Its device is one of these; any device and none when this is empty.
    pub devices: Vec<Slug>,
    /// It lies here.
    pub place: Place,
    /// It says a TIMI flow grade, and at least this one.
    pub flow_at_least: Option<TimiFlow>,
    /// It comes after flow was lost (TIMI 0 or 1) in the same place, at or after the onset.
    pub after_lost_flow: bool,
    /// It comes from here on.
    pub from: Since,
    /// It comes after this step was done.
    pub after_step: Option<Slug>,
}
