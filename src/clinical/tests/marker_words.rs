//! The sentences about troponin and CK-MB, word by word: a rise, a fall, and what is missing.

use super::{finding, given};
use crate::clinical::{Choices, Facts};

/// No evidence of ischaemia and no death, CK-MB not measured.
const NO_SIGNS: &str = "labs: ck_mb_measured no | ischaemia: ecg no; st_shift no; q_waves no; lbbb no; imaging_loss no; flow_limiting no; heart_failure no; hypotension no | outcome: death no";
/// A flow-limiting complication and nothing else.
const FLOW: &str = "labs: ck_mb_measured no | ischaemia: ecg no; st_shift no; q_waves no; lbbb no; imaging_loss no; flow_limiting yes; heart_failure no; hypotension no | outcome: death no";

fn troponin(samples: &str, signs: &str) -> Facts {
    let with_limit: Vec<String> =
        samples.split("; ").map(|sample| format!("{sample} ng/L (limit 10 ng/L)")).collect();
    let (facts, refused) = given(&format!("troponin: {} | {signs}", with_limit.join("; ")));
    assert_eq!(refused, None);
    facts
}

#[test]
fn a_rise_has_its_size_and_a_fall_has_words_of_its_own() {
    for (definition, samples, signs, sentence) in [
        (
            "infarction-scai",
            "-120 20; -60 20; 600 160",
            NO_SIGNS,
            "No clinically relevant infarction (SCAI). A rise of troponin by 14 times the limit; the rule asks for a \
             rise by 70 times, or 35 with new Q waves or bundle branch block.",
        ),
        (
            "infarction-scai",
            "-120 62; -60 62; 600 40",
            NO_SIGNS,
            "No clinically relevant infarction (SCAI). Troponin did not rise: from 62 ng/L to 40 ng/L; the rule asks \
             for a rise by 70 times, or 35 with new Q waves or bundle branch block.",
        ),
        (
            "infarction-universal",
            "-120 100; -60 100; 600 90",
            FLOW,
            "No type 4a infarction. Troponin did not rise: from 100 ng/L to 90 ng/L, after an elevated baseline.",
        ),
        (
            "infarction-universal",
            "-120 100; -60 100; 600 103",
            FLOW,
            "No type 4a infarction. A rise of troponin by 3 % from an elevated baseline, not above 20 %.",
        ),
        (
            "myocardial-injury",
            "-120 100; -60 100; 600 100",
            FLOW,
            "No procedural injury. Troponin did not rise: from 100 ng/L to 100 ng/L, after an elevated baseline.",
        ),
        (
            "infarction-arc2",
            "-120 100; -60 100; 600 90",
            FLOW,
            "No peri-procedural infarction (ARC-2). Troponin did not rise: from 100 ng/L to 90 ng/L; the rule asks \
             for a rise by 35 times.",
        ),
        (
            "infarction-arc2",
            "-60 5; 600 93.5",
            FLOW,
            "No peri-procedural infarction (ARC-2). A rise of troponin by 8.85 times the limit; the rule asks for a \
             rise by 35 times.",
        ),
        (
            "infarction-arc2",
            "-120 20; -60 20; 600 30",
            FLOW,
            "No peri-procedural infarction (ARC-2). A rise of troponin by 1.0 times the limit; the rule asks for a \
             rise by 35 times.",
        ),
    ] {
        let facts = troponin(samples, signs);
        assert_eq!(finding(definition, &facts, &Choices::default()).sentence, sentence);
    }
}

#[test]
fn a_value_that_is_missing_is_named_and_never_made_a_rise() {
    for (definition, samples, sentence) in [
        (
            "infarction-scai",
            "600 21",
            "No clinically relevant infarction (SCAI). Troponin of 2.1 times the limit, with none drawn before the \
             procedure; the rule asks for 70 times, or 35 with new Q waves or bundle branch block.",
        ),
        (
            "infarction-arc2",
            "600 21",
            "No peri-procedural infarction (ARC-2). Troponin of 2.1 times the limit, with none drawn before the \
             procedure; the rule asks for a rise by 35 times.",
        ),
        (
            "infarction-scai",
            "-120 60; -60 80",
            "No clinically relevant infarction (SCAI). No troponin within 48 h after the procedure, and from an \
             elevated, rising baseline the signs beside it do not meet the rule either.",
        ),
    ] {
        let facts = troponin(samples, NO_SIGNS);
        assert_eq!(finding(definition, &facts, &Choices::default()).sentence, sentence);
    }
}
