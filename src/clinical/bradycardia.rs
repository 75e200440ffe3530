//! Bradycardia.

use super::choices::Choices;
use super::definition::{Definition, Section, Source};
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
    assess,
};

const SLOW: HeartRate = Measured::limit(Decimal::whole(50), RateUnit::PerMinute);

fn assess(facts: &Facts, _: &Choices) -> Vec<Finding> {
    const NO: &str = "no bradycardia";
    let mut look = Look::at_case(&DEFINITION);
    let slow = look.test(facts.rhythm.slowest(), |rate| rate.is_below(SLOW));
    let treated = look.answer(facts.rhythm.slow_treated());
    let met = slow.clone().and(treated);
    let rate = facts.rhythm.slowest.map_or_else(String::new, |rate| format!("a heart rate of {rate}"));
    vec![if met.is_unknown() {
        look.open(&met)
    } else if met.is_yes() {
        look.met("bradycardia", "bradycardia", format!("{rate}, treated with a drug or pacing"))
    } else if slow.is_no() {
        look.not_met(NO, format!("{rate}, not below 50/min"))
    } else {
        look.not_met(NO, "a slow rhythm that needed neither a drug nor pacing")
    }]
}
