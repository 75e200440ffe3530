//! Tamponade.

use super::choices::Choices;
use super::definition::{Assess, Definition, Section, Source};
use super::facts::{Facts, PericardiumFacts};
use super::finding::Finding;
use super::look::Look;

/// Tamponade.
pub const DEFINITION: Definition = Definition {
    slug: "tamponade",
    name: "Tamponade",
    section: Section::Perforation,
    rule: "A pericardial effusion that compromises filling or output, or that needs drainage.",
    boundaries: "An effusion alone is not tamponade.",
    sources: &[Source::recalled("common definition", "the rule")],
    inputs: &[PericardiumFacts::EFFUSION, PericardiumFacts::COMPROMISED, PericardiumFacts::DRAINED],
    choices: &[],
    assess: Assess::Case(assess),
};

fn assess(facts: &Facts, _: &Choices) -> Finding {
    const NO: &str = "no tamponade";
    let seen = &facts.pericardium;
    let mut look = Look::at_case(&DEFINITION);
    let effusion = look.answer(seen.effusion());
    let compromised = look.answer(seen.compromised());
    let drained = look.answer(seen.drained());
    let met = effusion.clone().and(compromised.clone().or(drained));
    if met.is_unknown() {
        look.open(&met)
    } else if met.is_yes() {
        let how = if compromised.is_yes() { "compromised filling or output" } else { "needed drainage" };
        look.met("tamponade", "tamponade", format_args!("a pericardial effusion that {how}"))
    } else if effusion.is_no() {
        look.not_met(NO, "no pericardial effusion")
    } else {
        look.not_met(NO, "an effusion that neither compromised filling or output nor needed drainage")
    }
}
