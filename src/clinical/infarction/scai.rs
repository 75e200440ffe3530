//! Clinically relevant infarction by the society of cardiovascular angiography (SCAI).

use std::fmt;

use super::course::{By, Course};
use crate::clinical::answer::{Answer, Judgement};
use crate::clinical::choices::Choices;
use crate::clinical::definition::{Assess, Definition, Section, Source};
use crate::clinical::facts::{Facts, IschaemiaFacts, LabFacts, LabStatements, ProcedureFacts};
use crate::clinical::finding::Finding;
use crate::clinical::look::Look;
use crate::clinical::quantities::Unit;

/// Clinically relevant infarction, SCAI.
pub const DEFINITION: Definition = Definition {
    slug: "infarction-scai",
    name: "Clinically relevant infarction, SCAI",
    section: Section::Infarction,
    rule: "From a normal baseline, CK-MB within 48 h of 10 times its upper limit or more, or of 5 times or more with \
           new Q waves in two contiguous leads or a new persistent left bundle branch block. Only where CK-MB was not \
           measured: troponin of 70 times or more, or of 35 times or more with those signs. From an elevated baseline \
           that was stable or falling, the rise from the last sample has to be as large. From an elevated one that was \
           neither, also new ST elevation or depression, and new or worse heart failure or sustained hypotension.",
    boundaries: "10.0 times is met, 9.9 times is not. CK-MB counts before troponin, whatever troponin shows. Say that CK-MB \
                 was not measured, or the troponin limits are not applied.",
    sources: &[
        Source::recalled("Moussa et al., J Am Coll Cardiol 2013;62:1563", "the whole rule"),
        Source::recalled(
            "“Consideration of a new definition of clinically relevant MI”, PMC3890321",
            "the same; seen in abstract only",
        ),
    ],
    inputs: &[
        ProcedureFacts::STARTED,
        ProcedureFacts::ENDED,
        LabStatements::CK_MB_MEASURED,
        LabFacts::CK_MB_BEFORE,
        LabFacts::CK_MB_TREND,
        LabFacts::CK_MB_AFTER,
        LabFacts::TROPONIN_BEFORE,
        LabFacts::TROPONIN_TREND,
        LabFacts::TROPONIN_AFTER,
        IschaemiaFacts::Q_WAVES_CONTIGUOUS,
        IschaemiaFacts::LBBB,
        IschaemiaFacts::ST_SHIFT,
        IschaemiaFacts::HEART_FAILURE,
        IschaemiaFacts::HYPOTENSION,
    ],
    choices: &[],
    assess: Assess::Case(assess),
};

/// Signs beside the biomarker.
struct Signs {
    /// Q waves in contiguous leads or bundle branch block.
    ecg: Judgement,
    /// New shift of ST, with heart failure or hypotension.
    relevant: Judgement,
}

fn assess(facts: &Facts, _: &Choices) -> Finding {
    let mut look = Look::at_case(&DEFINITION);
    let signs = Signs {
        ecg: look.answer(facts.ischaemia.contiguous_q_waves()).or(look.answer(facts.ischaemia.lbbb())),
        relevant: look
            .answer(facts.ischaemia.st_shift())
            .and(look.answer(facts.ischaemia.heart_failure()).or(look.answer(facts.ischaemia.hypotension()))),
    };
    let troponin = super::troponin(facts, &mut look);
    let ck_mb = super::ck_mb(facts, &mut look);
    let measured = look.answer(facts.labs.statements.ck_mb_measured());
    match measured.answer() {
        _ if ck_mb.is_measured() => {
            // Where no CK-MB was drawn before, a normal troponin says that the baseline was normal.
            let normal = ck_mb.baseline_normal().or(troponin_normal(&ck_mb, &troponin));
            finish(look, "CK-MB", &ck_mb, [10, 5], &normal, &signs)
        }
        Answer::No => finish(look, "troponin", &troponin, [70, 35], &troponin.baseline_normal(), &signs),
        Answer::Yes => look.lacking([&LabFacts::CK_MB_AFTER]),
        Answer::Unknown => {
            let mut missing = vec![&LabStatements::CK_MB_MEASURED];
            if !troponin.is_measured() {
                missing.push(&LabFacts::TROPONIN_AFTER);
            }
            look.lacking(missing)
        }
    }
}

fn troponin_normal<C: Unit, T: Unit>(ck_mb: &Course<C>, troponin: &Course<T>) -> Judgement {
    let stands_in = ck_mb.baseline_normal().is_unknown() && troponin.baseline_normal().is_yes();
    if stands_in { Judgement::known(true) } else { ck_mb.baseline_normal() }
}

/// Applies the limits, high without ECG signs and low with them.
fn finish<U: Unit>(
    look: Look,
    marker: &str,
    course: &Course<U>,
    [high, low]: [i64; 2],
    normal: &Judgement,
    signs: &Signs,
) -> Finding {
    let peak = course.peak_at_least(high).or(course.peak_at_least(low).and(signs.ecg.clone()));
    let rise = course.rise_at_least(high).or(course.rise_at_least(low).and(signs.ecg.clone()));
    let from_elevated = rise.clone().and(course.baseline_settled().or(signs.relevant.clone()));
    // A peak below the limit settles it, because no rise is larger than its peak.
    let met = peak.clone().and(normal.clone().or(from_elevated.clone()));
    if met.is_unknown() {
        return look.open(&met);
    }
    let from_normal = normal.is_yes();
    let shown = fmt::from_fn(|f| {
        if from_normal {
            write!(f, "{marker} of {}", course.peak_in_words())
        } else {
            write!(f, "{}", course.change_in_words(marker, By::Times))
        }
    });
    if met.is_no() {
        const NO: &str = "no clinically relevant infarction (SCAI)";
        let rise_by = if normal.is_no() { "a rise by " } else { "" };
        return if course.is_measured() && (peak.is_no() || from_normal || rise.is_no()) {
            look.not_met(NO, format_args!(
                "{shown}; the rule asks for {rise_by}{high} times, or {low} with new Q waves or bundle branch block"
            ))
        } else {
            look.not_met(NO, format_args!(
                "{shown}, and from an elevated, rising baseline the signs beside it do not meet the rule either"
            ))
        };
    }
    let high = if from_normal { course.peak_at_least(high) } else { course.rise_at_least(high) };
    let with = if high.is_yes() { "" } else { ", with new Q waves or bundle branch block" };
    look.met("infarction", "clinically relevant infarction (SCAI)", format_args!("{shown}{with}"))
}
