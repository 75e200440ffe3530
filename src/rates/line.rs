//! A line of the rates: a mechanism, a branch or the whole, now and in the period before.

use super::at_risk::ALL_PCI;
use super::period::Period;
use super::tally::{NoRate, Rate, Tally};
use super::words::{counted, whole_number};
use crate::stats::comparison::{Difference, newcombe};
use crate::stats::proportion::Level;
use crate::vocabulary::{MechanismSlug, StratumSlug, Vocabulary};

/// What a line counts.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Subject {
    /// Cases with any complication.
    Whole,
    /// Cases with a complication of this branch of the tree.
    Branch(String),
    /// Cases with a complication of this mechanism.
    Mechanism(MechanismSlug),
}

impl Subject {
    /// What a person reads for the whole.
    pub const ANY: &'static str = "Any complication";
    /// The whole.
    pub const WHOLE: &'static str = "whole";
    /// A branch.
    pub const BRANCH: &'static str = "branch";
    /// A mechanism.
    pub const MECHANISM: &'static str = "mechanism";

    /// Its kind and its slug, as the database and addresses keep them; the whole has no slug.
    #[must_use]
    pub fn key(&self) -> (&'static str, &str) {
        match self {
            Self::Whole => (Self::WHOLE, ""),
            Self::Branch(slug) => (Self::BRANCH, slug),
            Self::Mechanism(slug) => (Self::MECHANISM, slug.as_str()),
        }
    }

    /// The subject of a kind and a slug; `None` when there is no such kind, or the slug is none.
    #[must_use]
    pub fn of_key(kind: &str, slug: &str) -> Option<Self> {
        match kind {
            Self::WHOLE if slug.is_empty() => Some(Self::Whole),
            Self::BRANCH => Some(Self::Branch(slug.to_owned())),
            Self::MECHANISM => Some(Self::Mechanism(slug.parse().ok()?)),
            _ => None,
        }
    }

    /// The stratum of its procedures at risk; `None` when the tree has no such subject.
    ///
    /// A branch has procedures at risk of its own only when all its mechanisms, retired ones too,
    /// share a stratum: a case counts once in the branch, whichever of them it had. Otherwise the
    /// one stratum that holds them all is all PCI.
    #[must_use]
    pub fn stratum<'a>(&self, vocabulary: &'a Vocabulary) -> Option<&'a StratumSlug> {
        match self {
            Self::Whole => Some(&ALL_PCI),
            Self::Branch(slug) => {
                vocabulary.mechanism_branches.iter().find(|branch| branch.slug == *slug)?;
                Some(shared_stratum(vocabulary, slug).unwrap_or(&ALL_PCI))
            }
            Self::Mechanism(slug) => Some(&vocabulary.mechanism(slug)?.at_risk),
        }
    }

    /// What a person reads for it; `None` when the tree has no such subject.
    #[must_use]
    pub fn label(&self, vocabulary: &Vocabulary) -> Option<String> {
        match self {
            Self::Whole => Some(Self::ANY.to_owned()),
            Self::Branch(slug) => vocabulary
                .mechanism_branches
                .iter()
                .find(|branch| branch.slug == *slug)
                .map(|branch| branch.label.clone()),
            Self::Mechanism(slug) => Some(vocabulary.mechanism(slug)?.label.clone()),
        }
    }
}

/// The one stratum of all mechanisms of a branch.
pub(super) fn shared_stratum<'a>(vocabulary: &'a Vocabulary, branch: &str) -> Option<&'a StratumSlug> {
    let mut strata =
        vocabulary.mechanisms.iter().filter(|leaf| leaf.branch == branch).map(|leaf| &leaf.at_risk);
    let first = strata.next()?;
    strata.all(|stratum| stratum == first).then_some(first)
}

/// Why a line is counted over its stratum.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum CountedOver {
    /// It is that of the procedures in which it can happen.
    ItsOwn,
    /// A branch whose mechanisms have different strata: one holds them all.
    Mixed,
    /// A stratum was asked for, and the procedures that also belong to this one, its own, are not
    /// counted apart.
    Wider(String),
}

/// A subject's rate for a period, beside that of the period before.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RateLine {
    /// What is counted.
    pub subject: Subject,
    /// What a person reads for it.
    pub label: String,
    /// The stratum of its procedures at risk.
    pub stratum: StratumSlug,
    /// What a person reads for the stratum.
    pub stratum_label: String,
    /// Why it is counted over this stratum.
    pub counted_over: CountedOver,
    /// The period.
    pub now: Tally,
    /// As many months before it; `None` where the calendar of the record does not reach.
    pub previous: Option<Tally>,
}

