//! Threatened closure.

use super::answer::Judgement;
use super::choices::Choices;
use super::definition::{Assess, Definition, Section, Source};
use super::facts::{Facts, Row, VesselFacts};
use super::finding::Finding;
use super::look::{Look, write};
use super::quantities::{Decimal, Measured, Percent, PercentUnit};

/// Threatened closure.
pub const DEFINITION: Definition = Definition {
    slug: "threatened-closure",
    name: "Threatened closure",
    section: Section::Closure,
    rule: "Dissection or thrombus in a treated vessel that is not closed, with a residual stenosis of 50 % or more or \
           flow of TIMI 2 or less. There is no single rule; this is a common form of it.",
    boundaries: "50 % counts, 49 % does not. TIMI 0 to 1 is closure and not a threat of it.",
    sources: &[
        Source::recalled("common practice", "the rule; no single publication settles it"),
        Source::own("TIMI 0 to 1 counts as closure"),
    ],
    inputs: &[
        VesselFacts::TREATED,
        VesselFacts::DISSECTION,
        VesselFacts::THROMBUS,
        VesselFacts::RESIDUAL_PERCENT,
        VesselFacts::WORST,
    ],
    choices: &[],
    assess: Assess::Rows(assess),
};

const HALF: Percent = Measured::limit(Decimal::whole(50), PercentUnit::Percent);

fn assess(facts: &Facts, _: &Choices) -> Vec<Finding> {
    facts.vessels.iter().map(judge).collect()
}

fn judge(row: &Row<VesselFacts>) -> Finding {
    const NO: &str = "no threatened closure";
    let vessel = &row.facts;
    let mut look = Look::at(&DEFINITION, &row.subject);
    let treated = look.answer(vessel.treated());
    let worst = look.value(vessel.worst());
    let (tear, clot) = (look.answer(vessel.dissection()), look.answer(vessel.thrombus()));
    let what = match (tear.is_yes(), clot.is_yes()) {
        (true, true) => "a dissection and a thrombus",
        (true, false) => "a dissection",
        _ => "a thrombus",
    };
    let cause = tear.or(clot);
    let residual = look.value(vessel.residual_percent());
    let narrow =
        Judgement::test(&VesselFacts::RESIDUAL_PERCENT, residual, |percent| percent.is_at_least(HALF));
    let slow = Judgement::test(&VesselFacts::WORST, worst, |flow| flow.grade() == 2);
    let not_closed = Judgement::test(&VesselFacts::WORST, worst, |flow| !flow.is_lost());
    let met =
        Judgement::all([treated.clone(), cause.clone(), not_closed.clone(), narrow.clone().or(slow.clone())]);
    if met.is_unknown() {
        return look.open(&met);
    }
    if met.is_no() {
        let clause = if treated.is_no() {
            "the vessel was not being treated"
        } else if cause.is_no() {
            "neither dissection nor thrombus was seen"
        } else if not_closed.is_no() {
            "the vessel closed"
        } else {
            "the residual stenosis was below 50 % and flow was TIMI 3"
        };
        return look.not_met(NO, clause);
    }
    let clause = match residual.filter(|_| narrow.is_yes()) {
        Some(percent) if slow.is_yes() => {
            write(format_args!("{what}, with flow of TIMI 2 and a residual stenosis of {percent}"))
        }
        Some(percent) => write(format_args!("{what}, with a residual stenosis of {percent}")),
        None => write(format_args!("{what}, with flow of TIMI 2")),
    };
    look.met("threatened", "threatened closure", clause)
}
