//! Systemic or cholesterol embolism.

use super::choices::Choices;
use super::definition::{Assess, Definition, Section, Source};
use super::facts::{EmbolismFacts, Facts};
use super::finding::Finding;
use super::look::Look;

/// Systemic or cholesterol embolism.
pub const DEFINITION: Definition = Definition {
    slug: "systemic-embolism",
    name: "Systemic or cholesterol embolism",
    section: Section::Other,
    rule: "A sign from an organ beyond after catheter work: skin, kidney, gut, eye or limb.",
    boundaries: "A description, without a number.",
    sources: &[Source::recalled("common definition", "the rule")],
    inputs: &[EmbolismFacts::END_ORGAN],
    choices: &[],
    assess: Assess::Case(assess),
};

fn assess(facts: &Facts, _: &Choices) -> Finding {
    let mut look = Look::at_case(&DEFINITION);
    let met = look.answer(facts.embolism.end_organ());
    if met.is_unknown() {
        look.open(&met)
    } else if met.is_yes() {
        look.met("embolism", "systemic embolism", "an end-organ sign after catheter work")
    } else {
        look.not_met("no systemic embolism", "no end-organ sign after catheter work")
    }
}
