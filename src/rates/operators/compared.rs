//! Which operators can be set beside each other, and what is left out.

use super::Pseudonym;
use crate::case::Month;
use crate::rates::counts::ByMonth;
use crate::rates::period::{Period, months_in_words};
use crate::rates::settings::FewestByOperator;
use crate::rates::tally::{NoRate, Tally};
use crate::rates::words::counted;
use crate::stats::proportion::Count;

/// An operator's months.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OperatorTally {
    /// What stands for the person.
    pub pseudonym: Pseudonym,
    /// Cases of a subject and procedures, month by month.
    pub tally: Tally,
}

impl OperatorTally {
    /// The months of a period; a month that is absent from `procedures` was not counted.
    #[must_use]
    pub fn of(pseudonym: Pseudonym, period: Period, events: &ByMonth, procedures: &ByMonth) -> Self {
        Self { pseudonym, tally: Tally::of(period, events, |month| procedures.get(&month).copied()) }
    }

    /// Months with events whose procedures were not counted.
    fn gaps(&self) -> Vec<Month> {
        let months = self.tally.months.iter();
        months
            .filter(|month| month.procedures.is_none() && month.events > 0)
            .map(|month| month.month)
            .collect()
    }
}

/// An operator's events among procedures.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OperatorCount {
    /// What stands for the person.
    pub pseudonym: Pseudonym,
    /// Events among procedures.
    pub count: Count,
}

/// The operators of a period: who can be shown, how many cannot, and what was left out.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Compared {
    /// From how many procedures on anything is shown.
    pub fewest: FewestByOperator,
    /// Who has so many, in the order of the pseudonyms.
    pub shown: Vec<OperatorCount>,
    /// How many have fewer. Nothing else of them leaves here, and they are in no total: a total
    /// would give the numbers of a single one back.
    pub hidden: usize,
    /// What is left out and what cannot be as recorded, in sentences.
    pub notes: Vec<String>,
}

impl Compared {
    /// Sets operators beside each other. One without a case or a procedure is not counted at all.
    #[must_use]
    pub fn of(mut tallies: Vec<OperatorTally>, fewest: FewestByOperator) -> Self {
        tallies.retain(|one| one.tally.events_in_all() > 0 || one.tally.procedures() > 0);
        tallies.sort_by(|one, other| one.pseudonym.cmp(&other.pseudonym));
        let (enough, few): (Vec<_>, Vec<_>) =
            tallies.into_iter().partition(|one| one.tally.procedures() >= u64::from(fewest.get()));
        let mut compared = Self { fewest, shown: Vec::new(), hidden: few.len(), notes: Vec::new() };
        for one in enough {
            compared.show(one);
        }
        compared.note_hidden(&few);
        compared
    }

    fn show(&mut self, one: OperatorTally) {
        let name = &one.pseudonym;
        match one.tally.rate() {
            Ok(rate) => {
                let gaps = one.gaps();
                if !gaps.is_empty() {
                    let events = counted(one.tally.events_not_counted(), "event");
                    self.notes.push(format!(
                        "{name}: no procedures were counted in {}, with {events}: left out, and no zero.",
                        months_in_words(&gaps)
                    ));
                }
                self.shown.push(OperatorCount { pseudonym: one.pseudonym, count: rate.count() });
            }
            Err(why) => self.notes.push(format!(
                "{name} is left out: {why}. Put the numbers right to see this operator among the others."
            )),
        }
    }

    /// What has to be put right for those who are not shown: the place, never who.
    fn note_hidden(&mut self, few: &[OperatorTally]) {
        let mut impossible: Vec<Month> = few
            .iter()
            .filter_map(|one| match one.tally.rate() {
                Err(NoRate::MoreEventsThanProcedures(months)) => Some(months),
                _ => None,
            })
            .flatten()
            .map(|month| month.month)
            .collect();
        impossible.sort_unstable();
        impossible.dedup();
        if !impossible.is_empty() {
            self.notes.push(format!(
                "Among those who are not shown somebody has more cases than procedures in {}. One of the two numbers is wrong.",
                months_in_words(&impossible)
            ));
        }
        let with_gaps = few.iter().filter(|one| !one.gaps().is_empty()).count();
        if with_gaps > 0 {
            self.notes.push(format!(
                "{} who {} not shown {} cases in months without a count of procedures.",
                counted(with_gaps as u64, "operator"),
                if with_gaps == 1 { "is" } else { "are" },
                if with_gaps == 1 { "has" } else { "have" },
            ));
        }
    }

    /// How many are hidden and why, in a sentence; `None` when nobody is.
    #[must_use]
    pub fn hidden_in_words(&self) -> Option<String> {
        match self.hidden {
            0 => None,
            1 => Some(format!("1 operator with fewer than {} procedures is not shown.", self.fewest)),
            many => {
                Some(format!("{many} operators with fewer than {} procedures are not shown.", self.fewest))
            }
        }
    }
}
