//! TIMI flow grade of a vessel at its worst.

use super::answer::Judgement;
use super::choices::Choices;
use super::definition::{Assess, Definition, Section, Source};
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
    assess: Assess::Rows(assess),
};

fn assess(facts: &Facts, _: &Choices) -> Vec<Finding> {
    facts.vessels.iter().map(grade).collect()
}

fn grade(row: &Row<VesselFacts>) -> Finding {
    let vessel = &row.facts;
    let mut look = Look::at(&DEFINITION, &row.subject);
    let clauses = [
        look.answer(vessel.contrast_passes()),
        look.answer(vessel.bed_fills()),
        look.answer(vessel.as_prompt()),
    ];
    let entered = look.value(vessel.worst());
    // Each clause that does not hold ends at its grade; where one is open, so is the description.
    let described = (0..).zip(clauses).find(|(_, clause)| !clause.is_yes());
    match (entered, described) {
        (Some(entered), described) => {
            let described = match described {
                Some((grade, clause)) => clause.is_no().then_some(grade),
                None => Some(3),
            };
            if let Some(described) = described.filter(|described| *described != entered.grade()) {
                look.note(format_args!("The description fits TIMI {described}. Check which is right."));
            }
            finish(look, entered.grade(), GRADED)
        }
        (None, Some((_, open))) if open.is_unknown() => {
            look.open(&Judgement::missing(&VesselFacts::WORST).or(open))
        }
        (None, described) => finish(look, described.map_or(3, |(grade, _)| grade), DESCRIBED),
    }
}

fn finish(look: Look, grade: u8, clauses: [&'static str; 4]) -> Finding {
    const GRADES: [(&str, &str); 4] = [("0", "TIMI 0"), ("1", "TIMI 1"), ("2", "TIMI 2"), ("3", "TIMI 3")];
    let place = usize::from(grade).min(3);
    let (code, label) = GRADES[place];
    look.met(code, label, clauses[place])
}

/// The clauses of the grades as a person entered them.
const GRADED: [&str; 4] = [
    "no contrast passed the obstruction, as graded",
    "contrast passed, but the distal bed never filled, as graded",
    "the distal bed filled, but slower than in a comparison vessel, as graded",
    "the distal bed filled and cleared as promptly as in a comparison vessel, as graded",
];

/// The clauses of the grades that the description fits.
const DESCRIBED: [&str; 4] = [
    "no contrast passed the obstruction",
    "contrast passed, but the distal bed never filled",
    "the distal bed filled, but slower than in a comparison vessel",
    "the distal bed filled and cleared as promptly as in a comparison vessel",
];
