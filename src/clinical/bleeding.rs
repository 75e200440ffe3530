//! Bleeding by the Bleeding Academic Research Consortium.

use std::fmt;

use super::answer::Judgement;
use super::choices::Choices;
use super::definition::{Assess, Definition, Section, Source};
use super::facts::{BleedingFacts, Facts, LabFacts, ProcedureFacts, split};
use super::finding::Finding;
use super::look::{Look, Text, only_missing, write};
use super::quantities::{
    Decimal, Haemoglobin, HaemoglobinUnit, Measured, RedCellUnit, Unit, Volume, VolumeUnit,
};

/// Bleeding, BARC types.
///
/// # Formula
/// ```text
/// fall, g/dL = haemoglobin before − lowest + units of red cells or whole blood given before the lowest
/// ```
pub const DEFINITION: Definition = Definition {
    slug: "bleeding-barc",
    name: "Bleeding, BARC type",
    section: Section::Bleeding,
    rule: "0: none. 1: not actionable, and nobody sought unscheduled care for it. 2: overt and actionable, below 3 to 5, with at least one of a non-surgical \
           intervention, admission or a higher level of care, prompted evaluation. 3a: overt with a fall of haemoglobin \
           of 3 to below 5 g/dL, or any transfusion with overt bleeding. 3b: overt with a fall of 5 g/dL or more; \
           tamponade; surgical control (not dental, nasal, skin, haemorrhoid); intravenous vasoactive drug. 3c: \
           intracranial (not microbleeds or haemorrhagic transformation) or intraspinal; into the eye with loss of vision. 4, after bypass surgery: intracranial within \
           48 h; re-opening of the sternum; 5 units or more in 48 h; drain of 2 L or more in 24 h. 5a: fatal, \
           probable, suspected and not proved. 5b: fatal, definite, overt or proved by autopsy or imaging. The highest type \
           counts. The fall is corrected: one unit of red cells or whole blood given before the lowest value is 1 g/dL.",
    boundaries: "A corrected fall of 3.0 is 3a, of 5.0 is 3b; 2.9 is neither. Without overt bleeding a fall of haemoglobin \
                 does not count. A bleed of bypass surgery that meets no item of type 4 is not scored. A higher type that is \
                 not excluded leaves the type open. While nothing is said of bleeding, overt bleeding alone is asked for. One copy (PMC7408729) misprints 3b as “<5”.",
    sources: &[
        Source::read_in(
            "Mehran et al., Circulation 2011;123:2736",
            "tables in Crit Care (cc12764) and Blood (ashpublications 8436409)",
            "the types and the correction",
        ),
        Source::recalled("common conversion", "1 mmol/L of haemoglobin is 1.611 g/dL"),
    ],
    inputs: &[
        ProcedureFacts::STARTED,
        BleedingFacts::OVERT,
        LabFacts::HAEMOGLOBIN_BEFORE,
        LabFacts::HAEMOGLOBIN_AFTER,
        BleedingFacts::UNITS_BEFORE_NADIR,
        BleedingFacts::TRANSFUSED,
        BleedingFacts::INTERVENTION,
        BleedingFacts::HIGHER_CARE,
        BleedingFacts::EVALUATION,
        BleedingFacts::TAMPONADE,
        BleedingFacts::SURGERY,
        BleedingFacts::VASOACTIVE,
        BleedingFacts::INTRACRANIAL,
        BleedingFacts::VISION_LOSS,
        BleedingFacts::BYPASS_RELATED,
        BleedingFacts::BYPASS_INTRACRANIAL,
        BleedingFacts::STERNUM_REOPENED,
        BleedingFacts::BYPASS_UNITS,
        BleedingFacts::DRAIN,
        BleedingFacts::FATAL,
        BleedingFacts::FATAL_PROVED,
    ],
    choices: &[],
    assess: Assess::Case(assess),
};

const DRAIN_LIMIT: Volume = Measured::limit(Decimal::whole(2_000), VolumeUnit::Ml);
const UNITS_LIMIT: Measured<RedCellUnit> = Measured::limit(Decimal::whole(5), RedCellUnit::Units);
const NO: &str = "no BARC bleeding";

/// The fall of haemoglobin corrected for transfusion, in exact parts of a g/dL.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct CorrectedFall(i128);

impl CorrectedFall {
    /// Parts in one g/dL.
    const G_PER_DL: i128 = HaemoglobinUnit::DENOMINATOR * Decimal::SCALE as i128;

    /// The fall from a value to a lower one, with so many units given in between.
    #[must_use]
    pub fn of(before: Haemoglobin, lowest: Haemoglobin, units: Measured<RedCellUnit>) -> Self {
        Self(before.exact() - lowest.exact() + units.value().wide() * HaemoglobinUnit::DENOMINATOR)
    }

