//! Facts by name and as files, and the sentences of findings.

use super::{finding, given};
use crate::clinical::facts::{FactError, FactSet, OutcomeFacts};
use crate::clinical::{Answer, Choices, Facts, Family, Sample, Subject, thresholds};
use crate::quantity::Offset;

/// A case with something in every kind of place.
fn full() -> Facts {
    let (mut facts, refused) = given(
        "vessel: treated yes; before 3; worst 0; leaving 3 | perforation: hole 1.5; jet yes; cavity no \
         | bleeding: overt yes; units_before_nadir 2 | radiation: kerma_area 50 000 µGy·m² \
         | troponin: -60 7 ng/L (limit 14 ng/L); 600 70 ng/L (limit 14 ng/L) | labs: ck_mb_measured no \
         | outcome: judged severe | patient: age 60; sex male",
    );
    assert_eq!(refused, None);
    facts.vessels[0].subject.origin = Some("event-3".to_owned());
    facts
}

#[test]
fn facts_survive_a_file_and_empty_parts_are_left_out() {
    let facts = full();
    let json = serde_json::to_string(&facts).unwrap();
    assert_eq!(serde_json::from_str::<Facts>(&json).unwrap(), facts);
    let toml = toml::to_string(&facts).unwrap();
    assert_eq!(toml::from_str::<Facts>(&toml).unwrap(), facts);
    assert!(!toml.contains("kidney") && !toml.contains("spasm"));
    assert_eq!(serde_json::to_string(&Facts::default()).unwrap(), "{}");
    assert!(toml::from_str::<Facts>("[bleeding]\nfoo = \"yes\"").is_err());
}

#[test]
fn what_is_recorded_reads_back_by_the_same_door() {
    let facts = full();
    let mut copy = Facts { labs: facts.labs.clone(), ..Facts::default() };
    copy.labs.statements = Default::default();
    for family in Family::ALL {
        for subject in facts.subjects(*family) {
            copy.add_row(*family, subject.clone()).unwrap();
        }
    }
    for fact in facts.recorded() {
        copy.record(fact.input.family, fact.row, fact.input.slug, &fact.text).unwrap();
    }
    assert_eq!(copy, facts);
}

#[test]
fn a_blank_text_takes_a_value_out() {
    let mut facts = full();
    facts.record(Family::Bleeding, None, "overt", " ").unwrap();
    assert_eq!(facts.bleeding.overt, Answer::Unknown);
    facts.record(Family::Perforation, Some(0), "hole", "").unwrap();
    assert_eq!(facts.perforations[0].facts.hole, None);
}

#[test]
fn a_wrong_name_row_or_value_is_refused_with_a_sentence() {
    let mut facts = Facts::default();
    assert!(matches!(facts.record(Family::Bleeding, None, "nothing", "yes"), Err(FactError::NoSuchInput(_))));
    assert!(matches!(facts.record(Family::Vessel, Some(0), "worst", "1"), Err(FactError::NoSuchInput(_))));
    assert!(matches!(facts.record(Family::Vessel, None, "worst", "1"), Err(FactError::NoSuchInput(_))));
    let problem = facts.record(Family::Bleeding, None, "overt", "maybe").unwrap_err().to_string();
    assert_eq!(problem, "“maybe” is not an answer. Allowed: yes, no, unknown.");
    assert_eq!(facts.add_row(Family::Bleeding, Subject::default()), None);
}

#[test]
fn the_rest_is_answered_no_only_when_somebody_says_so() {
    let mut outcome = OutcomeFacts { death: Answer::Yes, ..OutcomeFacts::default() };
    outcome.answer_the_rest_no();
    assert_eq!((outcome.death, outcome.stroke, outcome.judged), (Answer::Yes, Answer::No, None));
}

#[test]
fn a_result_is_known_from_its_return_and_not_from_its_drawing() {
    let at = |minutes: i64| Offset::from_seconds(minutes * 60).unwrap();
    let mut facts = full();
    for (sample, back) in facts.labs.troponin.iter_mut().zip([-30, 660]) {
        sample.returned = Some(at(back));
    }
    facts.labs.troponin.push(Sample::drawn(at(30), "900 ng/L (limit 14 ng/L)".parse().unwrap()));
    assert_eq!(facts.with_results_by(at(-31)).labs.troponin.len(), 0);
    assert_eq!(facts.with_results_by(at(659)).labs.troponin.len(), 1);
    assert_eq!(
        facts.with_results_by(at(660)).labs.troponin.len(),
        2,
        "a value of unknown return is not known"
    );
    assert_eq!(facts.with_results_by(at(0)).bleeding, facts.bleeding);
}

#[test]
fn a_sentence_names_its_subject_the_grade_and_the_reason() {
    let facts = full();
    let choices = Choices::default();
    let closure = finding("vessel-closure", &facts, &choices);
    assert_eq!(
        closure.sentence,
        "LAD: vessel closure, transient. Flow fell from TIMI 0 to 3 and was back at TIMI 3 on leaving the laboratory."
            .replace("TIMI 0 to 3", "TIMI 3 to TIMI 0")
    );
    assert_eq!(closure.subject.as_ref().unwrap().origin.as_deref(), Some("event-3"));
    assert!(closure.used.iter().all(|used| used.origin.as_deref() == Some("event-3")));
    let perforation = finding("perforation-type", &facts, &choices);
    assert_eq!(perforation.sentence, "LAD: Ellis III. A jet through a hole of 1.5 mm.");
    assert_eq!(perforation.choices[0].taken, "1 mm or more");
    let bleeding = finding("bleeding-barc", &facts, &choices);
    assert!(
        bleeding.sentence.starts_with("Bleeding, BARC type: not decidable. At least BARC 3a. Not recorded: ")
    );
    let universal = finding("infarction-universal", &facts, &choices);
    assert_eq!(universal.used[1].value, "70 ng/L (limit 14 ng/L), 5 times it");
    assert_eq!(universal.used[1].at, Some(Offset::from_seconds(36_000).unwrap()));
}

#[test]
fn a_series_has_the_lines_that_decide_about_it() {
    let (facts, _) = given(
        "creatinine: -60 0.9 mg/dL | haemoglobin: -60 140 g/L | troponin: -60 7 ng/L (limit 14 ng/L) \
         | ck_mb: 60 9 U/L (limit 25 U/L)",
    );
    let lines = |lines: Vec<thresholds::Threshold>| -> Vec<String> {
        lines.iter().map(|line| format!("{} {}", line.value, line.unit)).collect()
    };
    assert_eq!(lines(thresholds::troponin(&facts)), ["14 ng/L", "70 ng/L", "490 ng/L", "980 ng/L"]);
    assert_eq!(lines(thresholds::ck_mb(&facts)), ["25 U/L", "125 U/L", "250 U/L"]);
    assert_eq!(
        lines(thresholds::creatinine(&facts)),
        ["1.2 mg/dL", "1.35 mg/dL", "1.8 mg/dL", "2.7 mg/dL", "4 mg/dL"]
    );
    assert_eq!(lines(thresholds::haemoglobin(&facts)), ["110 g/L", "90 g/L"]);
    assert_eq!(thresholds::creatinine(&facts)[0].until, Some(Offset::from_seconds(48 * 3_600).unwrap()));
    assert!(thresholds::creatinine(&Facts::default()).is_empty());
}
