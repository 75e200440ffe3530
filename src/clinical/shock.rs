//! SCAI shock stage: the judged letter, or a suggestion.

use super::answer::Judgement;
use super::choices::Choices;
use super::definition::{Definition, Section, Source};
use super::facts::{CirculationFacts, Facts, ShockStage};
use super::finding::Finding;
use super::look::Look;
use super::quantities::{
    Acidity, AcidityUnit, Count, CountUnit, Decimal, HeartRate, Lactate, LactateUnit, Measured, Pressure,
    PressureUnit, RateUnit,
};

/// SCAI shock stage, 2022.
pub const DEFINITION: Definition = Definition {
    slug: "shock-stage",
    name: "SCAI shock stage",
    section: Section::Circulation,
    rule: "A: at risk, no sign of shock. B: systolic below 90, mean below 60 or a fall of more than 30 mmHg, or a pulse of \
           100 or more, without hypoperfusion and with normal lactate. C: hypoperfusion (lactate of 2 mmol/L or more, cold, \
           urine below 30 mL/h) that needs a drug or device beyond fluid. D: C that gets worse or fails the first \
           treatment; several or escalating drugs or devices. E: actual or impending arrest, maximal support, lactate of \
           8 or more, or pH of 7.2 or below. Arrest with coma is added as (A).",
    boundaries: "A stage is a clinician's judgement. Where none is recorded, a suggestion is given and called so. Lactate of \
                 exactly 2 is hypoperfusion, of 8 stage E; pH of exactly 7.2 is stage E; systolic of exactly 90 is not low.",
    sources: &[Source::read_in(
        "Naidu et al., J Am Coll Cardiol 2022;79:933",
        "the table in PMC9381657",
        "the stages",
    )],
    inputs: &[
        CirculationFacts::JUDGED,
        CirculationFacts::SYSTOLIC,
        CirculationFacts::MEAN,
        CirculationFacts::FALL,
        CirculationFacts::PULSE,
        CirculationFacts::LACTATE,
        CirculationFacts::ACIDITY,
        CirculationFacts::COLD,
        CirculationFacts::LOW_URINE,
        CirculationFacts::DRUGS,
        CirculationFacts::DEVICE,
        CirculationFacts::WORSENING,
        CirculationFacts::ARREST,
        CirculationFacts::MAXIMAL_SUPPORT,
        CirculationFacts::COMA,
    ],
    choices: &[],
    assess,
};

const fn mmhg(number: i64) -> Pressure {
    Measured::limit(Decimal::whole(number), PressureUnit::MmHg)
}
const fn lactate(number: i64) -> Lactate {
    Measured::limit(Decimal::whole(number), LactateUnit::MmolPerL)
}
const fn count(number: i64) -> Count {
    Measured::limit(Decimal::whole(number), CountUnit::Each)
}
const FAST: HeartRate = Measured::limit(Decimal::whole(100), RateUnit::PerMinute);
const ACIDOSIS: Acidity = Measured::limit(Decimal::thousandths(7_200), AcidityUnit::Ph);

/// Whether systolic pressure is low.
pub(super) fn is_hypotensive(systolic: Pressure) -> bool {
    systolic.is_below(mmhg(90))
}

fn assess(facts: &Facts, _: &Choices) -> Vec<Finding> {
    let seen = &facts.circulation;
    let mut look = Look::at_case(&DEFINITION);
    let suggested = suggest(seen, &mut look);
    if look.answer(seen.coma()).is_yes() {
        look.note("Arrest with coma: write the modifier (A) beside the stage.");
    }
    if let Some(judged) = look.value(seen.judged()) {
        if let Ok((stage, _)) = &suggested
            && *stage != judged
        {
            look.note(format!("What is recorded suggests stage {}.", stage.slug()));
        }
        return vec![look.met(
            judged.slug(),
            format!("SCAI stage {}, as judged", judged.slug()),
            format!("a clinician judged stage {}", judged.label()),
        )];
    }
    vec![match suggested {
        Ok((stage, clause)) => {
            look.note("A suggestion. A clinician judges the stage.");
            look.met(stage.slug(), format!("SCAI stage {}, suggested", stage.slug()), clause)
        }
        Err(open) => look.open(&open),
    }]
}

/// The stage that what is recorded suggests, or what it lacks.
fn suggest(seen: &CirculationFacts, look: &mut Look) -> Result<(ShockStage, &'static str), Judgement> {
    let acid = look.value(seen.lactate());
    let extreme = Judgement::any([
        look.answer(seen.arrest()),
        look.answer(seen.maximal_support()),
        Judgement::test(CirculationFacts::LACTATE, acid, |value| value.is_at_least(lactate(8))),
        look.test(seen.acidity(), |value| !value.is_above(ACIDOSIS)),
    ]);
    let hypoperfused = Judgement::any([
        Judgement::test(CirculationFacts::LACTATE, acid, |value| value.is_at_least(lactate(2))),
        look.answer(seen.cold()),
        look.answer(seen.low_urine()),
    ]);
    let drugs = look.value(seen.drugs());
    let device = look.answer(seen.device());
    let supported =
        Judgement::test(CirculationFacts::DRUGS, drugs, |drugs| drugs.is_at_least(count(1))).or(device);
    let several = Judgement::test(CirculationFacts::DRUGS, drugs, |drugs| drugs.is_at_least(count(2)));
    let worse = look.answer(seen.worsening()).or(several);
    let unstable = Judgement::any([
        look.test(seen.systolic(), is_hypotensive),
        look.test(seen.mean(), |mean| mean.is_below(mmhg(60))),
        look.test(seen.fall(), |fall| fall.is_above(mmhg(30))),
        look.test(seen.pulse(), |pulse| pulse.is_at_least(FAST)),
    ]);

    let classic = hypoperfused.clone().and(supported.clone());
    settle(
        extreme,
        || Ok((ShockStage::E, "arrest, maximal support, lactate of 8 or more, or pH of 7.2 or below")),
        || {
            let deteriorating = classic.clone().and(worse);
            settle(
                deteriorating,
                || Ok((ShockStage::D, "hypoperfusion that gets worse or needs several treatments")),
                || {
                    settle(
                        classic,
                        || Ok((ShockStage::C, "hypoperfusion that needs a drug or a device")),
                        || without_support(hypoperfused, unstable),
                    )
                },
            )
        },
    )
}

fn without_support(
    hypoperfused: Judgement,
    unstable: Judgement,
) -> Result<(ShockStage, &'static str), Judgement> {
    if hypoperfused.is_yes() {
        return Err(Judgement::open(
            "Hypoperfusion without a drug or device fits none of the stages by itself.",
        ));
    }
    settle(
        unstable,
        || Ok((ShockStage::B, "hypotension or tachycardia without hypoperfusion")),
        || Ok((ShockStage::A, "no sign of shock")),
    )
}

/// Takes one way on yes, another on no, and stops where it is not known.
fn settle<T>(
    clause: Judgement,
    on_yes: impl FnOnce() -> Result<T, Judgement>,
    on_no: impl FnOnce() -> Result<T, Judgement>,
) -> Result<T, Judgement> {
    if clause.is_yes() {
        on_yes()
    } else if clause.is_no() {
        on_no()
    } else {
        Err(clause)
    }
}
