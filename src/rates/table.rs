//! The rates of a period: the whole, the branches, the mechanisms.

use super::at_risk::{ALL_PCI, Denominators};
use super::counts::{ByMonth, Counts};
use super::line::{RateLine, Subject};
use super::period::Period;
use super::tally::Tally;
use crate::case::Month;
use crate::vocabulary::{Branch, Mechanism, MechanismRole, MechanismSlug, StratumSlug, Vocabulary};

/// What the rates of a period are made from.
#[derive(Debug, Clone, Default)]
pub struct Inputs {
    /// Cases by month, at least for the period and the one before.
    pub counts: Counts,
    /// Procedures at risk, for as long.
    pub denominators: Denominators,
    /// The first month that has a case at all; `None` when there is no case.
    pub recorded_since: Option<Month>,
}

/// The rates of a period, each beside that of as many months before.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RatesTable {
    /// The period.
    pub period: Period,
    /// The period before; `None` where the calendar of the record does not reach.
    pub previous: Option<Period>,
    /// The first month that has a case at all. Before it, no event may mean no record.
    pub recorded_since: Option<Month>,
    /// Cases with any complication, over all PCI.
    pub whole: RateLine,
    /// Branches with events now or before, in the order of the tree.
    pub branches: Vec<RateLine>,
    /// Mechanisms with events now or before, in the order of the tree.
    pub with_events: Vec<RateLine>,
    /// Mechanisms on offer that had none, in the order of the tree.
    pub without_events: Vec<RateLine>,
}

impl RatesTable {
    /// The rates of a period.
    ///
    /// A mechanism that only contributes to a harm is no harm that a case records, so without an
    /// event it is left out rather than shown as never having happened; so is a retired one.
    #[must_use]
    pub fn of(vocabulary: &Vocabulary, inputs: &Inputs, period: Period) -> Self {
        let lines = Lines { vocabulary, inputs, period };
        let (with_events, without_events): (Vec<_>, Vec<_>) = vocabulary
            .mechanisms
            .iter()
            .map(|leaf| (lines.mechanism(leaf), !leaf.retired && leaf.role == MechanismRole::Primary))
            .filter(|(line, on_offer)| *on_offer || line.has_events())
            .map(|(line, _)| line)
            .partition(RateLine::has_events);
        Self {
            period,
            previous: period.previous(),
            recorded_since: inputs.recorded_since,
            whole: lines.whole(),
            branches: vocabulary
                .mechanism_branches
                .iter()
                .map(|branch| lines.branch(branch))
                .filter(RateLine::has_events)
                .collect(),
            with_events,
            without_events,
        }
    }

    /// That months of this table lie before the first recorded case, in a sentence; `None` when
    /// none does.
    #[must_use]
    pub fn recorded_later(&self) -> Option<String> {
        let since = self.recorded_since?;
        let first = self.previous.unwrap_or(self.period).from();
        (first < since).then(|| {
            format!(
                "Cases are recorded from {} on. In the months before, no event may mean no record.",
                since.in_words()
            )
        })
    }

    /// The line of a mechanism; `None` when the table has none for it.
    #[must_use]
    pub fn line(&self, mechanism: &MechanismSlug) -> Option<&RateLine> {
        self.with_events
            .iter()
            .chain(&self.without_events)
            .find(|line| matches!(&line.subject, Subject::Mechanism(slug) if slug == mechanism))
    }
}

/// Makes lines from the inputs of a period.
pub(super) struct Lines<'a> {
    pub(super) vocabulary: &'a Vocabulary,
    pub(super) inputs: &'a Inputs,
    pub(super) period: Period,
}

impl Lines<'_> {
    pub(super) fn mechanism(&self, leaf: &Mechanism) -> RateLine {
        let events = self.inputs.counts.mechanism(&leaf.slug);
        let subject = Subject::Mechanism(leaf.slug.clone());
        self.line(subject, &leaf.label, &leaf.at_risk, events)
    }

    /// A branch has procedures at risk of its own only when all its mechanisms, retired ones too,
    /// share a stratum: a case counts once in the branch, whichever of them it had. Otherwise the
    /// one stratum that holds them all is all PCI.
    fn branch(&self, branch: &Branch) -> RateLine {
        let mut strata = self
            .vocabulary
            .mechanisms
            .iter()
            .filter(|leaf| leaf.branch == branch.slug)
            .map(|leaf| &leaf.at_risk);
        let first = strata.next();
        let mixed = strata.any(|stratum| Some(stratum) != first);
        let stratum = first.filter(|_| !mixed).unwrap_or(&ALL_PCI);
        let events = self.inputs.counts.branch(&branch.slug);
        let subject = Subject::Branch(branch.slug.clone());
        RateLine { mixed_strata: mixed, ..self.line(subject, &branch.label, stratum, events) }
    }

    fn whole(&self) -> RateLine {
        self.line(Subject::Whole, "Any complication", &ALL_PCI, self.inputs.counts.whole())
    }

    fn line(&self, subject: Subject, label: &str, stratum: &StratumSlug, events: &ByMonth) -> RateLine {
        let tally = |period| Tally::of(period, events, |month| self.inputs.denominators.get(stratum, month));
        let known = self.vocabulary.stratum(stratum);
        RateLine {
            subject,
            label: label.to_owned(),
            stratum: stratum.clone(),
            stratum_label: known.map_or_else(|| stratum.to_string(), |stratum| stratum.label.clone()),
            mixed_strata: false,
            now: tally(self.period),
            previous: self.period.previous().map(tally),
        }
    }
}

#[cfg(test)]
#[path = "table_tests.rs"]
mod tests;
