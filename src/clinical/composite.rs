//! Composite outcome: MACCE, or MACE.

use super::answer::Judgement;
use super::choices::{Choices, CompositeOutcome};
use super::definition::{Assess, Definition, Section, Source};
use super::facts::{Facts, OutcomeFacts};
use super::finding::Finding;
use super::look::Look;

/// Composite outcome.
pub const DEFINITION: Definition = Definition {
    slug: "composite-outcome",
    name: "Composite outcome",
    section: Section::Outcome,
    rule: "MACCE: death from any cause, stroke, myocardial infarction or repeat revascularisation. MACE leaves out stroke, \
           and its parts vary from paper to paper, so the parts always stand beside the result.",
    boundaries: "Any part that happened makes it yes. It is no only when every part is known not to have happened.",
    sources: &[
        Source::recalled("Serruys et al., N Engl J Med 2009;360:961", "MACCE"),
        Source::recalled("common practice", "MACE"),
    ],
    inputs: &[
        OutcomeFacts::DEATH,
        OutcomeFacts::STROKE,
        OutcomeFacts::INFARCTION,
        OutcomeFacts::REVASCULARISATION,
    ],
    choices: &["composite"],
    assess: Assess::Case(assess),
};

fn assess(facts: &Facts, choices: &Choices) -> Finding {
    let outcome = &facts.outcome;
    let mut look = Look::at_case(&DEFINITION);
    let rule = look.choose(choices.composite);
    let stroke = (rule == CompositeOutcome::Macce).then(|| ("a stroke", look.answer(outcome.stroke())));
    let parts = [
        Some(("the patient's death", look.answer(outcome.death()))),
        stroke,
        Some(("a myocardial infarction", look.answer(outcome.infarction()))),
        Some(("a repeat revascularisation", look.answer(outcome.revascularisation()))),
    ];
    let (name, no, of) = match rule {
        CompositeOutcome::Macce => {
            ("MACCE", "no MACCE", "death, stroke, infarction, repeat revascularisation")
        }
        CompositeOutcome::Mace => ("MACE", "no MACE", "death, infarction, repeat revascularisation"),
    };
    look.note(format_args!("Parts of {name} here: {of}."));
    let parts = parts.into_iter().flatten();
    let happened: Vec<&str> =
        parts.clone().filter(|(_, clause)| clause.is_yes()).map(|(part, _)| part).collect();
    let met = Judgement::any(parts.map(|(_, clause)| clause));
    if met.is_yes() {
        look.met(name, name, format_args!("met by {}", happened.join(" and ")))
    } else if met.is_no() {
        look.not_met(no, format_args!("none of its parts happened: {of}"))
    } else {
        look.open(&met)
    }
}
