//! The rates of a period: the whole, the branches, the mechanisms.

use super::at_risk::{ALL_PCI, Denominators};
use super::counts::Counts;
use super::line::{CountedOver, RateLine, Subject, shared_stratum};
use super::period::Period;
use super::tally::Tally;
use super::words::whole_number;
use crate::case::Month;
use crate::case::traits::Trait;
use crate::vocabulary::{Mechanism, MechanismRole, MechanismSlug, Stratum, StratumSlug, Vocabulary};

/// What the rates of a period are made from.
#[derive(Debug, Clone, Default)]
pub struct Inputs {
    /// Cases by month, at least for the period and the one before.
    pub counts: Counts,
    /// Procedures at risk, for as long.
    pub denominators: Denominators,
    /// The first month that has a case at all; `None` when there is no case.
    pub recorded_since: Option<Month>,
    /// The stratum that the counts are limited to; `None` for all procedures.
    pub within: Option<Within>,
}

/// A stratum that rates are limited to: its cases over its procedures.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Within {
    /// The stratum.
    pub stratum: StratumSlug,
    /// What a person reads for it.
    pub label: String,
    /// The feature by which a case belongs to it.
    pub feature: Trait,
    /// Cases of the period that do not say whether they belong to it, and are left out.
    pub unclassified: u64,
}

impl Within {
    /// A stratum whose cases can be told; `None` for all PCI, which leaves nothing out, and for a
    /// stratum that no case speaks of.
    #[must_use]
    pub fn of(stratum: &Stratum) -> Option<Self> {
        let feature = Trait::of_stratum(stratum.slug.as_str())?;
        Some(Self { stratum: stratum.slug.clone(), label: stratum.label.clone(), feature, unclassified: 0 })
    }

    /// That cases are left out because they do not say, in a sentence; `None` when none is.
    #[must_use]
    pub fn left_out(&self) -> Option<String> {
        let (cases, verb) = match self.unclassified {
            0 => return None,
            1 => ("1 case".to_owned(), "does"),
            many => (format!("{} cases", whole_number(many)), "do"),
        };
        Some(format!(
            "{cases} of the period {verb} not say whether the procedure was {}; left out here, counted among all.",
            self.label
        ))
    }
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
    /// The stratum that the rates are limited to; `None` for all procedures.
    pub within: Option<Within>,
    /// Cases with any complication, over all PCI or the stratum.
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
            .filter_map(|leaf| {
                Some((lines.mechanism(leaf)?, !leaf.retired && leaf.role == MechanismRole::Primary))
            })
            .filter(|(line, on_offer)| *on_offer || line.has_events())
            .map(|(line, _)| line)
            .partition(RateLine::has_events);
        Self {
            period,
            previous: period.previous(),
            recorded_since: inputs.recorded_since,
            within: inputs.within.clone(),
            whole: lines.whole(),
            branches: vocabulary
                .mechanism_branches
                .iter()
                .filter_map(|branch| lines.subject(&Subject::Branch(branch.slug.clone())))
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
    /// The line of a subject; `None` when the tree has no such subject.
    pub(super) fn subject(&self, subject: &Subject) -> Option<RateLine> {
        let own = subject.stratum(self.vocabulary)?;
        let label = subject.label(self.vocabulary)?;
        let mixed = match subject {
            Subject::Branch(slug) => shared_stratum(self.vocabulary, slug).is_none(),
            _ => false,
        };
        Some(self.line(subject, label, own, mixed))
    }

    fn whole(&self) -> RateLine {
        self.line(&Subject::Whole, Subject::ANY.to_owned(), &ALL_PCI, false)
    }

    fn line(&self, subject: &Subject, label: String, own: &StratumSlug, mixed: bool) -> RateLine {
        let (stratum, counted_over) = match &self.inputs.within {
            None => (own, if mixed { CountedOver::Mixed } else { CountedOver::ItsOwn }),
            Some(within) if *own == *ALL_PCI || *own == within.stratum => {
                (&within.stratum, CountedOver::ItsOwn)
            }
            Some(within) => (&within.stratum, CountedOver::Wider(self.vocabulary.stratum_label(own))),
        };
        let events = self.inputs.counts.subject(subject);
        let at_risk = self.inputs.denominators.months(stratum);
        let tally = |period| Tally::of(period, events, |month| at_risk?.get(&month).copied());
        RateLine {
            subject: subject.clone(),
            label,
            stratum: stratum.clone(),
            stratum_label: self.vocabulary.stratum_label(stratum),
            counted_over,
            now: tally(self.period),
            previous: self.period.previous().map(tally),
        }
    }

    fn mechanism(&self, leaf: &Mechanism) -> Option<RateLine> {
        self.subject(&Subject::Mechanism(leaf.slug.clone()))
    }
}

#[cfg(test)]
#[path = "table_tests.rs"]
mod tests;
