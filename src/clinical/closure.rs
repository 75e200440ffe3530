//! Acute vessel closure.

use super::choices::Choices;
use super::definition::{Assess, Definition, Section, Source};
use super::facts::{Facts, Row, VesselFacts};
use super::finding::Finding;
use super::look::{Look, only_missing};
use crate::quantity::TimiFlow;

/// Acute (abrupt) vessel closure.
pub const DEFINITION: Definition = Definition {
    slug: "vessel-closure",
    name: "Acute vessel closure",
    section: Section::Closure,
    rule: "In a vessel being treated, flow falls to TIMI 0 to 1 from TIMI 2 to 3 before. A start at TIMI 1 counts only \
           if it falls to 0. Sustained: still closed on leaving the laboratory. Transient: back to TIMI 2 to 3 before.",
    boundaries: "A vessel that was at TIMI 0 before was closed already. A fall to TIMI 2 is impaired flow, not closure.",
    sources: &[Source::read(
        "“Abrupt closure during coronary intervention”, WikiDoc",
        "the rule, sustained and transient",
    )],
    inputs: &[VesselFacts::TREATED, VesselFacts::BEFORE, VesselFacts::WORST, VesselFacts::LEAVING],
    choices: &[],
    assess: Assess::Rows(assess),
};

fn assess(facts: &Facts, _: &Choices) -> Vec<Finding> {
    facts.vessels.iter().map(judge).collect()
}

fn judge(row: &Row<VesselFacts>) -> Finding {
    const NO: &str = "no vessel closure";
    let vessel = &row.facts;
    let mut look = Look::at(&DEFINITION, &row.subject);
    let treated = look.answer(vessel.treated());
    let worst = look.value(vessel.worst());
    let before = look.value(vessel.before());
    if treated.is_no() {
        return look.not_met(NO, "the vessel was not being treated");
    }
    match (before, worst) {
        (_, Some(worst)) if !worst.is_lost() => {
            return look.not_met(NO, format_args!("flow was never below TIMI 2; at worst it was {worst}"));
        }
        (Some(before), _) if before.grade() == 0 => {
            return look.not_met(NO, "the vessel was closed already, at TIMI 0 before");
        }
        (Some(before), Some(worst)) if before.grade() == 1 && worst.grade() == 1 => {
            return look.not_met(NO, "flow was TIMI 1 before and did not fall to 0");
        }
        _ => {}
    }
    let (Some(before), Some(worst)) = (before, worst) else {
        return look.lacking(only_missing([
            (&VesselFacts::TREATED, treated.is_unknown()),
            (&VesselFacts::BEFORE, before.is_none()),
            (&VesselFacts::WORST, worst.is_none()),
        ]));
    };
    if treated.is_unknown() {
        return look.open(&treated);
    }
    closed(look, vessel, before, worst)
}

fn closed(mut look: Look, vessel: &VesselFacts, before: TimiFlow, worst: TimiFlow) -> Finding {
    let fell = format_args!("flow fell from {before} to {worst}");
    match look.value(vessel.leaving()) {
        Some(leaving) if leaving.is_lost() => look.met(
            "sustained",
            "vessel closure, sustained",
            format_args!("{fell} and was {leaving} on leaving the laboratory"),
        ),
        Some(leaving) => look.met(
            "transient",
            "vessel closure, transient",
            format_args!("{fell} and was back at {leaving} on leaving the laboratory"),
        ),
        None => {
            look.note("Flow on leaving is not recorded, so that nothing says whether it was sustained.");
            look.met("closure", "vessel closure", fell)
        }
    }
}
