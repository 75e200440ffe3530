//! Slow flow and no-reflow.

use std::fmt;

use super::answer::Judgement;
use super::blush;
use super::choices::{Choices, NoReflowRule};
use super::definition::{Assess, Definition, Section, Source};
use super::facts::{Facts, Row, VesselFacts};
use super::finding::Finding;
use super::look::Look;
use crate::quantity::TimiFlow;

/// Slow flow and no-reflow.
pub const DEFINITION: Definition = Definition {
    slug: "no-reflow",
    name: "No-reflow",
    section: Section::NoReflow,
    rule: "Flow of TIMI 2 or less in the treated vessel while the lesion is open and no mechanical cause is seen: \
           dissection, thrombus, spasm, residual stenosis, embolic cut-off, air, damping by the catheter. TIMI 0 to 1 \
           is no-reflow, TIMI 2 slow flow. Transient when flow is TIMI 3 at the end, persistent when it is not. A \
           wider rule of research also counts TIMI 3 with a blush grade of 0 to 1.",
    boundaries: "TIMI 3 is neither by the rule of flow. Any mechanical cause that was seen makes it that cause and not \
                 no-reflow; a cause that nobody excluded leaves it open. While nothing is said of a cause, whether the \
                 lesion was open is asked first: in a lesion that was not, there is no no-reflow.",
    sources: &[
        Source::read("Alidoosti et al., J Tehran Heart Cent", "TIMI of 2 or less as the rule"),
        Source::read("Kim et al., Korean Circ J 2016;46:490", "the same, and transient against persistent"),
        Source::read(
            "“Predictors of no-reflow in primary PCI”, Egypt Heart J 2018;70:421",
            "the wider rule with blush",
        ),
        Source::recalled(
            "common practice",
            "TIMI 0 to 1 as no-reflow and TIMI 2 as slow flow; papers use the words differently",
        ),
    ],
    inputs: &[
        VesselFacts::TREATED,
        VesselFacts::WORST,
        VesselFacts::LEAVING,
        VesselFacts::LESION_OPEN,
        VesselFacts::DISSECTION,
        VesselFacts::THROMBUS,
        VesselFacts::SPASM,
        VesselFacts::RESIDUAL_STENOSIS,
        VesselFacts::CUT_OFF,
        VesselFacts::AIR,
        VesselFacts::DAMPING,
        VesselFacts::BLUSH,
        VesselFacts::STAIN_PERSISTS,
    ],
    choices: &["no-reflow"],
    assess: Assess::Rows(assess),
};

fn assess(facts: &Facts, choices: &Choices) -> Vec<Finding> {
    facts.vessels.iter().map(|row| judge(row, choices)).collect()
}

fn judge(row: &Row<VesselFacts>, choices: &Choices) -> Finding {
    const NO: &str = "neither slow flow nor no-reflow";
    let vessel = &row.facts;
    let mut look = Look::at(&DEFINITION, &row.subject);
    let rule = look.choose(choices.no_reflow);
    let worst = look.value(vessel.worst());
    let low = Judgement::test(&VesselFacts::WORST, worst, |flow| flow.grade() <= 2);
    let pale = look_at_blush(&mut look, vessel, rule);
    let low = low.or(pale);
    if low.is_no() {
        return look.not_met(NO, "flow was never below TIMI 3");
    }
    let treated = look.answer(vessel.treated());
    if treated.is_no() {
        return look.not_met(NO, "the vessel was not being treated");
    }
    let open = look.answer(vessel.lesion_open());
    if open.is_no() {
        return look.not_met(NO, "the lesion was not open");
    }
    let cause = look_for_cause(&mut look, vessel);
    if let Some((name, _)) = cause.iter().find(|(_, clause)| clause.is_yes()) {
        return look.not_met(NO, *name);
    }
    if open.is_unknown() && cause.iter().all(|(_, clause)| clause.is_unknown()) {
        return look.open(&Judgement::all([low, treated, open]));
    }
    let excluded = Judgement::any(cause.map(|(_, clause)| clause)).negated();
    let met = Judgement::all([low, treated, open, excluded.clone()]);
    match worst {
        Some(worst) if met.is_yes() => grade(look, worst, vessel, rule),
        None if met.is_yes() => look.lacking([&VesselFacts::WORST]),
        _ => {
            let more = excluded.is_unknown().then(|| "A mechanical cause is not excluded.".to_owned());
            look.undecided(met.inputs().collect(), more)
        }
    }
}

/// Whether blush alone makes it no-reflow, by the wider rule.
fn look_at_blush(look: &mut Look, vessel: &VesselFacts, rule: NoReflowRule) -> Judgement {
    if rule != NoReflowRule::FlowOrBlush {
        return Judgement::known(false);
    }
    look.value(vessel.blush());
    look.answer(vessel.stain_persists());
    Judgement::test(&VesselFacts::BLUSH, blush::grade_of(vessel), |grade| grade <= 1)
}

/// What else explains the flow: the clause that says so, and whether it was seen.
fn look_for_cause(look: &mut Look, vessel: &VesselFacts) -> [(&'static str, Judgement); 7] {
    [
        ("a dissection was seen, which explains the flow", look.answer(vessel.dissection())),
        ("a thrombus was seen, which explains the flow", look.answer(vessel.thrombus())),
        ("spasm was seen, which explains the flow", look.answer(vessel.spasm())),
        ("a residual stenosis was seen, which explains the flow", look.answer(vessel.residual_stenosis())),
        ("an embolic cut-off was seen, which explains the flow", look.answer(vessel.cut_off())),
        ("air was seen, which explains the flow", look.answer(vessel.air())),
        ("damping by the catheter was seen, which explains the flow", look.answer(vessel.damping())),
    ]
}

fn grade(mut look: Look, worst: TimiFlow, vessel: &VesselFacts, rule: NoReflowRule) -> Finding {
    if worst.grade() == 3 {
        return look.met(
            "no-reflow",
            "no-reflow by blush",
            "TIMI 3, but a blush grade of 0 to 1, with no mechanical cause seen",
        );
    }
    let leaving = look.value(vessel.leaving());
    let end = fmt::from_fn(|f| match leaving {
        Some(flow) => write!(f, "{flow}"),
        None => f.write_str("flow not recorded"),
    });
    let clause = format_args!(
        "{worst} at worst with the lesion open and no mechanical cause seen, and {end} on leaving"
    );
    let is_slow = worst.grade() == 2 && rule == NoReflowRule::FlowSplit;
    let code = if is_slow { "slow-flow" } else { "no-reflow" };
    let label = match (leaving.map(TimiFlow::grade), is_slow) {
        (None, true) => "slow flow",
        (None, false) => "no-reflow",
        (Some(3), true) => "slow flow, transient",
        (Some(3), false) => "no-reflow, transient",
        (Some(_), true) => "slow flow, persistent",
        (Some(_), false) => "no-reflow, persistent",
    };
    if leaving.is_none() {
        look.note("Flow on leaving is not recorded, so that nothing says whether it was transient.");
    }
    look.met(code, label, clause)
}
