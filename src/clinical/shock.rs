//! SCAI shock stage: the judged letter, or a suggestion.

use super::answer::Judgement;
use super::choices::Choices;
use super::definition::{Assess, Definition, Section, Source};
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
    assess: Assess::Case(assess),
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

fn assess(facts: &Facts, _: &Choices) -> Finding {
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
            look.note(format_args!("What is recorded suggests stage {}.", stage.slug()));
        }
        return look.met(
            judged.slug(),
            format_args!("SCAI stage {}, as judged", judged.slug()),
            format_args!("a clinician judged stage {}", judged.label()),
        );
    }
    match suggested {
        Ok((stage, clause)) => {
            look.note("A suggestion. A clinician judges the stage.");
            look.met(stage.slug(), format_args!("SCAI stage {}, suggested", stage.slug()), clause)
        }
        Err(open) => look.open(&open),
    }
}

/// A stage with its clause, or what it lacks.
type Suggestion = Result<(ShockStage, &'static str), Judgement>;

/// The stage that what is recorded suggests.
fn suggest(seen: &CirculationFacts, look: &mut Look) -> Suggestion {
    let acid = look.value(seen.lactate());
    let extreme = [
        ("arrest, going on or about to happen", look.answer(seen.arrest())),
        ("maximal support", look.answer(seen.maximal_support())),
        (
            "lactate of 8 mmol/L or more",
            Judgement::test(&CirculationFacts::LACTATE, acid, |value| value.is_at_least(lactate(8))),
        ),
        ("pH of 7.2 or below", look.test(seen.acidity(), |value| !value.is_above(ACIDOSIS))),
    ];
    let hypoperfused = Judgement::any([
        Judgement::test(&CirculationFacts::LACTATE, acid, |value| value.is_at_least(lactate(2))),
        look.answer(seen.cold()),
        look.answer(seen.low_urine()),
    ]);
    let drugs = look.value(seen.drugs());
    let device = look.answer(seen.device());
    let supported =
        Judgement::test(&CirculationFacts::DRUGS, drugs, |drugs| drugs.is_at_least(count(1))).or(device);
    let several = Judgement::test(&CirculationFacts::DRUGS, drugs, |drugs| drugs.is_at_least(count(2)));
    let worsening = look.answer(seen.worsening());
    let got_worse = worsening.is_yes();
    let low = Judgement::any([
        look.test(seen.systolic(), is_hypotensive),
        look.test(seen.mean(), |mean| mean.is_below(mmhg(60))),
        look.test(seen.fall(), |fall| fall.is_above(mmhg(30))),
    ]);
    let fast = look.test(seen.pulse(), |pulse| pulse.is_at_least(FAST));

    if let Some((clause, _)) = extreme.iter().find(|(_, clause)| clause.is_yes()) {
        return Ok((ShockStage::E, clause));
    }
    let classic = hypoperfused.clone().and(supported);
    settled(Judgement::any(extreme.map(|(_, clause)| clause)))?;
    if settled(classic.clone().and(worsening.or(several)))? {
        let clause = if got_worse {
            "hypoperfusion that got worse or failed the first treatment"
        } else {
            "hypoperfusion that needs several drugs at once"
        };
        return Ok((ShockStage::D, clause));
    }
    if settled(classic)? {
        return Ok((ShockStage::C, "hypoperfusion that needs a drug or a device"));
    }
    without_support(&hypoperfused, low, fast)
}

fn without_support(hypoperfused: &Judgement, low: Judgement, fast: Judgement) -> Suggestion {
    if hypoperfused.is_yes() {
        return Err(Judgement::open(
            "Hypoperfusion without a drug or device fits none of the stages by itself.",
        ));
    }
    let clause = match (low.is_yes(), fast.is_yes()) {
        (true, true) => "hypotension and tachycardia without hypoperfusion",
        (true, false) => "hypotension without hypoperfusion",
        _ => "tachycardia without hypoperfusion",
    };
    let unstable = settled(low.or(fast))?;
    Ok(if unstable { (ShockStage::B, clause) } else { (ShockStage::A, "no sign of shock") })
}

/// Whether a clause holds; stops where it is not known.
fn settled(clause: Judgement) -> Result<bool, Judgement> {
    if clause.is_unknown() { Err(clause) } else { Ok(clause.is_yes()) }
}
