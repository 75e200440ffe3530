//! The subjects followed over time: what their charts and watches say at the end of the quarter.

use std::collections::{BTreeMap, BTreeSet};

use super::Inputs;
use crate::rates::{Counts, Course, Judged, Period, Subject, Watched, followed};
use crate::vocabulary::Vocabulary;

/// A subject with its months, its chart and its watch.
#[derive(Debug, Clone)]
pub(super) struct Followed {
    pub(super) course: Course,
    pub(super) judged: Judged,
    /// `None` when there is nothing to watch, or nothing to watch against.
    pub(super) watched: Option<Watched>,
}

impl Followed {
    /// Whether its chart or its watch could say anything.
    pub(super) fn is_watched(&self) -> bool {
        self.judged.chart.is_ok() || self.watched.is_some()
    }
}

/// All that are followed.
#[derive(Debug, Clone, Default)]
pub(super) struct Following {
    held: BTreeMap<Subject, Followed>,
    /// Those to be told, in the order of the tree.
    order: Vec<Subject>,
    /// Those with a month of more events than procedures, by label.
    pub(super) impossible: Vec<String>,
}

impl Following {
    /// Follows the whole, the branches and the mechanisms that had an event in the window, and those of
    /// the cases of finished actions. Everything is at hand, so this asks the database nothing.
    pub(super) fn of(vocabulary: &Vocabulary, inputs: &Inputs, window: Period) -> Self {
        let mut all = Self::default();
        let told = told(vocabulary, &inputs.rates.counts);
        let of_actions = inputs.actions.iter().flat_map(|action| &action.mechanisms).cloned();
        let wanted: BTreeSet<Subject> =
            told.iter().cloned().chain(of_actions.map(Subject::Mechanism)).chain([Subject::Whole]).collect();
        for subject in wanted {
            match follow(vocabulary, inputs, window, &subject) {
                Some(Ok(followed)) => {
                    all.held.insert(subject, followed);
                }
                Some(Err(label)) => all.impossible.push(label),
                None => {}
            }
        }
        all.order = told;
        all
    }

    /// Those to be told, in the order of the tree.
    pub(super) fn told(&self) -> impl Iterator<Item = &Followed> {
        self.order.iter().filter_map(|subject| self.held.get(subject))
    }

    pub(super) fn get(&self, subject: &Subject) -> Option<&Followed> {
        self.held.get(subject)
    }
}

/// The subjects with an event, in the order of the tree. A branch whose events are all those of one
/// mechanism would say everything twice.
fn told(vocabulary: &Vocabulary, counts: &Counts) -> Vec<Subject> {
    let mut told = Vec::new();
    if !counts.whole().is_empty() {
        told.push(Subject::Whole);
    }
    for branch in &vocabulary.mechanism_branches {
        let mechanisms: Vec<_> = vocabulary
            .mechanisms
            .iter()
            .filter(|leaf| leaf.branch == branch.slug && !counts.mechanism(&leaf.slug).is_empty())
            .collect();
        let of_branch = counts.branch(&branch.slug);
        if !of_branch.is_empty() && mechanisms.iter().all(|leaf| counts.mechanism(&leaf.slug) != of_branch) {
            told.push(Subject::Branch(branch.slug.clone()));
        }
        told.extend(mechanisms.into_iter().map(|leaf| Subject::Mechanism(leaf.slug.clone())));
    }
    told
}

/// Follows one subject; `None` when nothing is recorded up to the end of the window or the tree has no
/// such subject, its label when a month cannot be as recorded.
fn follow(
    vocabulary: &Vocabulary,
    inputs: &Inputs,
    window: Period,
    subject: &Subject,
) -> Option<Result<Followed, String>> {
    let fixed = inputs.baselines.get(subject).copied();
    let (course, judged) = match followed(vocabulary, &inputs.rates, fixed, window, subject)? {
        Ok(both) => both,
        Err(label) => return Some(Err(label)),
    };
    let months = course.counted_months();
    let watched = fixed
        .or_else(|| Watched::usual_baseline(&months))
        .and_then(|baseline| Watched::of(&months, baseline, inputs.settings.false_alarm).ok());
    Some(Ok(Followed { course, judged, watched }))
}
