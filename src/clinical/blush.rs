//! Myocardial blush grade.

use super::choices::Choices;
use super::definition::{Assess, Definition, Section, Source};
use super::facts::{Blush, Facts, Row, VesselFacts};
use super::finding::Finding;
use super::look::Look;

/// Myocardial blush grade.
pub const DEFINITION: Definition = Definition {
    slug: "myocardial-blush",
    name: "Myocardial blush",
    section: Section::Flow,
    rule: "0: no blush, or a stain that persists (leakage that does not clear). 1: minimal. 2: moderate, less than \
           in a comparable territory without infarct. 3: normal, equal to a comparable territory. Not the TIMI \
           myocardial perfusion grade, which scores how long contrast takes to clear.",
    boundaries: "A persistent stain is 0, however dense. Blush that is recorded without a word on a persistent \
                 stain is not decidable, unless there is none.",
    sources: &[Source::recalled("van 't Hof et al., Circulation 1998;97:2302", "the grades")],
    inputs: &[VesselFacts::BLUSH, VesselFacts::STAIN_PERSISTS],
    choices: &[],
    assess: Assess::Rows(assess),
};

fn assess(facts: &Facts, _: &Choices) -> Vec<Finding> {
    facts.vessels.iter().map(grade).collect()
}

fn grade(row: &Row<VesselFacts>) -> Finding {
    let mut look = Look::at(&DEFINITION, &row.subject);
    let stain = look.answer(row.facts.stain_persists());
    let blush = look.value(row.facts.blush());
    if stain.is_yes() {
        return look.met("0", "blush grade 0", "a stain that persists is leakage, not perfusion");
    }
    let Some(blush) = blush else {
        return look.lacking([&VesselFacts::BLUSH]);
    };
    if stain.is_unknown() && blush != Blush::None {
        return look.open(&stain);
    }
    let (code, label) = match blush {
        Blush::None => ("0", "blush grade 0"),
        Blush::Minimal => ("1", "blush grade 1"),
        Blush::Moderate => ("2", "blush grade 2"),
        Blush::Normal => ("3", "blush grade 3"),
    };
    look.met(code, label, blush.label())
}

/// The grade as a number, when it is settled.
pub(super) fn grade_of(vessel: &VesselFacts) -> Option<u8> {
    match (vessel.stain_persists, vessel.blush) {
        (stain, _) if stain.is_yes() => Some(0),
        (_, Some(Blush::None)) => Some(0),
        (stain, Some(blush)) if stain.is_no() => match blush {
            Blush::None => Some(0),
            Blush::Minimal => Some(1),
            Blush::Moderate => Some(2),
            Blush::Normal => Some(3),
        },
        _ => None,
    }
}
