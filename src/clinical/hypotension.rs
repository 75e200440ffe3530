//! Hypotension.

use super::choices::Choices;
use super::definition::{Assess, Definition, Section, Source};
use super::facts::{CirculationFacts, Facts};
use super::finding::Finding;
use super::look::Look;
use super::quantities::{Decimal, Measured, Span, SpanUnit};
use super::shock::is_hypotensive;

/// Hypotension.
pub const DEFINITION: Definition = Definition {
    slug: "hypotension",
    name: "Hypotension",
    section: Section::Circulation,
    rule: "Systolic pressure below 90 mmHg. Sustained: for 30 min or more, or needing a drug or a device.",
    boundaries: "90 mmHg is not low. 30 min is sustained, 29 min is not.",
    sources: &[Source::recalled("common definition", "the rule")],
    inputs: &[CirculationFacts::SYSTOLIC, CirculationFacts::LOW_FOR, CirculationFacts::PRESSURE_SUPPORT],
    choices: &[],
    assess: Assess::Case(assess),
};

const HALF_HOUR: Span = Measured::limit(Decimal::whole(30), SpanUnit::Minutes);

fn assess(facts: &Facts, _: &Choices) -> Finding {
    let seen = &facts.circulation;
    let mut look = Look::at_case(&DEFINITION);
    let Some(systolic) = look.value(seen.systolic()) else {
        return look.lacking([&CirculationFacts::SYSTOLIC]);
    };
    if !is_hypotensive(systolic) {
        return look.not_met(
            "no hypotension",
            format_args!("systolic pressure of {systolic} at its lowest, not below 90 mmHg"),
        );
    }
    let long = look.test(seen.low_for(), |span| span.is_at_least(HALF_HOUR));
    let sustained = long.clone().or(look.answer(seen.pressure_support()));
    let clause = format_args!("systolic pressure of {systolic} at its lowest");
    if sustained.is_unknown() {
        let more = format!("Hypotension of {systolic}; whether it was sustained is open.");
        look.undecided(sustained.inputs().collect(), Some(more))
    } else if sustained.is_yes() {
        let how = if long.is_yes() { "for 30 min or more" } else { "needing support" };
        look.met("sustained", "sustained hypotension", format_args!("{clause}, {how}"))
    } else {
        look.met(
            "transient",
            "hypotension, not sustained",
            format_args!("{clause}, below 30 min and without support"),
        )
    }
}