    /// Whether it is so many g/dL or more.
    #[must_use]
    pub const fn is_at_least(self, g_per_dl: i128) -> bool {
        self.0 >= g_per_dl * Self::G_PER_DL
    }

    /// The fall for show, in g/dL.
    #[must_use]
    pub fn shown(self) -> impl fmt::Display {
        let fall = Decimal::quotient(self.0, Self::G_PER_DL).unwrap_or_default();
        // More than one decimal where they say that a limit is not reached.
        fmt::from_fn(move |f| {
            write!(f, "{} g/dL", fall.with_decimals_apart(1, &[Decimal::whole(3), Decimal::whole(5)]))
        })
    }
}

fn assess(facts: &Facts, _: &Choices) -> Finding {
    let mut look = Look::at_case(&DEFINITION);
    let bleed = &facts.bleeding;
    let overt = look.answer(bleed.overt());
    let fall = corrected_fall(facts, &mut look);
    // A haemoglobin alone asks whether anything bled before it asks how.
    if *bleed == BleedingFacts::default() {
        return look.open(&overt);
    }
    let types = [
        fatal(bleed, &mut look, true),
        fatal(bleed, &mut look, false),
        bypass(bleed, &mut look),
        intracranial(bleed, &mut look),
        major(bleed, &mut look, &overt, &fall),
        lesser(bleed, &mut look, &overt, &fall),
        actionable(bleed, &mut look, &overt),
    ];
    let related = look.answer(bleed.bypass_related());
    highest(look, types, &related, &overt, fall.ok())
}

/// One type: its code, the same with its scale, whether it is met, and why.
struct Type {
    code: &'static str,
    label: &'static str,
    met: Judgement,
    clause: Text,
}

/// The highest type that is met, when all above it are excluded.
fn highest(
    mut look: Look,
    types: [Type; 7],
    bypass_related: &Judgement,
    overt: &Judgement,
    fall: Option<CorrectedFall>,
) -> Finding {
    let first_met = types.iter().position(|one| one.met.is_yes());
    let first_open = types.iter().position(|one| one.met.is_unknown());
    let is_fatal_or_bypass = |index: Option<usize>| index.is_some_and(|index| index <= 2);
    if bypass_related.is_yes() && !is_fatal_or_bypass(first_met) && !is_fatal_or_bypass(first_open) {
        return look.not_met(NO, "a bleed of bypass surgery that meets no item of type 4 is not scored");
    }
    match (first_met, first_open) {
        (met, Some(open)) if met.is_none_or(|met| open < met) => {
            let least = met.and_then(|met| types.get(met)).map(|one| format!("At least {}.", one.label));
            let missing =
                Judgement::any(types.into_iter().take(met.unwrap_or(usize::MAX)).map(|one| one.met));
            look.undecided(missing.inputs().collect(), least)
        }
        (Some(met), _) => {
            let Some(one) = types.into_iter().nth(met) else {
                return look.no_rule("No type applies.");
            };
            look.met(one.code, one.label, one.clause)
        }
        (None, _) if overt.is_yes() => look.met(
            "1",
            "BARC 1",
            "overt bleeding that needed no intervention, no more care and no evaluation",
        ),
        (None, _) if overt.is_unknown() => look.open(overt),
        (None, _) => {
            if let Some(fall) = fall.filter(|fall| fall.is_at_least(3)) {
                look.note(format_args!(
                    "Haemoglobin fell by {} without overt bleeding; the rule needs overt bleeding. Look for another cause.",
                    fall.shown()
                ));
            }
            look.not_met(NO, "no overt bleeding")
        }
    }
}

/// The corrected fall, or what it lacks.
fn corrected_fall(facts: &Facts, look: &mut Look) -> Result<CorrectedFall, Judgement> {
    let cut = split(&facts.labs.haemoglobin, &facts.procedure);
    if cut.unplaced > 0 {
        look.note(
            "Haemoglobin was not used where nothing says whether it was before or after the procedure began.",
        );
    }
    let before = cut.before.last();
    let lowest = cut.after.iter().min_by_key(|sample| sample.value.exact());
    if let Some(before) = before {
        look.sample(&LabFacts::HAEMOGLOBIN_BEFORE, before, before.value.text());
    }
    if let Some(lowest) = lowest {
        look.sample(&LabFacts::HAEMOGLOBIN_AFTER, lowest, lowest.value.text());
    }
    let units = look.value(facts.bleeding.units_before_nadir());
    // Where nobody was transfused, no unit was given before the lowest value.
    let none_given =
        facts.bleeding.transfused.is_no().then_some(Measured::limit(Decimal::ZERO, RedCellUnit::Units));
    match (before, lowest, units.or(none_given)) {
        (Some(before), Some(lowest), Some(units)) => Ok(CorrectedFall::of(before.value, lowest.value, units)),
        (before, lowest, units) => Err(Judgement::lacking(only_missing([
            (&LabFacts::HAEMOGLOBIN_BEFORE, before.is_none()),
            (&LabFacts::HAEMOGLOBIN_AFTER, lowest.is_none()),
            (&BleedingFacts::UNITS_BEFORE_NADIR, units.is_none()),
        ]))),
    }
}

