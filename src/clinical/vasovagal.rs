//! Vasovagal reaction.

use super::choices::Choices;
use super::definition::{Assess, Definition, Section, Source};
use super::facts::{CirculationFacts, Facts};
use super::finding::Finding;
use super::look::Look;

/// Vasovagal reaction.
pub const DEFINITION: Definition = Definition {
    slug: "vasovagal",
    name: "Vasovagal reaction",
    section: Section::Circulation,
    rule: "A fall of pulse and pressure together that atropine or fluid reverses.",
    boundaries: "A description, without a number.",
    sources: &[Source::recalled("common definition", "the rule")],
    inputs: &[CirculationFacts::VAGAL],
    choices: &[],
    assess: Assess::Case(assess),
};

fn assess(facts: &Facts, _: &Choices) -> Finding {
    let mut look = Look::at_case(&DEFINITION);
    let met = look.answer(facts.circulation.vagal());
    if met.is_unknown() {
        look.open(&met)
    } else if met.is_yes() {
        look.met(
            "vasovagal",
            "vasovagal reaction",
            "pulse and pressure fell together, and atropine or fluid reversed it",
        )
    } else {
        look.not_met(
            "no vasovagal reaction",
            "pulse and pressure did not fall together, or neither atropine nor fluid reversed it",
        )
    }
}
