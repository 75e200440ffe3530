//! Allergic reaction, Ring and Messmer.

use super::choices::Choices;
use super::definition::{Definition, Section, Source};
use super::facts::{Facts, ReactionFacts};
use super::finding::Finding;
use super::look::Look;

/// Allergic reaction, Ring–Messmer grade.
pub const DEFINITION: Definition = Definition {
    slug: "allergic-reaction",
    name: "Allergic reaction, Ring–Messmer grade",
    section: Section::Other,
    rule: "I: skin alone. II: moderate change of pulse or pressure, mild signs of airway or gut. III: shock or bronchospasm. \
           IV: arrest.",
    boundaries: "The highest grade counts; a higher one that is not excluded leaves it open.",
    sources: &[Source::recalled("Ring and Messmer, Lancet 1977;1:466", "the grades")],
    inputs: &[
        ReactionFacts::SKIN,
        ReactionFacts::MODERATE,
        ReactionFacts::SHOCK,
        ReactionFacts::BRONCHOSPASM,
        ReactionFacts::ARREST,
    ],
    choices: &[],
    assess,
};

fn assess(facts: &Facts, _: &Choices) -> Vec<Finding> {
    let seen = &facts.reaction;
    let mut look = Look::at_case(&DEFINITION);
    let grades = [
        ("IV", look.answer(seen.arrest()), "arrest"),
        ("III", look.answer(seen.shock()).or(look.answer(seen.bronchospasm())), "shock or bronchospasm"),
        ("II", look.answer(seen.moderate()), "moderate signs of circulation, airway or gut"),
        ("I", look.answer(seen.skin()), "skin signs alone"),
    ];
    for (code, met, clause) in grades {
        if met.is_yes() {
            return vec![look.met(code, format!("allergic reaction, Ring–Messmer {code}"), clause)];
        }
        if met.is_unknown() {
            return vec![look.open(&met)];
        }
    }
    vec![look.not_met("no allergic reaction", "none of the signs")]
}
