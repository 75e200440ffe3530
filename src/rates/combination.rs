//! Which cases the plain facts of a record could tell apart: the cases as records of
//! [`crate::deidentify::combination`], and how each fact can be told more generally.
//!
//! A case counts with the mechanism and the segment of its index harm and with its first access. What
//! is not recorded is a value of its own: such cases look like each other. Relook records no region, so
//! none is among the facts.

mod told;

use std::collections::HashMap;
use std::hash::Hash;

use crate::case::{Access, Age, CaseCode, Harm, Month, Presentation, Segment, Sex};
use crate::deidentify::combination::{
    Ladder, LadderError, Levels, OneRecord, Proposal, Records, RecordsError,
};
use crate::quantity::words;
use crate::vocabulary::{MechanismSlug, Vocabulary};

pub use told::Way;

words!(
    /// A fact that may tell cases apart beside others.
    Fact, "a fact", {
        Month = "month", "Month";
        Age = "age", "Age";
        Sex = "sex", "Sex";
        Mechanism = "mechanism", "Mechanism";
        Place = "place", "Where";
        Presentation = "presentation", "Presentation";
        Access = "access", "Access";
    }
);

/// The plain facts of a case.
#[derive(Debug, Clone, PartialEq)]
pub struct CaseFacts {
    /// The case.
    pub code: CaseCode,
    /// The month of the procedure.
    pub month: Month,
    /// The patient's age.
    pub age: Option<Age>,
    /// The patient's sex.
    pub sex: Option<Sex>,
    /// The mechanism of the index harm.
    pub mechanism: Option<MechanismSlug>,
    /// Where the index harm was.
    pub segment: Option<Segment>,
    /// How the patient came.
    pub presentation: Option<Presentation>,
    /// The first artery that was entered.
    pub access: Option<Access>,
    /// The degree of harm: no fact that tells apart, but what a table of cases is for.
    pub harm: Option<Harm>,
}

/// Why cases cannot be taken together.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum CombinationsError {
    /// The ways to tell a fact are no ladder.
    #[error(transparent)]
    Ladder(#[from] LadderError),
    /// There are more values than can be numbered together.
    #[error(transparent)]
    Records(#[from] RecordsError),
}

/// The cases as records of their facts, in the order of [`Fact::ALL`].
#[derive(Debug, Clone)]
pub struct Combinations {
    /// The cases, as the records number them.
    pub cases: Vec<CaseFacts>,
    /// Their facts.
    pub records: Records,
}

/// How a case is told outside the department in running words.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Coarse {
    /// The time, such as `2026, third quarter`; `None` when it is hidden.
    pub month: Option<String>,
    /// The age, such as `70 to 79 years`; `None` when it is hidden or not recorded.
    pub age: Option<String>,
    /// Whether an age is recorded and hidden.
    pub hides_age: bool,
    /// How many cases look like it by month, age, sex and mechanism as they are told.
    pub one_of: usize,
}

/// The number of each distinct value of a fact, and the values.
fn numbered<T: Eq + Hash>(values: impl Iterator<Item = T>) -> (Vec<usize>, Vec<usize>) {
    let mut numbers: HashMap<T, usize> = HashMap::new();
    let (mut of, mut first) = (Vec::new(), Vec::new());
    for (record, value) in values.enumerate() {
        let next = numbers.len();
        of.push(*numbers.entry(value).or_insert_with(|| {
            first.push(record);
            next
        }));
    }
    (of, first)
}

