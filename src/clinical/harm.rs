//! Degree of harm.

use super::answer::Judgement;
use super::choices::Choices;
use super::definition::{Assess, Definition, Section, Source};
use super::facts::{Facts, HarmDegree, OutcomeFacts};
use super::finding::Finding;
use super::look::Look;

/// Degree of harm, WHO International Classification for Patient Safety.
pub const DEFINITION: Definition = Definition {
    slug: "harm",
    name: "Degree of harm",
    section: Section::Outcome,
    rule: "None: no symptom, no treatment. Mild: minor or short, observation or minor treatment. Moderate: intervention, a \
           longer stay, or lasting loss. Severe: life-saving or major intervention, a shorter life, or major lasting loss. \
           Death: brought about or forward by the event, on balance. The AHRQ scale has the same degrees.",
    boundaries: "The order is none, mild, moderate, severe, death. “Not known” stands outside the order and is counted apart. \
                 The degree as judged stands; where the description says otherwise, that is noted.",
    sources: &[
        Source::recalled(
            "WHO Conceptual Framework for the ICPS, version 1.1, 2009",
            "the wording of the degrees",
        ),
        Source::recalled("AHRQ harm scale", "the same degrees, and “unknown”"),
    ],
    inputs: &[
        OutcomeFacts::JUDGED,
        OutcomeFacts::DEATH,
        OutcomeFacts::DEATH_BY_EVENT,
        OutcomeFacts::MAJOR_HARM,
        OutcomeFacts::INTERVENTION,
        OutcomeFacts::MINOR_HARM,
    ],
    choices: &[],
    assess: Assess::Case(assess),
};

fn assess(facts: &Facts, _: &Choices) -> Finding {
    let outcome = &facts.outcome;
    let mut look = Look::at_case(&DEFINITION);
    let described = describe(outcome, &mut look);
    if let Some(judged) = look.value(outcome.judged()) {
        if let Ok(described) = described
            && described != judged
        {
            look.note(format_args!("The description fits “{}”. Check which is right.", described.label()));
        }
        return finish(look, judged, AS_JUDGED);
    }
    match described {
        Ok(degree) => finish(look, degree, DESCRIBED),
        Err(open) => look.open(&Judgement::missing(&OutcomeFacts::JUDGED).or(open)),
    }
}

fn describe(outcome: &OutcomeFacts, look: &mut Look) -> Result<HarmDegree, Judgement> {
    let steps = [
        (HarmDegree::Death, look.answer(outcome.death()).and(look.answer(outcome.death_by_event()))),
        (HarmDegree::Severe, look.answer(outcome.major_harm())),
        (HarmDegree::Moderate, look.answer(outcome.intervention())),
        (HarmDegree::Mild, look.answer(outcome.minor_harm())),
    ];
    for (degree, met) in steps {
        if met.is_yes() {
            return Ok(degree);
        }
        if met.is_unknown() {
            return Err(met);
        }
    }
    Ok(HarmDegree::None)
}

/// The clauses of the degrees, from none to death.
const DESCRIBED: [&str; 5] = [
    "no symptom and no treatment",
    "minor or short, with observation or minor treatment",
    "an intervention, a longer stay, or lasting loss",
    "a life-saving or major intervention, a shorter life, or major lasting loss",
    "the event brought death about or forward, on balance",
];

/// The same where a clinician judged.
const AS_JUDGED: [&str; 5] = [
    "as judged: no symptom and no treatment",
    "as judged: minor or short, with observation or minor treatment",
    "as judged: an intervention, a longer stay, or lasting loss",
    "as judged: a life-saving or major intervention, a shorter life, or major lasting loss",
    "as judged: the event brought death about or forward, on balance",
];

fn finish(
    look: Look,
    degree: HarmDegree,
    [none, mild, moderate, severe, death]: [&'static str; 5],
) -> Finding {
    match degree {
        HarmDegree::None => look.met("none", "no harm", none),
        HarmDegree::Mild => look.met("mild", "mild harm", mild),
        HarmDegree::Moderate => look.met("moderate", "moderate harm", moderate),
        HarmDegree::Severe => look.met("severe", "severe harm", severe),
        HarmDegree::Death => look.met("death", "death", death),
    }
}
