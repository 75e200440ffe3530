//! Coronary air embolism.

use super::choices::Choices;
use super::definition::{Assess, Definition, Section, Source};
use super::facts::{EmbolismFacts, Facts};
use super::finding::Finding;
use super::look::Look;

/// Coronary air embolism.
pub const DEFINITION: Definition = Definition {
    slug: "air-embolism",
    name: "Coronary air embolism",
    section: Section::Other,
    rule: "Bubbles seen in a coronary artery, or a sudden loss of flow without another cause. How far it was felt is our own \
           scale: minimal, symptomatic, haemodynamic.",
    boundaries: "A loss of flow without a word on other causes is open.",
    sources: &[Source::recalled("common definition", "the rule"), Source::own("the scale of extent")],
    inputs: &[
        EmbolismFacts::BUBBLES,
        EmbolismFacts::FLOW_LOSS,
        EmbolismFacts::OTHER_CAUSE,
        EmbolismFacts::EXTENT,
    ],
    choices: &[],
    assess: Assess::Case(assess),
};

fn assess(facts: &Facts, _: &Choices) -> Finding {
    let seen = &facts.embolism;
    let mut look = Look::at_case(&DEFINITION);
    let bubbles = look.answer(seen.bubbles());
    let other = look.answer(seen.other_cause());
    let sudden = look.answer(seen.flow_loss()).and(other.negated());
    let extent = look.value(seen.extent());
    let met = bubbles.clone().or(sudden);
    if met.is_unknown() {
        look.open(&met)
    } else if met.is_yes() {
        if extent.is_none() {
            look.note("How far it was felt is not recorded.");
        }
        let how = extent.map_or_else(String::new, |extent| format!(", {}", extent.label()));
        let clause = if bubbles.is_yes() {
            "bubbles were seen"
        } else {
            "a sudden loss of flow without another cause"
        };
        look.met("air", format_args!("coronary air embolism{how}"), clause)
    } else {
        look.not_met("no coronary air embolism", "no bubbles, and no loss of flow that only air explains")
    }
}
