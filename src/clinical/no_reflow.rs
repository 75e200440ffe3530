//! Slow flow and no-reflow.

use super::answer::Judgement;
use super::blush;
use super::choices::{Choices, NoReflowRule};
use super::definition::{Definition, Section, Source};
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
                 no-reflow; a cause that nobody excluded leaves it open.",
    sources: &[
        Source::read("Alidoosti et al., J Tehran Heart Cent", "TIMI of 2 or less as the rule"),
        Source::read("Kim et al., Korean Circ J 2016;46:490", "the same, and transient against persistent"),
        Source::read(
            "“Predictors of no-reflow in primary PCI”, Egypt Heart J 2018;70:421",
            "the wider rule with blush",
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
    assess,
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
    let low = Judgement::test(VesselFacts::WORST, worst, |flow| flow.grade() <= 2);
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
        return look.not_met(NO, format!("{name} was seen, which explains the flow"));
    }
    let excluded = Judgement::any(cause.into_iter().map(|(_, clause)| clause)).negated();
    let met = Judgement::all([low, treated, open, excluded.clone()]);
    match worst {
        Some(worst) if met.is_yes() => grade(look, worst, vessel, rule),
        None if met.is_yes() => look.lacking([VesselFacts::WORST]),
        _ => {
            let more = excluded.is_unknown().then(|| "A mechanical cause is not excluded.".to_owned());
            look.undecided(met.inputs().to_vec(), more)
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
    Judgement::test(VesselFacts::BLUSH, blush::grade_of(vessel), |grade| grade <= 1)
}

fn look_for_cause(look: &mut Look, vessel: &VesselFacts) -> Vec<(&'static str, Judgement)> {
    vec![
        ("a dissection", look.answer(vessel.dissection())),
        ("a thrombus", look.answer(vessel.thrombus())),
        ("spasm", look.answer(vessel.spasm())),
        ("a residual stenosis", look.answer(vessel.residual_stenosis())),
        ("an embolic cut-off", look.answer(vessel.cut_off())),
        ("air", look.answer(vessel.air())),
        ("damping by the catheter", look.answer(vessel.damping())),
    ]
}

fn grade(mut look: Look, worst: TimiFlow, vessel: &VesselFacts, rule: NoReflowRule) -> Finding {
    let leaving = look.value(vessel.leaving());
    let (course, end) = match leaving {
        Some(flow) if flow.grade() == 3 => (", transient", format!("{flow} on leaving")),
        Some(flow) => (", persistent", format!("{flow} on leaving")),
        None => {
            look.note("Flow on leaving is not recorded, so that nothing says whether it was transient.");
            ("", "flow on leaving not recorded".to_owned())
        }
    };
    let clause = format!("{worst} at worst with the lesion open and no mechanical cause seen, {end}");
    if worst.grade() == 2 && rule == NoReflowRule::FlowSplit {
        look.met("slow-flow", format!("slow flow{course}"), clause)
    } else if worst.grade() == 3 {
        look.met(
            "no-reflow",
            "no-reflow by blush",
            "TIMI 3, but a blush grade of 0 to 1, with no mechanical cause seen",
        )
    } else {
        look.met("no-reflow", format!("no-reflow{course}"), clause)
    }
}
