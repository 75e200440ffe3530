//! Peri-procedural infarction by the Academic Research Consortium, ARC-2.

use super::course::By;
use crate::clinical::answer::Judgement;
use crate::clinical::choices::Choices;
use crate::clinical::definition::{Assess, Definition, Section, Source};
use crate::clinical::facts::{Facts, IschaemiaFacts, LabFacts, ProcedureFacts};
use crate::clinical::finding::Finding;
use crate::clinical::look::Look;

/// Peri-procedural infarction, ARC-2.
pub const DEFINITION: Definition = Definition {
    slug: "infarction-arc2",
    name: "Peri-procedural infarction, ARC-2",
    section: Section::Infarction,
    rule: "Troponin within 48 h that has risen from baseline by 35 times the 99th percentile or more, with at least one \
           of: new significant Q waves or equivalent; a flow-limiting angiographic complication; substantial new loss of \
           myocardium on imaging. A rise of 70 times or more without them is significant peri-procedural myocardial \
           injury. The baseline is at the 99th percentile or below, or elevated and stable or falling.",
    boundaries: "A rise of exactly 35 times counts. From an elevated baseline that was rising it is open, unless the rise \
                 is below 35 times, which settles it (our own reading).",
    sources: &[
        Source::recalled("Garcia-Garcia et al., Circulation 2018;137:2635", "the whole rule"),
        Source::own("an elevated, rising baseline leaves it open unless the rise is below 35 times"),
    ],
    inputs: &[
        ProcedureFacts::STARTED,
        ProcedureFacts::ENDED,
        LabFacts::TROPONIN_BEFORE,
        LabFacts::TROPONIN_TREND,
        LabFacts::TROPONIN_AFTER,
        IschaemiaFacts::Q_WAVES,
        IschaemiaFacts::FLOW_LIMITING,
        IschaemiaFacts::IMAGING_SUBSTANTIAL,
    ],
    choices: &[],
    assess: Assess::Case(assess),
};

fn assess(facts: &Facts, _: &Choices) -> Finding {
    const NO: &str = "no peri-procedural infarction (ARC-2)";
    let mut look = Look::at_case(&DEFINITION);
    let course = super::troponin(facts, &mut look);
    let signs = &facts.ischaemia;
    let evidence = Judgement::any([
        look.answer(signs.any_q_waves()),
        look.answer(signs.flow_limiting()),
        look.answer(signs.substantial_imaging_loss()),
    ]);
    let readable = course.readable();
    let infarction = Judgement::all([course.rise_at_least(35), readable.clone(), evidence.clone()]);
    let injury = Judgement::all([course.rise_at_least(70), readable, evidence.negated()]);
    let change = course.change_in_words("troponin", By::Times);
    if infarction.is_yes() {
        let clause = format_args!("{change}, 35 or more, with evidence of ischaemia");
        look.met("infarction", "peri-procedural infarction (ARC-2)", clause)
    } else if injury.is_yes() {
        let clause = format_args!("{change}, 70 or more, without evidence of ischaemia");
        look.met("injury", "significant peri-procedural injury, no infarction (ARC-2)", clause)
    } else if infarction.is_unknown() || injury.is_unknown() {
        look.open(&infarction.or(injury))
    } else if course.rise_at_least(35).is_no() {
        look.not_met(NO, format_args!("{change}; the rule asks for a rise by 35 times"))
    } else {
        look.not_met(NO, format_args!("{change}, without evidence of ischaemia"))
    }
}
