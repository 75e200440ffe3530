//! TIMI flow grade of a vessel at its worst.

use super::answer::Judgement;
use super::choices::Choices;
use super::definition::{Definition, Section, Source};
use super::facts::{Facts, Row, VesselFacts};
use super::finding::Finding;
use super::look::Look;

/// TIMI flow grade.
pub const DEFINITION: Definition = Definition {
    slug: "timi-flow",
    name: "TIMI flow",
    section: Section::Flow,
    rule: "0: no contrast passes the obstruction. 1: contrast passes, but the distal bed never fills \
           completely during the run. 2: the whole bed fills, visibly slower than in a comparison vessel. \
           3: it fills and clears as promptly as a comparison vessel. Flow is lost at 0 and 1.",
    boundaries: "Whole grades from 0 to 3 alone; anything else is refused. A grade as entered stands; where \
                 the description says otherwise, that is noted.",
    sources: &[Source::recalled("TIMI Study Group, N Engl J Med 1985;312:932", "the grades")],
    inputs: &[
        VesselFacts::WORST,
        VesselFacts::CONTRAST_PASSES,
        VesselFacts::BED_FILLS,
        VesselFacts::AS_PROMPT,
    ],
    choices: &[],
    assess,
};

fn assess(facts: &Facts, _: &Choices) -> Vec<Finding> {
    facts.vessels.iter().map(grade).collect()
}

fn grade(row: &Row<VesselFacts>) -> Finding {
    let vessel = &row.facts;
    let mut look = Look::at(&DEFINITION, &row.subject);
    let passes = look.answer(vessel.contrast_passes());
    let fills = look.answer(vessel.bed_fills());
    let prompt = look.answer(vessel.as_prompt());
    let entered = look.value(vessel.worst());
    let described = describe(&passes, &fills, &prompt);
    match (entered, described) {
        (Some(entered), described) => {
            if let Ok(described) = described
                && described != entered.grade()
            {
                look.note(format!("The description fits TIMI {described}. Check which is right."));
            }
            finish(look, entered.grade(), "as graded")
        }
        (None, Ok(described)) => finish(look, described, "as described"),
        (None, Err(open)) => look.open(&Judgement::missing(VesselFacts::WORST).or(open)),
    }
}

/// The grade that the description fits, or what would settle it.
fn describe(passes: &Judgement, fills: &Judgement, prompt: &Judgement) -> Result<u8, Judgement> {
    let step = |clause: &Judgement, below: u8| match clause {
        no if no.is_no() => Some(Ok(below)),
        open if open.is_unknown() => Some(Err(open.clone())),
        _ => None,
    };
    step(passes, 0).or_else(|| step(fills, 1)).or_else(|| step(prompt, 2)).unwrap_or(Ok(3))
}

fn finish(look: Look, grade: u8, how: &str) -> Finding {
    let clause = format!("{}, {how}", words(grade));
    let code = ["0", "1", "2", "3"].get(usize::from(grade)).copied().unwrap_or("3");
    look.met(code, format!("TIMI {grade}"), clause)
}

fn words(grade: u8) -> &'static str {
    match grade {
        0 => "no contrast passed the obstruction",
        1 => "contrast passed, but the distal bed never filled",
        2 => "the distal bed filled, but slower than in a comparison vessel",
        _ => "the distal bed filled and cleared as promptly as in a comparison vessel",
    }
}
