//! What may leave of the rates: each line with its counts as suppression left them.

use super::line::{RateLine, Subject};
use super::suppress::{BranchEvents, Shown, ShownTree, SmallestCount, tree};
use super::table::RatesTable;
use super::tally::{Rate, Tally};
use crate::vocabulary::{StratumSlug, Vocabulary};

/// Whose procedures stay in the department, because few were done or few are left of all.
pub trait HiddenProcedures {
    /// Those of a stratum, in the period.
    fn hidden_now(&self, stratum: &StratumSlug) -> bool;
    /// The same in the period before.
    fn hidden_before(&self, stratum: &StratumSlug) -> bool;
}

/// A line of one period as it leaves.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Side {
    /// Events in the months that count; in all months when there is no rate.
    pub events: Shown,
    /// The rate, when there is one and neither its events nor its procedures are hidden.
    pub rate: Option<Rate>,
    /// Whether there is a rate that stays in the department.
    pub keeps_rate: bool,
}

/// A line as it leaves.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LeavingLine<'a> {
    /// The line, with every number of it.
    pub line: &'a RateLine,
    /// What may be told of the period.
    pub now: Side,
    /// `None` where the calendar of the record does not reach.
    pub before: Option<Side>,
}

impl LeavingLine<'_> {
    /// Whether an event of either period can be told; a line of zeros and hidden counts has its name alone.
    #[must_use]
    pub fn tells_events(&self) -> bool {
        let tells = |side: &Side| matches!(side.events, Shown::Count(1..));
        tells(&self.now) || self.before.as_ref().is_some_and(tells)
    }

    /// Whether the line and all that is computed from it may be shown, both periods and their
    /// difference.
    #[must_use]
    pub fn all_shown(&self) -> bool {
        let shown = |side: &Side| !side.events.is_hidden() && !side.keeps_rate;
        shown(&self.now) && self.before.as_ref().is_none_or(shown)
    }
}

/// A branch with its mechanisms.
#[derive(Debug, Clone)]
pub struct LeavingBranch<'a> {
    /// The branch; `None` when the table has no line for it.
    pub branch: Option<LeavingLine<'a>>,
    /// Its mechanisms with events now or before.
    pub mechanisms: Vec<LeavingLine<'a>>,
}

/// The rates as they leave.
#[derive(Debug, Clone)]
pub struct Leaving<'a> {
    /// Any complication.
    pub whole: LeavingLine<'a>,
    /// Branches with events now or before, in the order of the tree.
    pub branches: Vec<LeavingBranch<'a>>,
}

/// The lines of the table in the order of the tree.
struct Ordered<'a> {
    branch: Option<&'a RateLine>,
    mechanisms: Vec<&'a RateLine>,
}

impl<'a> Leaving<'a> {
    /// Each period is treated on its own: they share no month.
    #[must_use]
    pub fn of(
        vocabulary: &Vocabulary,
        table: &'a RatesTable,
        procedures: &impl HiddenProcedures,
        smallest: SmallestCount,
    ) -> Self {
        let ordered = ordered(vocabulary, table);
        let now = shown(&ordered, &table.whole, |line| Some(&line.now), smallest);
        let before = shown(&ordered, &table.whole, |line| line.previous.as_ref(), smallest);
        let line = |line: &'a RateLine, now: Shown, before: Shown| LeavingLine {
            line,
            now: side(&line.now, now, procedures.hidden_now(&line.stratum)),
            before: line
                .previous
                .as_ref()
                .map(|tally| side(tally, before, procedures.hidden_before(&line.stratum))),
        };
        let branches = ordered
            .iter()
            .zip(now.branches.iter().zip(&before.branches))
            .map(|(held, (now, before))| LeavingBranch {
                branch: held.branch.map(|branch| line(branch, now.events, before.events)),
                mechanisms: held
                    .mechanisms
                    .iter()
                    .zip(now.mechanisms.iter().zip(&before.mechanisms))
                    .map(|(mechanism, (now, before))| line(mechanism, *now, *before))
                    .collect(),
            })
            .collect();
        Self { whole: line(&table.whole, now.whole, before.whole), branches }
    }

    /// Every line: the whole, then each branch before its mechanisms.
    pub fn lines(&self) -> impl Iterator<Item = &LeavingLine<'a>> {
        std::iter::once(&self.whole)
            .chain(self.branches.iter().flat_map(|branch| branch.branch.iter().chain(&branch.mechanisms)))
    }

    /// The mechanisms alone.
    pub fn mechanisms(&self) -> impl Iterator<Item = &LeavingLine<'a>> {
        self.branches.iter().flat_map(|branch| &branch.mechanisms)
    }

    /// Whether any count is hidden.
    #[must_use]
    pub fn any_hidden(&self) -> bool {
        self.lines().any(|line| !line.all_shown())
    }
}

/// The table with the mechanisms alone whose numbers may all be shown, to be compared: that a hidden one
/// moved, or did not, tells how large it can be.
#[must_use]
pub fn shown_alone(table: &RatesTable, leaving: &Leaving) -> RatesTable {
    RatesTable {
        with_events: leaving
            .mechanisms()
            .filter(|line| line.all_shown())
            .map(|line| line.line.clone())
            .collect(),
        ..table.clone()
    }
}

fn ordered<'a>(vocabulary: &Vocabulary, table: &'a RatesTable) -> Vec<Ordered<'a>> {
    vocabulary
        .mechanism_branches
        .iter()
        .map(|branch| Ordered {
            branch: table
                .branches
                .iter()
                .find(|line| matches!(&line.subject, Subject::Branch(slug) if *slug == branch.slug)),
            mechanisms: table
                .with_events
                .iter()
                .filter(|line| match &line.subject {
                    Subject::Mechanism(slug) => {
                        vocabulary.mechanism(slug).is_some_and(|leaf| leaf.branch == branch.slug)
                    }
                    _ => false,
                })
                .collect(),
        })
        .filter(|held| held.branch.is_some() || !held.mechanisms.is_empty())
        .collect()
}

/// The number that a line shows for a period.
fn events(tally: &Tally) -> u64 {
    tally.rate().map_or_else(|_| tally.events_in_all(), Rate::events)
}

fn shown<'a>(
    ordered: &[Ordered<'a>],
    whole: &'a RateLine,
    of: impl Fn(&'a RateLine) -> Option<&'a Tally>,
    smallest: SmallestCount,
) -> ShownTree {
    let number = |line: &'a RateLine| of(line).map_or(0, events);
    let branches: Vec<BranchEvents> = ordered
        .iter()
        .map(|held| BranchEvents {
            events: held.branch.map_or(0, number),
            mechanisms: held.mechanisms.iter().map(|line| number(line)).collect(),
        })
        .collect();
    tree(number(whole), &branches, smallest)
}

fn side(tally: &Tally, events: Shown, procedures_hidden: bool) -> Side {
    let rate = tally.rate().ok();
    let told = events.with(rate).flatten().filter(|_| !procedures_hidden);
    Side { events, rate: told, keeps_rate: rate.is_some() && told.is_none() }
}