impl RateLine {
    /// The rate of the period.
    #[must_use]
    pub fn rate(&self) -> Option<Rate> {
        self.now.rate().ok()
    }

    /// The rate of the period before.
    #[must_use]
    pub fn previous_rate(&self) -> Option<Rate> {
        self.previous.as_ref()?.rate().ok()
    }

    /// The rate now minus the rate before, as proportions, with Newcombe's interval at 95 %.
    #[must_use]
    pub fn difference(&self) -> Option<Difference> {
        let (now, before) = (self.rate()?, self.previous_rate()?);
        Some(newcombe(now.count(), before.count(), Level::NINETY_FIVE))
    }

    /// Whether there was an event in either period, counted or not.
    #[must_use]
    pub fn has_events(&self) -> bool {
        let before = self.previous.as_ref().map_or(0, Tally::events_in_all);
        self.now.events_in_all() + before > 0
    }

    /// Why there is no rate for the period, in a sentence; `None` when there is one.
    #[must_use]
    pub fn no_rate(&self) -> Option<String> {
        self.why_not(&self.now)
    }

    /// Why there is no rate for the period before, in a sentence; `None` when there is one, or no
    /// period before.
    #[must_use]
    pub fn no_previous_rate(&self) -> Option<String> {
        self.why_not(self.previous.as_ref()?)
    }

    fn why_not(&self, tally: &Tally) -> Option<String> {
        let (stratum, period) = (&self.stratum_label, tally.period);
        Some(match tally.rate().err()? {
            NoRate::NotCounted => {
                format!("No procedures at risk recorded for {stratum}, {period}.")
            }
            NoRate::NoProcedures => {
                format!("No procedure was at risk: {stratum} counts 0, {period}.")
            }
            impossible @ NoRate::MoreEventsThanProcedures(_) => format!(
                "{stratum}: {impossible}. One of the two numbers is wrong; put it right to see the rate."
            ),
            NoRate::TooManyProcedures => format!(
                "{stratum} counts {} procedures in {period}, more than can be worked with here.",
                whole_number(tally.procedures())
            ),
        })
    }

    /// What has to be known to read the line: months left out, and what a branch is counted over.
    #[must_use]
    pub fn notes(&self) -> Vec<String> {
        let mut notes = Vec::new();
        match &self.counted_over {
            CountedOver::ItsOwn => {}
            CountedOver::Mixed => notes.push(format!(
                "Counted over {}, because its mechanisms have different procedures at risk.",
                self.stratum_label
            )),
            CountedOver::Wider(own) => notes.push(format!(
                "Counted over {}: how many of them were also {own} is not counted.",
                self.stratum_label
            )),
        }
        notes.extend(self.left_out(&self.now));
        notes.extend(self.previous.as_ref().and_then(|before| self.left_out(before)));
        notes
    }

    fn left_out(&self, tally: &Tally) -> Option<String> {
        let months = tally.not_counted_in_words()?;
        let events = match tally.events_not_counted() {
            0 => String::new(),
            1 => "; 1 event is left out".to_owned(),
            events => format!("; {} are left out", counted(events, "event")),
        };
        Some(format!("{} was not counted in {months}{events}.", self.stratum_label))
    }

    /// The line as a sentence, for a document.
    #[must_use]
    pub fn sentence(&self) -> String {
        let (label, stratum, period) = (&self.label, &self.stratum_label, self.now.period);
        match (self.rate(), self.no_rate()) {
            (Some(rate), _) if rate.events() == 0 => format!(
                "{label}: no event in {} ({stratum}, {period}); {} per 1,000 (exact, 97.5 % point).",
                counted(rate.procedures(), "procedure"),
                rate.interval_in_words(),
            ),
            (Some(rate), _) => format!(
                "{label}: {} per 1,000 ({}, {stratum}, {period}; 95 % interval {}, Wilson).",
                rate.per_1000_in_words(),
                rate.counts_in_words(),
                rate.interval_in_words(),
            ),
            (None, why) => format!("{label}: no rate. {}", why.unwrap_or_default()),
        }
    }

    /// The period of the line.
    #[must_use]
    pub const fn period(&self) -> Period {
        self.now.period
    }
}

#[cfg(test)]
#[path = "line_tests.rs"]
mod tests;
