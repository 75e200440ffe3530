//! Why a case is worth the time of a conference, in the open, so that the loudest case does not win.
//!
//! # The rule
//! Each reason is read off the record. Six kinds weigh more: death, severe harm, a mechanism seen again within
//! six months, a signal in the rates, a question whose answer is open, judgements that disagree (the
//! criteria of our review method, common practice). Two weigh less: a mechanism that was not shown for a
//! year or never, and a case that waits for three months or longer (our own choice).
//! Cases with more kinds of reasons that weigh more stand first; among those, cases with more kinds that
//! weigh less; then the older case. Nothing is multiplied or added up across the two.

pub mod signals;

use std::collections::{BTreeMap, BTreeSet};

use crate::case::reading::words::{count, lower_first};
use crate::case::{CaseCode, Harm, Month, Stage, Title};
use crate::rates::{Counts, Period};
use crate::vocabulary::MechanismSlug;

/// A mechanism counts as seen again when another case had it so many months before or after.
pub const AGAIN_WITHIN: i64 = 6;
/// A mechanism was not shown for long from so many months on.
pub const NOT_SHOWN_FOR: i64 = 12;
/// A case waits for long from so many months on.
pub const WAITS_FROM: i64 = 3;

/// A case that could go on an agenda.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Candidate {
    /// Its code.
    pub code: CaseCode,
    /// Its title.
    pub title: Title,
    /// How far it has come.
    pub stage: Stage,
    /// The month of the procedure.
    pub month: Month,
    /// The degree of harm, when it is recorded.
    pub harm: Option<Harm>,
    /// Its mechanisms, the index harm first, each once.
    pub mechanisms: Vec<MechanismSlug>,
    /// Whether a decision of it is a question that nobody could answer.
    pub open_question: bool,
    /// Whether its reviewers judge it differently.
    pub judgements_differ: bool,
}

/// What the reasons are read off, beside the case itself.
#[derive(Debug, Clone, Copy)]
pub struct Surroundings<'a> {
    /// This month.
    pub today: Month,
    /// Cases by mechanism and month, all stages.
    pub counts: &'a Counts,
    /// The last month in which a case with a mechanism was presented; a mechanism of no presented case is
    /// absent.
    pub shown: &'a BTreeMap<MechanismSlug, Month>,
    /// What the chart of a mechanism says that speaks for more events of late.
    pub signals: &'a BTreeMap<MechanismSlug, String>,
}

/// How much a kind of reason weighs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Weight {
    /// Orders the list first.
    More,
    /// Orders cases that are equal so far.
    Less,
}

/// A reason why a case is worth the time.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Reason {
    /// The patient died.
    Death,
    /// The harm was severe.
    SevereHarm,
    /// Other cases had the mechanism within [`AGAIN_WITHIN`] months.
    Again {
        /// The mechanism.
        mechanism: MechanismSlug,
        /// How many other cases.
        others: u32,
        /// The months that were looked at.
        months: Period,
    },
    /// The chart of the mechanism speaks for more events.
    Signal {
        /// The mechanism.
        mechanism: MechanismSlug,
        /// What the chart says, in a few words.
        headline: String,
    },
    /// A decision's answer is open.
    OpenQuestion,
    /// The reviewers' judgements differ.
    JudgementsDiffer,
    /// No case with the mechanism was presented for [`NOT_SHOWN_FOR`] months.
    NotShown {
        /// The mechanism.
        mechanism: MechanismSlug,
        /// When one was presented last; none when none ever was.
        last: Option<Month>,
        /// How many months ago; none when none ever was.
        months: Option<i64>,
    },
    /// The case waits for [`WAITS_FROM`] months or longer.
    Waits {
        /// How many months ago the procedure was.
        months: i64,
    },
}

impl Reason {
    /// How much it weighs.
    #[must_use]
    pub const fn weight(&self) -> Weight {
        match self {
            Self::NotShown { .. } | Self::Waits { .. } => Weight::Less,
            _ => Weight::More,
        }
    }

    /// A number for its kind: reasons of one kind about several mechanisms count once.
    const fn kind(&self) -> u8 {
        match self {
            Self::Death => 0,
            Self::SevereHarm => 1,
            Self::Again { .. } => 2,
            Self::Signal { .. } => 3,
            Self::OpenQuestion => 4,
            Self::JudgementsDiffer => 5,
            Self::NotShown { .. } => 6,
            Self::Waits { .. } => 7,
        }
    }

