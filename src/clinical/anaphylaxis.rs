//! Anaphylaxis.

use super::choices::Choices;
use super::definition::{Assess, Definition, Section, Source};
use super::facts::{Facts, ReactionFacts};
use super::finding::Finding;
use super::look::Look;

/// Anaphylaxis.
pub const DEFINITION: Definition = Definition {
    slug: "anaphylaxis",
    name: "Anaphylaxis",
    section: Section::Other,
    rule: "A sudden reaction after exposure that involves several organ systems, or that threatens airway, breathing or \
           circulation.",
    boundaries: "One organ system without a threat is a reaction, not anaphylaxis.",
    sources: &[Source::recalled("World Allergy Organization guidance, 2020", "the rule")],
    inputs: &[ReactionFacts::SUDDEN, ReactionFacts::SEVERAL_SYSTEMS, ReactionFacts::THREAT],
    choices: &[],
    assess: Assess::Case(assess),
};

fn assess(facts: &Facts, _: &Choices) -> Finding {
    const NO: &str = "no anaphylaxis";
    let seen = &facts.reaction;
    let mut look = Look::at_case(&DEFINITION);
    let sudden = look.answer(seen.sudden());
    let several = look.answer(seen.several_systems());
    let met = sudden.clone().and(several.clone().or(look.answer(seen.threat())));
    if met.is_unknown() {
        look.open(&met)
    } else if met.is_yes() {
        let how = if several.is_yes() {
            "several organ systems"
        } else {
            "a threat to airway, breathing or circulation"
        };
        look.met("anaphylaxis", "anaphylaxis", format_args!("a sudden onset after exposure, with {how}"))
    } else if sudden.is_no() {
        look.not_met(NO, "no sudden onset after an exposure")
    } else {
        look.not_met(NO, "one organ system, without a threat to airway, breathing or circulation")
    }
}
