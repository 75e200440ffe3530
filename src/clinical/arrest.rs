//! Cardiac arrest.

use super::choices::Choices;
use super::definition::{Assess, Definition, Section, Source};
use super::facts::{Facts, RhythmFacts};
use super::finding::Finding;
use super::look::Look;

/// Cardiac arrest.
pub const DEFINITION: Definition = Definition {
    slug: "arrest",
    name: "Cardiac arrest",
    section: Section::Circulation,
    rule: "Chest compressions or defibrillation.",
    boundaries: "Either makes it an arrest; without an answer to both it is not excluded.",
    sources: &[Source::recalled("common definition", "the rule")],
    inputs: &[RhythmFacts::COMPRESSIONS, RhythmFacts::DEFIBRILLATION],
    choices: &[],
    assess: Assess::Case(assess),
};

fn assess(facts: &Facts, _: &Choices) -> Finding {
    let mut look = Look::at_case(&DEFINITION);
    let pressed = look.answer(facts.rhythm.compressions());
    let shocked = look.answer(facts.rhythm.defibrillation());
    let how = match (pressed.is_yes(), shocked.is_yes()) {
        (true, true) => "chest compressions and defibrillation were needed",
        (true, false) => "chest compressions were needed",
        _ => "defibrillation was needed",
    };
    let met = pressed.or(shocked);
    if met.is_unknown() {
        look.open(&met)
    } else if met.is_yes() {
        look.met("arrest", "cardiac arrest", how)
    } else {
        look.not_met("no cardiac arrest", "neither defibrillation nor chest compressions were needed")
    }
}
