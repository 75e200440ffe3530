//! Bradycardia.

use super::choices::Choices;
use super::definition::{Assess, Definition, Section, Source};
use super::facts::{Facts, RhythmFacts};
use super::finding::Finding;
use super::look::Look;
use super::quantities::{Decimal, HeartRate, Measured, RateUnit};

/// Bradycardia.
pub const DEFINITION: Definition = Definition {
    slug: "bradycardia",
    name: "Bradycardia",
    section: Section::Circulation,
    rule: "A heart rate below 50/min that needs a drug or pacing.",
    boundaries: "50/min does not count, 49/min does. A slow rhythm that nobody had to treat does not count.",
    sources: &[Source::recalled("common definition", "the rule")],
    inputs: &[RhythmFacts::SLOWEST, RhythmFacts::SLOW_TREATED],
    choices: &[],
    assess: Assess::Case(assess),
};

const SLOW: HeartRate = Measured::limit(Decimal::whole(50), RateUnit::PerMinute);

fn assess(facts: &Facts, _: &Choices) -> Finding {
    const NO: &str = "no bradycardia";
    let mut look = Look::at_case(&DEFINITION);
    let slow = look.test(facts.rhythm.slowest(), |rate| rate.is_below(SLOW));
    let treated = look.answer(facts.rhythm.slow_treated());
    let met = slow.clone().and(treated);
    match facts.rhythm.slowest {
        Some(rate) if met.is_yes() => look.met(
            "bradycardia",
            "bradycardia",
            format_args!("a heart rate of {rate} at its slowest, treated with a drug or pacing"),
        ),
        Some(rate) if slow.is_no() => {
            look.not_met(NO, format_args!("a heart rate of {rate} at its slowest, not below 50/min"))
        }
        _ if met.is_no() => look.not_met(NO, "a slow rhythm that needed neither a drug nor pacing"),
        _ => look.open(&met),
    }
}
