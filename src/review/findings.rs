//! What the trade's definitions say about a case, in the order in which a reader wants them: what
//! is met, what is not, what cannot be decided and why, and what nothing is recorded of.

use crate::case::observation::held_elsewhere;
use crate::case::reading::Reading;
use crate::case::{StoredCase, evidence};
use crate::clinical::facts::{CirculationFacts, KidneyFacts, OutcomeFacts, VesselFacts};
use crate::clinical::{
    Choices, DEFINITIONS, Definition, Facts, Family, Finding, Input, Kind, assess_all, definition,
};
use crate::vocabulary::Vocabulary;

/// The findings of a case.
#[derive(Debug, Clone)]
pub struct Findings {
    /// What the definitions looked at.
    pub facts: Facts,
    /// Grades that follow from what is recorded.
    pub met: Vec<Finding>,
    /// Grades that say again what the record says: a type as judged, a flow as seen.
    pub as_judged: Vec<Finding>,
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
        let (mut met, mut as_judged) = (Vec::new(), Vec::new());
        let (mut not_met, mut undecided) = (Vec::new(), Vec::new());
        for finding in assess_all(&facts, choices) {
            if finding.is_met() && restates(&finding) {
                as_judged.push(finding);
            } else if finding.is_met() {
                met.push(finding);
            } else if !finding.is_undecided() {
                not_met.push(finding);
            } else if finding.used.iter().any(|used| !is_background(&finding, used.input)) {
                undecided.push(finding);
            }
        }
        let told = |wanted: &&Definition| {
            [&met, &as_judged, &not_met, &undecided]
                .into_iter()
                .flatten()
                .any(|one| one.definition == wanted.slug)
        };
        let untouched = DEFINITIONS.iter().filter(|one| !told(one)).collect();
        Self { facts, met, as_judged, not_met, undecided, untouched }
    }

    /// The families of observations that would settle what cannot be decided, each once.
    #[must_use]
    pub fn families_asked_for(&self) -> Vec<Family> {
        let mut asked = Vec::new();
        for input in self.undecided.iter().flat_map(Finding::missing) {
            if held_elsewhere(input).is_none() && !asked.contains(&input.family) {
                asked.push(input.family);
            }
        }
        asked
    }

    /// Every finding that says something.
    pub fn told(&self) -> impl Iterator<Item = &Finding> {
        self.met.iter().chain(&self.as_judged).chain(&self.not_met).chain(&self.undecided)
    }
}

/// Whether a grade is the one that the record itself states elsewhere.
fn restates(finding: &Finding) -> bool {
    const STATED: [&str; 5] = ["timi-flow", "dissection-type", "perforation-type", "medina", "harm"];
    let stated = |input: &Input| input.kind != Kind::Answer && held_elsewhere(input).is_some();
    STATED.contains(&finding.definition) && finding.used.iter().any(|used| stated(used.input))
}

/// What does not by itself make a definition worth asking about: what every case holds, and a low
/// pressure or a patient who lived, which say nothing of shock in an infarct or of its markers.
fn is_background(finding: &Finding, input: &Input) -> bool {
    const OF_ONE: &[(&str, Input)] = &[
        ("shock-stage", CirculationFacts::SYSTOLIC),
        ("shock-stage", CirculationFacts::PULSE),
        ("killip", CirculationFacts::SYSTOLIC),
        ("infarction-universal", OutcomeFacts::DEATH),
        ("myocardial-injury", OutcomeFacts::DEATH),
        ("infarction-arc2", OutcomeFacts::DEATH),
        ("infarction-scai", OutcomeFacts::DEATH),
    ];
    input.family == Family::Patient
        || [KidneyFacts::EGFR, VesselFacts::TREATED].contains(input)
        || OF_ONE.iter().any(|(slug, held)| *slug == finding.definition && held == input)
}

/// A finding's definition; every finding has one.
#[must_use]
pub fn definition_of(finding: &Finding) -> Option<&'static Definition> {
    definition(finding.definition)
}