impl Combinations {
    /// The facts of all cases.
    ///
    /// # Errors
    /// When there are more values than can be numbered together.
    pub fn of(cases: Vec<CaseFacts>, vocabulary: &Vocabulary) -> Result<Self, CombinationsError> {
        let mut ladders = Vec::new();
        let mut columns = Vec::new();
        for fact in Fact::ALL {
            let (of, first) = match fact {
                Fact::Month => numbered(cases.iter().map(|case| case.month)),
                Fact::Age => numbered(cases.iter().map(|case| case.age.map(Age::stored))),
                Fact::Sex => numbered(cases.iter().map(|case| case.sex)),
                Fact::Mechanism => numbered(cases.iter().map(|case| &case.mechanism)),
                Fact::Place => numbered(cases.iter().map(|case| case.segment)),
                Fact::Presentation => numbered(cases.iter().map(|case| case.presentation)),
                Fact::Access => numbered(cases.iter().map(|case| case.access)),
            };
            let values: Vec<Vec<String>> = first
                .iter()
                .map(|&record| {
                    fact.ways()
                        .iter()
                        .map(|way| told::told(*way, *fact, &cases[record], vocabulary))
                        .collect()
                })
                .collect();
            ladders.push(Ladder::new(fact.ways().len(), &values)?.worth(fact.worth()));
            columns.push(of);
        }
        let mut records = Records::new(ladders)?;
        for record in 0..cases.len() {
            let row: Vec<usize> = columns.iter().map(|column| column[record]).collect();
            records.push(&row)?;
        }
        Ok(Self { cases, records })
    }

    /// The facts that are taken together where nobody chose: month, age, sex and mechanism as recorded.
    #[must_use]
    pub fn usual_levels() -> Levels {
        let taken = [Fact::Month, Fact::Age, Fact::Sex, Fact::Mechanism];
        Levels(
            Fact::ALL
                .iter()
                .map(|fact| if taken.contains(fact) { 0 } else { fact.ways().len() - 1 })
                .collect(),
        )
    }

    /// The least general levels at which every case is one of k, but for at most so many in a hundred.
    #[must_use]
    pub fn propose(&self, k: usize, floor: &Levels, left_out_in_100: usize) -> Option<Proposal> {
        self.records.propose(k, floor, self.cases.len() * left_out_in_100 / 100)
    }

    /// The number of a case among the records.
    #[must_use]
    pub fn place_of(&self, code: CaseCode) -> Option<usize> {
        self.cases.iter().position(|case| case.code == code)
    }

    /// How a case is told in running words so that it is one of k by month, age, sex and mechanism: sex
    /// and mechanism are in its story and stay, month and age are told as generally as it needs.
    #[must_use]
    pub fn coarse(&self, record: usize, k: usize) -> Coarse {
        let one = self.records.one(record);
        let levels = self.levels_of_words(&one, k);
        let shown = |fact: Fact| {
            let way = fact.way(levels.0[fact as usize]);
            (way != Way::Hidden).then(|| self.records.shown(record, fact as usize, &levels).to_owned())
        };
        let age = self.cases[record].age;
        Coarse {
            month: shown(Fact::Month),
            age: age.and_then(|_| shown(Fact::Age)),
            hides_age: age.is_some() && shown(Fact::Age).is_none(),
            one_of: one.size(&levels),
        }
    }

    fn levels_of_words(&self, one: &OneRecord, k: usize) -> Levels {
        let mut best: Option<(usize, Levels)> = None;
        let mut top = Self::usual_levels();
        for month in 0..Fact::Month.ways().len() {
            for age in 0..Fact::Age.ways().len() {
                let mut levels = Self::usual_levels();
                (levels.0[Fact::Month as usize], levels.0[Fact::Age as usize]) = (month, age);
                let key = (self.records.loss(&levels), levels.clone());
                if one.size(&levels) >= k && best.as_ref().is_none_or(|best| key < *best) {
                    best = Some(key);
                }
                top = levels;
            }
        }
        // Where month and age do not help they still go.
        best.map_or(top, |(_, levels)| levels)
    }
}

/// The facts that are told at these levels, in words: `mechanism, month (quarter) and age (10 years)`.
#[must_use]
pub fn levels_in_words(levels: &Levels) -> String {
    let told: Vec<String> = Fact::ALL
        .iter()
        .zip(&levels.0)
        .filter_map(|(fact, level)| match fact.way(*level) {
            Way::Hidden => None,
            Way::Exact => Some(fact.label().to_lowercase()),
            way => Some(format!("{} ({})", fact.label().to_lowercase(), way.label().to_lowercase())),
        })
        .collect();
    match told.as_slice() {
        [] => "nothing".to_owned(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

#[cfg(test)]
mod tests;
