//! Stroke and transient ischaemic attack.

use std::fmt;

use super::answer::Judgement;
use super::choices::{Choices, StrokeRule};
use super::definition::{Assess, Definition, Section, Source};
use super::facts::{Facts, NeurologyFacts};
use super::finding::Finding;
use super::look::Look;
use super::quantities::{Decimal, Measured, Span, SpanUnit};

/// Stroke and transient ischaemic attack.
pub const DEFINITION: Definition = Definition {
    slug: "stroke",
    name: "Stroke",
    section: Section::Other,
    rule: "Stroke: a focal or global deficit of 24 h or more, or of any length with a lesion on imaging. TIA: a deficit of \
           less than 24 h without a lesion. Registries differ; one counts a deficit of more than 72 h.",
    boundaries: "24 h is a stroke. By the rule of 72 h, 72 h is not one yet, and imaging is not asked for.",
    sources: &[
        Source::recalled("common definition", "24 h, imaging"),
        Source::read("Aggarwal et al., Am J Cardiol 2009;104:349", "more than 72 h"),
    ],
    inputs: &[NeurologyFacts::DEFICIT, NeurologyFacts::LASTED, NeurologyFacts::LESION],
    choices: &["stroke"],
    assess: Assess::Case(assess),
};

const DAY: Span = Measured::limit(Decimal::whole(24), SpanUnit::Hours);
const THREE_DAYS: Span = Measured::limit(Decimal::whole(72), SpanUnit::Hours);

fn assess(facts: &Facts, choices: &Choices) -> Finding {
    const NO: &str = "no stroke";
    let seen = &facts.neurology;
    let mut look = Look::at_case(&DEFINITION);
    let rule = look.choose(choices.stroke);
    let deficit = look.answer(seen.deficit());
    let lasted = look.value(seen.lasted());
    let lesion = look.answer(seen.lesion());
    let long = Judgement::test(&NeurologyFacts::LASTED, lasted, |lasted| match rule {
        StrokeRule::Day => lasted.is_at_least(DAY),
        StrokeRule::ThreeDays => lasted.is_above(THREE_DAYS),
    });
    let lasting = match rule {
        StrokeRule::Day => long.clone().or(lesion.clone()),
        StrokeRule::ThreeDays => long,
    };
    let stroke = deficit.clone().and(lasting.clone());
    let span = fmt::from_fn(|f| match lasted {
        Some(lasted) => write!(f, "a deficit of {lasted}"),
        None => f.write_str("a deficit"),
    });
    if stroke.is_unknown() {
        look.open(&stroke)
    } else if stroke.is_yes() {
        let with = if lesion.is_yes() { ", with a lesion on imaging" } else { "" };
        look.met("stroke", "stroke", format_args!("{span}{with}"))
    } else if deficit.is_no() {
        look.not_met(NO, "no neurological deficit")
    } else if rule == StrokeRule::Day && deficit.is_unknown() {
        // Short and without a lesion is no stroke; whether it is a TIA depends on the deficit.
        look.open(&deficit)
    } else if rule == StrokeRule::Day {
        look.met(
            "TIA",
            "transient ischaemic attack",
            format_args!("{span}, below 24 h and without a lesion on imaging"),
        )
    } else {
        look.not_met(NO, format_args!("{span}, not more than 72 h"))
    }
}
