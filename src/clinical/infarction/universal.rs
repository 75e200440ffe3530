//! Infarction related to the procedure by the Fourth Universal Definition, type 4a.

use super::course::Course;
use crate::clinical::answer::Judgement;
use crate::clinical::choices::Choices;
use crate::clinical::definition::{Assess, Definition, Section, Source};
use crate::clinical::facts::{
    Facts, IschaemiaFacts, LabFacts, OutcomeFacts, ProcedureFacts, StentThrombosisFacts,
};
use crate::clinical::finding::Finding;
use crate::clinical::look::Look;
use crate::clinical::quantities::TroponinUnit;

/// Type 4a infarction, Fourth Universal Definition.
pub const DEFINITION: Definition = Definition {
    slug: "infarction-universal",
    name: "Type 4a infarction, Fourth Universal Definition",
    section: Section::Infarction,
    rule: "Troponin within 48 h of the procedure above 5 times the 99th percentile, from a normal baseline; from an \
           elevated one that was stable or falling, also a rise of more than 20 %. And at least one of: new ischaemic \
           ECG change; new pathological Q waves; imaging of new loss of viable myocardium or a new wall-motion defect \
           in an ischaemic pattern; a flow-limiting angiographic complication (dissection, occlusion of a major artery or a side branch, \
           thrombus, a lost collateral, distal embolisation). Also new pathological Q waves with a raised and rising troponin \
           that stays at 5 times or below, and procedure-related culprit thrombus at post-mortem. Symptoms alone do \
           not count, as they did in the third definition.",
    boundaries: "5.0 times is not above 5, and a rise of 20 % not above 20 %. A baseline at the 99th percentile is \
                 normal. An elevated baseline with one sample, or one that was rising, leaves it open, unless other \
                 inputs settle it. A baseline is stable when the last two samples differ by at most 20 %, and falling when \
                 the last is below the one before. An infarct by a stent thrombosis after the procedure is type 4b and \
                 is not graded here.",
    sources: &[
        Source::recalled("Thygesen et al., Circulation 2018;138:e618", "the whole rule"),
        Source::read_in("the third definition", "PMC6774266, table 1", "5 times and more than 20 %"),
        Source::own("of more than two samples before the procedure, the last two say whether it was stable"),
    ],
    inputs: &[
        ProcedureFacts::STARTED,
        ProcedureFacts::ENDED,
        LabFacts::TROPONIN_BEFORE,
        LabFacts::TROPONIN_TREND,
        LabFacts::TROPONIN_AFTER,
        IschaemiaFacts::ECG,
        IschaemiaFacts::ST_SHIFT,
        IschaemiaFacts::LBBB,
        IschaemiaFacts::Q_WAVES,
        IschaemiaFacts::IMAGING_LOSS,
        IschaemiaFacts::FLOW_LIMITING,
        IschaemiaFacts::THROMBUS_POST_MORTEM,
        OutcomeFacts::DEATH,
    ],
    choices: &[],
    assess: Assess::Case(assess),
};

/// How the rule's routes came out.
pub(super) struct Routes {
    /// Troponin above 5 times with evidence.
    high: Judgement,
    /// Q waves with a raised and rising troponin.
    q_waves: Judgement,
    /// Culprit thrombus at post-mortem.
    post_mortem: Judgement,
    /// Evidence beside troponin.
    evidence: Judgement,
}

impl Routes {
    /// Whether it is a type 4a infarction.
    pub(super) fn met(&self) -> Judgement {
        Judgement::any([self.post_mortem.clone(), self.high.clone(), self.q_waves.clone()])
    }
}

/// Follows the rule's three routes.
pub(super) fn follow(facts: &Facts, course: &Course<TroponinUnit>, look: &mut Look) -> Routes {
    let signs = &facts.ischaemia;
    let q_waves = look.answer(signs.any_q_waves());
    // A new shift of ST and a new bundle branch block are ischaemic changes; without the general
    // answer their absence alone does not exclude one.
    let ecg = Judgement::any([
        Judgement::known(look.answer(signs.st_shift()).is_yes()),
        Judgement::known(look.answer(signs.lbbb()).is_yes()),
        look.answer(signs.ecg()),
    ]);
    let evidence = Judgement::any([
        look.answer(signs.flow_limiting()),
        ecg,
        q_waves.clone(),
        look.answer(signs.any_imaging_loss()),
    ]);
    let thrombus = look.answer(signs.thrombus_post_mortem());
    let died = look.answer(facts.outcome.death());
    // A post-mortem can only be asked about when the patient died.
    let post_mortem = if thrombus.is_yes() { thrombus } else { died.and(thrombus) };
    Routes {
        high: Judgement::all([course.peak_above(5), course.comparable(), evidence.clone()]),
        q_waves: Judgement::all([q_waves, course.peak_above(1), course.comparable()]),
        post_mortem,
        evidence,
    }
}

fn assess(facts: &Facts, _: &Choices) -> Finding {
    let mut look = Look::at_case(&DEFINITION);
    let course = super::troponin(facts, &mut look);
    let routes = follow(facts, &course, &mut look);
    if facts.stent_thromboses.iter().any(|row| is_afterwards(&row.facts)) {
        look.note(
            "A stent thrombosis after the procedure is recorded: an infarct by it is type 4b, not type 4a.",
        );
    }
    finish(look, &course, &routes)
}

/// Whether a stent thrombosis was proved that did not happen in the laboratory.
const fn is_afterwards(stent: &StentThrombosisFacts) -> bool {
    (stent.angiography.is_yes() || stent.tissue.is_yes()) && !stent.in_laboratory.is_yes()
}

fn finish(look: Look, course: &Course<TroponinUnit>, routes: &Routes) -> Finding {
    const LABEL: &str = "type 4a infarction";
    const NO: &str = "no type 4a infarction";
    let met = routes.met();
    if met.is_unknown() {
        return look.open(&met);
    }
    let peak = course.peak_in_words();
    if routes.post_mortem.is_yes() {
        return look.met("4a", LABEL, "culprit thrombus of the procedure at post-mortem");
    }
    if routes.high.is_yes() {
        return look.met(
            "4a",
            LABEL,
            format_args!("troponin of {peak}, above 5, with evidence of new ischaemia"),
        );
    }
    if routes.q_waves.is_yes() {
        return look.met(
            "4a",
            LABEL,
            format_args!("new pathological Q waves with a raised and rising troponin of {peak}"),
        );
    }
    if course.peak_above(5).is_no() {
        look.not_met(NO, format_args!("troponin of {peak}, not above 5"))
    } else if routes.evidence.is_no() && !course.is_measured() {
        look.not_met(NO, "there was no evidence of new ischaemia, whatever troponin was")
    } else if routes.evidence.is_no() {
        look.not_met(NO, format_args!("troponin of {peak}, but no evidence of new ischaemia beside it"))
    } else {
        look.not_met(NO, super::too_small_a_rise(course))
    }
}
