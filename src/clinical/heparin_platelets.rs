//! Fall of platelets after heparin.

use super::choices::Choices;
use super::definition::{Assess, Definition, Section, Source};
use super::facts::{Facts, LabFacts, ProcedureFacts, Sample, split};
use super::finding::Finding;
use super::look::{Look, only_missing};
use super::quantities::Platelets;

/// Fall of platelets that makes one think of heparin-induced thrombocytopenia.
pub const DEFINITION: Definition = Definition {
    slug: "heparin-platelets",
    name: "Fall of platelets after heparin",
    section: Section::Other,
    rule: "Platelets that fall by 50 % or more on day 5 to 10 after heparin: think of heparin-induced thrombocytopenia. A \
           prompt to look, not a diagnosis.",
    boundaries: "50 % counts. The days count from the start of the procedure, 24 h each: day 5 begins after 4 × 24 h and day \
                 10 ends after 10 × 24 h (our own convention).",
    sources: &[
        Source::recalled("common practice", "50 % on day 5 to 10"),
        Source::own("how the days are counted, and that heparin began with the procedure"),
    ],
    inputs: &[ProcedureFacts::STARTED, LabFacts::PLATELETS_BEFORE, LabFacts::PLATELETS_AFTER],
    choices: &[],
    assess: Assess::Case(assess),
};

const DAY_S: i64 = 24 * 3_600;

fn assess(facts: &Facts, _: &Choices) -> Finding {
    let mut look = Look::at_case(&DEFINITION);
    let cut = split(&facts.labs.platelets, &facts.procedure);
    let before = cut.before.last();
    let lowest = cut
        .after
        .iter()
        .filter(|sample| is_in_days(&facts.procedure, sample))
        .min_by_key(|sample| sample.value.exact());
    if let Some(before) = before {
        look.sample(&LabFacts::PLATELETS_BEFORE, before, before.value.text());
    }
    if let Some(lowest) = lowest {
        look.sample(&LabFacts::PLATELETS_AFTER, lowest, lowest.value.text());
    }
    match (before, lowest) {
        (Some(before), Some(lowest)) => {
            let clause = format_args!("platelets {}", before.value.from_to(lowest.value));
            if has_halved(before.value, lowest.value) {
                look.met(
                    "halved",
                    "platelets halved on day 5 to 10",
                    format_args!("{clause}; think of heparin-induced thrombocytopenia"),
                )
            } else {
                look.not_met("platelets did not halve", format_args!("{clause}, not a fall by 50 %"))
            }
        }
        (before, lowest) => look.lacking(only_missing([
            (&LabFacts::PLATELETS_BEFORE, before.is_none()),
            (&LabFacts::PLATELETS_AFTER, lowest.is_none()),
        ])),
    }
}

/// Whether a count fell by half or more.
#[must_use]
pub fn has_halved(before: Platelets, after: Platelets) -> bool {
    after.exact() * 2 <= before.exact()
}

fn is_in_days(procedure: &ProcedureFacts, sample: &Sample<Platelets>) -> bool {
    procedure.started.is_some_and(|started| {
        let since = sample.drawn.seconds() - started.seconds();
        (4 * DAY_S..=10 * DAY_S).contains(&since)
    })
}