    /// The reason as a person reads it; `label` names a mechanism.
    pub fn in_words(&self, label: impl Fn(&MechanismSlug) -> String) -> String {
        match self {
            Self::Death => "The patient died.".to_owned(),
            Self::SevereHarm => "The harm was severe.".to_owned(),
            Self::Again { mechanism, others, .. } => {
                let (cases, had) = match others {
                    1 => ("one other case".to_owned(), "has"),
                    many => {
                        let many = usize::try_from(*many).unwrap_or(usize::MAX);
                        (format!("{} other cases", lower_first(&count(many))), "have")
                    }
                };
                format!("{} again: {cases} within six months {had} it.", label(mechanism))
            }
            Self::Signal { mechanism, headline } => {
                format!("A signal in the rates of {}: {headline}.", lower_first(&label(mechanism)))
            }
            Self::OpenQuestion => "It holds a question that nobody could answer.".to_owned(),
            Self::JudgementsDiffer => "Its reviewers judge it differently.".to_owned(),
            Self::NotShown { mechanism, last: Some(last), months: Some(months) } => {
                format!("{} was not shown for {months} months, since {}.", label(mechanism), last.in_words())
            }
            Self::NotShown { mechanism, .. } => format!("{} was never shown.", label(mechanism)),
            Self::Waits { months } => format!("It waits: the procedure was {months} months ago."),
        }
    }
}

/// A case with the reasons for it, those that weigh more first.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Worth {
    /// The case.
    pub candidate: Candidate,
    /// The reasons; none when nothing speaks for it.
    pub reasons: Vec<Reason>,
}

impl Worth {
    /// How many kinds of reasons of a weight it has.
    fn kinds(&self, weight: Weight) -> usize {
        let of_weight = self.reasons.iter().filter(|reason| reason.weight() == weight);
        of_weight.map(Reason::kind).collect::<BTreeSet<_>>().len()
    }
}

/// The cases with their reasons, in the order of the rule of this file.
#[must_use]
pub fn weigh(candidates: Vec<Candidate>, around: &Surroundings) -> Vec<Worth> {
    let mut worth: Vec<Worth> = candidates
        .into_iter()
        .map(|candidate| Worth { reasons: reasons(&candidate, around), candidate })
        .collect();
    worth.sort_by(|one, other| {
        let kinds = |worth: &Worth| (worth.kinds(Weight::More), worth.kinds(Weight::Less));
        kinds(other)
            .cmp(&kinds(one))
            .then(one.candidate.month.cmp(&other.candidate.month))
            .then(one.candidate.code.cmp(&other.candidate.code))
    });
    worth
}

/// The reasons for one case, in the order of their kinds.
fn reasons(case: &Candidate, around: &Surroundings) -> Vec<Reason> {
    let harm = match case.harm {
        Some(Harm::Death) => Some(Reason::Death),
        Some(Harm::Severe) => Some(Reason::SevereHarm),
        _ => None,
    };
    let again = case.mechanisms.iter().filter_map(|mechanism| again(case, mechanism, around.counts));
    let signals = case.mechanisms.iter().filter_map(|mechanism| {
        let headline = around.signals.get(mechanism)?.clone();
        Some(Reason::Signal { mechanism: mechanism.clone(), headline })
    });
    let not_shown = case.mechanisms.iter().filter_map(|mechanism| not_shown(mechanism, around));
    let months = case.month.until(around.today);
    harm.into_iter()
        .chain(again)
        .chain(signals)
        .chain(case.open_question.then_some(Reason::OpenQuestion))
        .chain(case.judgements_differ.then_some(Reason::JudgementsDiffer))
        .chain(not_shown)
        .chain((months >= WAITS_FROM).then_some(Reason::Waits { months }))
        .collect()
}

fn again(case: &Candidate, mechanism: &MechanismSlug, counts: &Counts) -> Option<Reason> {
    let (from, to) = (case.month.plus(-AGAIN_WITHIN), case.month.plus(AGAIN_WITHIN));
    let all: u32 = counts.mechanism(mechanism).range(from..=to).map(|(_, cases)| cases).sum();
    let others = all.saturating_sub(1);
    let months = Period::new(from, to).ok()?;
    (others > 0).then(|| Reason::Again { mechanism: mechanism.clone(), others, months })
}

fn not_shown(mechanism: &MechanismSlug, around: &Surroundings) -> Option<Reason> {
    let last = around.shown.get(mechanism).copied();
    let months = last.map(|last| last.until(around.today));
    let long = months.is_none_or(|months| months >= NOT_SHOWN_FOR);
    long.then(|| Reason::NotShown { mechanism: mechanism.clone(), last, months })
}

#[cfg(test)]
mod tests;
