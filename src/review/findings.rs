//! What the trade's definitions say about a case, in the order in which a reader wants them: what
//! is met, what is not, what cannot be decided and why, and what nothing is recorded of.

use crate::case::reading::Reading;
use crate::case::{StoredCase, evidence};
use crate::clinical::facts::{KidneyFacts, VesselFacts};
use crate::clinical::{
    Choices, DEFINITIONS, Definition, Facts, Family, Finding, Input, assess_all, definition,
};
use crate::vocabulary::Vocabulary;

/// The findings of a case.
#[derive(Debug, Clone)]
pub struct Findings {
    /// What the definitions looked at.
    pub facts: Facts,
    /// Grades that are given.
    pub met: Vec<Finding>,
    /// Definitions that are not met.
    pub not_met: Vec<Finding>,
    /// Definitions that something is recorded for, though not enough.
    pub undecided: Vec<Finding>,
    /// Definitions that nothing is recorded for.
    pub untouched: Vec<&'static Definition>,
}

impl Findings {
    /// The findings of a case, by the rules that the department takes.
    #[must_use]
    pub fn of(case: &StoredCase, reading: &Reading, vocabulary: &Vocabulary, choices: &Choices) -> Self {
        Self::from_facts(evidence::facts(case, reading, vocabulary), choices)
    }

    /// The findings of some facts.
    #[must_use]
    pub fn from_facts(facts: Facts, choices: &Choices) -> Self {
        let (mut met, mut not_met, mut undecided) = (Vec::new(), Vec::new(), Vec::new());
        for finding in assess_all(&facts, choices) {
            if finding.is_met() {
                met.push(finding);
            } else if !finding.is_undecided() {
                not_met.push(finding);
            } else if finding.used.iter().any(|used| !is_background(&used.input)) {
                undecided.push(finding);
            }
        }
        let told = |wanted: &&Definition| {
            [&met, &not_met, &undecided].into_iter().flatten().any(|one| one.definition == wanted.slug)
        };
        let untouched = DEFINITIONS.iter().filter(|one| !told(one)).collect();
        Self { facts, met, not_met, undecided, untouched }
    }

    /// Every finding that says something.
    pub fn told(&self) -> impl Iterator<Item = &Finding> {
        self.met.iter().chain(&self.not_met).chain(&self.undecided)
    }
}

/// What every case holds, so that it alone does not make a definition worth asking about.
fn is_background(input: &Input) -> bool {
    input.family == Family::Patient
        || [KidneyFacts::EGFR, VesselFacts::TREATED].contains(input)
}

/// A finding's definition; every finding has one.
#[must_use]
pub fn definition_of(finding: &Finding) -> Option<&'static Definition> {
    definition(finding.definition)
}
