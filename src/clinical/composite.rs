//! Composite outcome: MACCE, or MACE.

use super::answer::Judgement;
use super::choices::{Choices, CompositeOutcome};
use super::definition::{Definition, Section, Source};
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
    assess,
};

fn assess(facts: &Facts, choices: &Choices) -> Vec<Finding> {
    let outcome = &facts.outcome;
    let mut look = Look::at_case(&DEFINITION);
    let rule = look.choose(choices.composite);
    let mut parts = vec![("death", look.answer(outcome.death()))];
    if rule == CompositeOutcome::Macce {
        parts.push(("stroke", look.answer(outcome.stroke())));
    }
    parts.push(("infarction", look.answer(outcome.infarction())));
    parts.push(("repeat revascularisation", look.answer(outcome.revascularisation())));
    let (code, name) = match rule {
        CompositeOutcome::Macce => ("MACCE", "MACCE"),
        CompositeOutcome::Mace => ("MACE", "MACE"),
    };
    let of = parts.iter().map(|(part, _)| *part).collect::<Vec<_>>().join(", ");
    look.note(format!("Parts of {name} here: {of}."));
    let met = Judgement::any(parts.iter().map(|(_, clause)| clause.clone()));
    let happened: Vec<&str> =
        parts.iter().filter(|(_, clause)| clause.is_yes()).map(|(part, _)| *part).collect();
    vec![if met.is_yes() {
        look.met(code, name, happened.join(" and "))
    } else if met.is_no() {
        look.not_met(format!("no {name}"), format!("none of {of}"))
    } else {
        look.open(&met)
    }]
}