fn fell_by(fall: &Result<CorrectedFall, Judgement>, g_per_dl: i128) -> Judgement {
    fall.as_ref().map_or_else(Clone::clone, |fall| Judgement::known(fall.is_at_least(g_per_dl)))
}

fn by_the_fall(fall: &Result<CorrectedFall, Judgement>) -> Text {
    const FELL: &str = "overt bleeding with a corrected fall of haemoglobin";
    match fall {
        Ok(fall) => write(format_args!("{FELL} of {}", fall.shown())).into(),
        Err(_) => Text::Borrowed(FELL),
    }
}

fn fatal(bleed: &BleedingFacts, look: &mut Look, proved: bool) -> Type {
    let fatal = look.answer(bleed.fatal());
    let proof = look.answer(bleed.fatal_proved());
    if proved {
        let clause = "fatal, overt or proved by autopsy or imaging".into();
        return Type { code: "5b", label: "BARC 5b", met: fatal.and(proof), clause };
    }
    let clause = "fatal, suspected and not proved".into();
    Type { code: "5a", label: "BARC 5a", met: fatal.and(proof.negated()), clause }
}

fn bypass(bleed: &BleedingFacts, look: &mut Look) -> Type {
    let related = look.answer(bleed.bypass_related());
    let item = Judgement::any([
        look.answer(bleed.bypass_intracranial()),
        look.answer(bleed.sternum_reopened()),
        look.test(bleed.bypass_units(), |units| units.is_at_least(UNITS_LIMIT)),
        look.test(bleed.drain(), |drain| drain.is_at_least(DRAIN_LIMIT)),
    ]);
    let clause = "an item of bleeding after bypass surgery".into();
    Type { code: "4", label: "BARC 4", met: related.and(item), clause }
}

fn intracranial(bleed: &BleedingFacts, look: &mut Look) -> Type {
    let head = look.answer(bleed.intracranial());
    let clause = if head.is_yes() {
        "intracranial or intraspinal bleeding"
    } else {
        "bleeding into the eye with loss of vision"
    };
    let met = head.or(look.answer(bleed.vision_loss()));
    Type { code: "3c", label: "BARC 3c", met, clause: clause.into() }
}

fn major(
    bleed: &BleedingFacts,
    look: &mut Look,
    overt: &Judgement,
    fall: &Result<CorrectedFall, Judgement>,
) -> Type {
    let by_fall = overt.clone().and(fell_by(fall, 5));
    let others = [
        ("tamponade by bleeding", look.answer(bleed.tamponade())),
        ("surgical control of the bleeding", look.answer(bleed.surgery())),
        ("an intravenous vasoactive drug for bleeding", look.answer(bleed.vasoactive())),
    ];
    let named = others.iter().find(|(_, met)| met.is_yes()).map(|(name, _)| *name);
    let clause = if by_fall.is_yes() { by_the_fall(fall) } else { named.unwrap_or_default().into() };
    let met = by_fall.or(Judgement::any(others.map(|(_, met)| met)));
    Type { code: "3b", label: "BARC 3b", met, clause }
}

fn lesser(
    bleed: &BleedingFacts,
    look: &mut Look,
    overt: &Judgement,
    fall: &Result<CorrectedFall, Judgement>,
) -> Type {
    let by_fall = overt.clone().and(fell_by(fall, 3));
    let given = look.value(bleed.units_before_nadir()).is_some_and(|units| units.value() > Decimal::ZERO);
    let transfused = Judgement::known(given).or(look.answer(bleed.transfused()));
    let clause =
        if by_fall.is_yes() { by_the_fall(fall) } else { "overt bleeding with a transfusion".into() };
    let met = by_fall.or(overt.clone().and(transfused));
    Type { code: "3a", label: "BARC 3a", met, clause }
}

fn actionable(bleed: &BleedingFacts, look: &mut Look, overt: &Judgement) -> Type {
    let action = Judgement::any([
        look.answer(bleed.intervention()),
        look.answer(bleed.higher_care()),
        look.answer(bleed.evaluation()),
    ]);
    let clause = "overt bleeding that asked for an intervention, more care or an evaluation".into();
    Type { code: "2", label: "BARC 2", met: overt.clone().and(action), clause }
}
