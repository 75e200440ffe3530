//! Ventricular tachycardia and fibrillation.

use super::choices::Choices;
use super::definition::{Assess, Definition, Section, Source};
use super::facts::{Facts, RhythmFacts};
use super::finding::Finding;
use super::look::Look;

/// Ventricular tachycardia or fibrillation.
pub const DEFINITION: Definition = Definition {
    slug: "ventricular-arrhythmia",
    name: "Ventricular tachycardia or fibrillation",
    section: Section::Circulation,
    rule: "Ventricular tachycardia or fibrillation that needs a shock or a drug.",
    boundaries: "A run that ended by itself does not count.",
    sources: &[Source::recalled("common definition", "the rule")],
    inputs: &[RhythmFacts::VENTRICULAR, RhythmFacts::VENTRICULAR_TREATED],
    choices: &[],
    assess: Assess::Case(assess),
};

fn assess(facts: &Facts, _: &Choices) -> Finding {
    const NO: &str = "no ventricular arrhythmia";
    let mut look = Look::at_case(&DEFINITION);
    let rhythm = look.answer(facts.rhythm.ventricular());
    let met = rhythm.clone().and(look.answer(facts.rhythm.ventricular_treated()));
    if met.is_unknown() {
        look.open(&met)
    } else if met.is_yes() {
        look.met("ventricular", "ventricular tachycardia or fibrillation", "it needed a shock or a drug")
    } else if rhythm.is_no() {
        look.not_met(NO, "neither ventricular tachycardia nor fibrillation")
    } else {
        look.not_met(NO, "a run that needed neither a shock nor a drug")
    }
}
