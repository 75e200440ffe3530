//! What reviewers think of a case and of its decisions: each their own first, closed to all who have
//! not given theirs, and never one number shown as a fact.
//!
//! The reliability of a single review of preventability is about 0.2 to 0.3; at 0.25 twelve reviews are
//! needed for 0.8 (BMJ Qual Saf 2017;26:408). So every judgement is kept, and none is averaged away.

pub mod agreement;
pub mod store;

use crate::case::{Line, Sentences};
use crate::quantity::words;

words!(
    /// How avoidable the harm was, knowing what was known: six ordered steps. Our words after the usual
    /// six-point scale (common practice; from memory).
    Avoidability, "a step of avoidability", {
        DefinitelyNot = "definitely-not", "Definitely not avoidable";
        Slight = "slight-evidence", "Slight evidence that it was";
        Possibly = "possibly", "Possibly, less than even";
        Probably = "probably", "Probably, more than even";
        Strong = "strong-evidence", "Strong evidence that it was";
        Definitely = "definitely", "Definitely avoidable";
    }
);

words!(
    /// How the care went, as a process and knowing what was known: three ordered steps. Never about a
    /// person.
    Care, "a step of care", {
        AsMost = "as-most", "As most peers would";
        SomeDifferently = "some-differently", "Some peers would act differently";
        MostDifferently = "most-differently", "Most peers would act differently";
    }
);

words!(
    /// When a judgement was given.
    Round, "a round of judgements", {
        Own = "own", "Before any other was seen";
        After = "after", "After the discussion";
    }
);

/// An ordered scale of judgement.
pub trait Step: Copy + Eq + 'static {
    /// Its steps in their order.
    fn steps() -> &'static [Self];

    /// The step as a person reads it.
    fn words(self) -> &'static str;

    /// The place of a step in the order, from 1.
    fn rank(self) -> usize {
        Self::steps().iter().position(|step| *step == self).map_or(0, |index| index + 1)
    }

    /// The step of a place in the order, from 1.
    fn of_rank(rank: i64) -> Option<Self> {
        usize::try_from(rank).ok()?.checked_sub(1).and_then(|index| Self::steps().get(index)).copied()
    }
}

impl Step for Avoidability {
    fn steps() -> &'static [Self] {
        Self::ALL
    }
    fn words(self) -> &'static str {
        self.label()
    }
}

impl Step for Care {
    fn steps() -> &'static [Self] {
        Self::ALL
    }
    fn words(self) -> &'static str {
        self.label()
    }
}

/// What a reviewer thinks of a case.
#[derive(Debug, Clone, PartialEq)]
pub struct Judgement {
    /// How avoidable the harm was.
    pub avoidability: Avoidability,
    /// How the care went.
    pub care: Care,
    /// Why, in a sentence or two.
    pub remark: Option<Sentences>,
}

/// What an account may see of the judgements of a case.
#[derive(Debug, Clone, PartialEq)]
pub enum Seen {
    /// It has not given its own: nothing but how many others did.
    Closed {
        /// Reviewers who have given theirs.
        given: usize,
    },
    /// It has given its own.
    Open(Opened),
}

/// The judgements of a case, opened to somebody who has given their own.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Opened {
    /// Each reviewer's own, and the one after the discussion where there is one; the viewer's first.
    pub reviewers: Vec<Reviewer>,
}

impl Opened {
    /// The judgements of a round, in the order of the reviewers.
    pub fn of(&self, round: Round) -> impl Iterator<Item = &Judgement> + Clone {
        self.reviewers.iter().filter_map(move |reviewer| match round {
            Round::Own => Some(&reviewer.own),
            Round::After => reviewer.after.as_ref(),
        })
    }
}

/// A reviewer without a name.
#[derive(Debug, Clone, PartialEq)]
pub struct Reviewer {
    /// Whether it is the viewer.
    pub mine: bool,
    /// What they gave before they saw any other.
    pub own: Judgement,
    /// What they gave after the discussion.
    pub after: Option<Judgement>,
}

/// What a reviewer would have chosen at a decision, and why.
#[derive(Debug, Clone, PartialEq)]
pub struct OptionJudgement {
    /// The option, in the words that it had.
    pub option: Line,
    /// Why, in a sentence or two.
    pub reason: Option<Sentences>,
    /// Whether it is the viewer's.
    pub mine: bool,
}

/// How many of the judgements stand on each step of a scale, in its order.
#[must_use]
pub fn counts<S: Step>(steps: impl Iterator<Item = S>) -> Vec<usize> {
    let mut counts = vec![0; S::steps().len()];
    for step in steps {
        if let Some(count) = counts.get_mut(step.rank() - 1) {
            *count += 1;
        }
    }
    counts
}

/// The middle of an odd number of judgements, or the two in the middle of an even number; none of none.
#[must_use]
pub fn middle<S: Step>(counts: &[usize]) -> Option<(S, S)> {
    let total: usize = counts.iter().sum();
    let at = |place: usize| {
        let mut so_far = 0;
        let index = counts.iter().position(|count| {
            so_far += count;
            so_far > place
        })?;
        S::steps().get(index).copied()
    };
    at(total.checked_sub(1)? / 2).zip(at(total / 2))
}

/// The lowest and the highest step that somebody gave; none of none.
#[must_use]
pub fn spread<S: Step>(counts: &[usize]) -> Option<(S, S)> {
    let used = |count: &usize| *count > 0;
    let first = counts.iter().position(used)?;
    let last = counts.iter().rposition(used)?;
    S::steps().get(first).copied().zip(S::steps().get(last).copied())
}

/// Whether judgements are so far apart that the room should hear why: three steps of avoidability, or
/// two of care. Our own convention.
#[must_use]
pub fn disagree<'j>(judgements: impl Iterator<Item = &'j Judgement> + Clone) -> bool {
    let apart = |ranks: &mut dyn Iterator<Item = usize>, limit: usize| {
        let ranks: Vec<usize> = ranks.collect();
        ranks.iter().max().zip(ranks.iter().min()).is_some_and(|(most, least)| most - least >= limit)
    };
    apart(&mut judgements.clone().map(|given| given.avoidability.rank()), 3)
        || apart(&mut judgements.map(|given| given.care.rank()), 2)
}

#[cfg(test)]
mod tests;
