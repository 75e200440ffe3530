//! The quarterly report: what a department tells about a quarter, as a document that may leave it.
//!
//! Volumes, rates, signals, mechanisms that moved, lessons, actions, what followed finished actions,
//! cautions; each in sentences first. [`quarterly_report`] is made from [`Inputs`] alone;
//! [`store::gather`] reads them.
//!
//! # Beside which time a quarter stands
//! Beside the quarter before it, and never beside several quarters taken together. The report is kept and
//! compared: whoever has four reports and a sum over their four quarters gets a hidden quarter back by
//! subtraction. Single quarters share no month, so a stack of reports holds each number once, hidden in
//! each of them or in none. A quarter against a quarter sees only large changes; the longer comparison is that of
//! the charts, which judge the quarter against the months of their baseline, and their signals are told.
//!
//! # What is hidden
//! The report leaves the department, so each quarter's counts pass through [`suppress::tree`] (`leaving`):
//! what is hidden there shows no count, rate, interval, difference, row of the drawing or movement. What
//! is counted over other months than a quarter (a point of a chart, the months before and after an
//! action) could be subtracted from a quarter, so it is told without numbers: that it happened, when, and
//! in which direction. Numbers stand there only when the department hides nothing. That a chart gave a
//! signal says a little about a hidden count too; a report silent about a rise would do more harm.
//!
//! [`suppress::tree`]: crate::rates::suppress::tree

mod cautions;
mod effects;
mod followed;
mod learned;
mod opening;
mod quarter;
mod rates;
mod signals;
mod volumes;

pub mod store;

use std::collections::BTreeMap;

use self::followed::Following;
use self::volumes::Volumes;
use crate::case::{ActionState, CaseCode, Day, LessonKind, Paragraph, Sentences, Words};
use crate::document::Document;
use crate::rates::leaving::{Leaving, shown_alone};
use crate::rates::suppress::SmallestCount;
use crate::rates::{Inputs as RatesInputs, Movements, Period, RatesTable, Settings, Subject, moved};
use crate::review::summary::CAUTION;
use crate::vocabulary::{MechanismSlug, Vocabulary};

pub use quarter::{Quarter, QuarterError};

/// The months that a report of a quarter needs: those over which its charts look back, as long as a
/// period can be, so that the usual baseline stays where it is from one report to the next.
#[must_use]
pub fn window(quarter: Quarter) -> Period {
    let to = quarter.period().to();
    Period::new(to.plus(1 - Period::MOST_MONTHS), to).unwrap_or_else(|_| quarter.period())
}

/// What a report is made from.
#[derive(Debug, Clone, Default)]
pub struct Inputs {
    /// Cases and procedures at risk by month, for the months of [`window`].
    pub rates: RatesInputs,
    /// What the department set.
    pub settings: Settings,
    /// The baselines that somebody set and that hold.
    pub baselines: BTreeMap<Subject, Period>,
    /// The lessons that were signed in the quarter.
    pub lessons: Vec<SignedLesson>,
    /// The actions that were done in the twelve months to the end of the quarter, and those that were due
    /// by then and not done.
    pub actions: Vec<ReportedAction>,
}

/// A lesson that was signed; by whom stays in the case.
#[derive(Debug, Clone, PartialEq)]
pub struct SignedLesson {
    /// Its case.
    pub code: CaseCode,
    /// What it helps to do.
    pub kind: LessonKind,
    /// The lesson.
    pub text: Paragraph,
}

/// An action with what the report says of it.
#[derive(Debug, Clone, PartialEq)]
pub struct ReportedAction {
    /// Its case.
    pub code: CaseCode,
    /// What is to be different.
    pub what: Sentences,
    /// The role that owns it.
    pub owner: Words,
    /// By when.
    pub due: Day,
    /// Where it stands now.
    pub state: ActionState,
    /// Since when it is in place; `None` when it is not, or nobody said.
    pub done_on: Option<Day>,
    /// The mechanisms of its case, when it was done in the twelve months to the end of the quarter.
    pub mechanisms: Vec<MechanismSlug>,
}

impl ReportedAction {
    /// Whether it was done in one of these months.
    fn done_in(&self, months: Period) -> bool {
        let done = self.done_on.and_then(Day::month);
        self.state == ActionState::Done
            && done.is_some_and(|month| months.from() <= month && month <= months.to())
    }

    /// Whether it was due and not done when the quarter ended, or is by today while the quarter runs. One
    /// that was done on a day that nobody wrote down is given the benefit of the doubt.
    fn overdue(&self, quarter: Period, today: Day) -> bool {
        let done = match (self.state, self.done_on.and_then(Day::month)) {
            (ActionState::Open, _) => false,
            (ActionState::Done, Some(month)) => month <= quarter.to(),
            (ActionState::Done, None) | (ActionState::Dropped, _) => true,
        };
        !done && self.due < today && self.due.month().is_some_and(|month| month <= quarter.to())
    }
}

/// A report being written: what every section needs.
struct Writing<'a> {
    vocabulary: &'a Vocabulary,
    inputs: &'a Inputs,
    period: Period,
    previous: Option<Period>,
    today: Day,
    table: &'a RatesTable,
    volumes: Volumes,
    leaving: Leaving<'a>,
    following: Following,
    movements: Movements,
}

/// The report of a quarter. `today` decides what is overdue while the quarter still runs.
#[must_use]
pub fn quarterly_report(quarter: Quarter, vocabulary: &Vocabulary, today: Day, inputs: &Inputs) -> Document {
    let period = quarter.period();
    let table = RatesTable::of(vocabulary, &inputs.rates, period);
    let smallest = inputs.settings.smallest;
    let volumes = Volumes::of(vocabulary, &inputs.rates.denominators, &table, smallest);
    let leaving = Leaving::of(vocabulary, &table, &volumes, smallest);
    let movements = moved(&shown_alone(&table, &leaving));
    let following = Following::of(vocabulary, inputs, window(quarter));
    let previous = table.previous;
    let writing = Writing {
        vocabulary,
        inputs,
        period,
        previous,
        today,
        table: &table,
        volumes,
        leaving,
        following,
        movements,
    };
    let mut document = Document::new(format!("Quarterly report, {period}"));
    document.stands_as(writing.standing(quarter));
    writing.opening(&mut document);
    writing.volumes(&mut document);
    writing.rates(&mut document);
    writing.signals(&mut document);
    writing.movements(&mut document);
    writing.lessons(&mut document);
    writing.actions(&mut document);
    writing.effects(&mut document);
    writing.cautions(&mut document);
    document.caution(CAUTION);
    document
}

impl Writing<'_> {
    /// Whether the department hides nothing, so that every number may be told.
    fn tells_all(&self) -> bool {
        self.inputs.settings.smallest == SmallestCount::HIDES_NOTHING
    }

    /// Whether the quarter is not over yet.
    fn still_runs(&self) -> bool {
        self.today.month().is_some_and(|month| month <= self.period.to())
    }

    fn standing(&self, quarter: Quarter) -> String {
        let draft = if self.still_runs() { " Draft: the quarter is not over." } else { "" };
        format!("Confidential. Peer review and teaching. {quarter}, made from the record.{draft}")
    }
}

/// `1 lesson`, `3 lessons`, `no lesson`.
fn counted(number: usize, one: &str) -> String {
    match number {
        0 => format!("no {one}"),
        1 => format!("1 {one}"),
        many => format!("{many} {one}s"),
    }
}

#[cfg(test)]
mod tests;
