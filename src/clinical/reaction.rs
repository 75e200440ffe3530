//! Allergic reaction, Ring and Messmer.

use super::choices::Choices;
use super::definition::{Assess, Definition, Section, Source};
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
    assess: Assess::Case(assess),
};

fn assess(facts: &Facts, _: &Choices) -> Finding {
    let seen = &facts.reaction;
    let mut look = Look::at_case(&DEFINITION);
    let (shock, spasm) = (look.answer(seen.shock()), look.answer(seen.bronchospasm()));
    let severe = match (shock.is_yes(), spasm.is_yes()) {
        (true, true) => "shock and bronchospasm",
        (true, false) => "shock",
        _ => "bronchospasm",
    };
    let moderate = "moderate signs of circulation, airway or gut";
    let grades = [
        ("IV", "allergic reaction, Ring–Messmer IV", look.answer(seen.arrest()), "arrest"),
        ("III", "allergic reaction, Ring–Messmer III", shock.or(spasm), severe),
        ("II", "allergic reaction, Ring–Messmer II", look.answer(seen.moderate()), moderate),
        ("I", "allergic reaction, Ring–Messmer I", look.answer(seen.skin()), "skin signs alone"),
    ];
    for (code, label, met, clause) in grades {
        if met.is_yes() {
            return look.met(code, label, clause);
        }
        if met.is_unknown() {
            return look.open(&met);
        }
    }
    look.not_met("no allergic reaction", "none of its signs was there")
}
