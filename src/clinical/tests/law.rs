//! Laws that hold for any facts: what is missing never decides, more of a bad thing never lowers a
//! class, and limits are exact to the last decimal.

use proptest::prelude::*;

use super::arbitrary::any_facts;
use super::{finding, given};
use crate::clinical::{Choices, DEFINITIONS, Facts, Family, Finding, Subject, Verdict, assess_all};

/// Inputs whose removal may change a result from one grade to another, by what the rules say: a
/// judged grade stands before a described one, a recorded clearance before a computed one, and
/// what counts "where it is recorded".
const MAY_CHANGE: &[&str] = &[
    "judged",
    "worst",
    "hole",
    "clearance",
    "egfr",
    "skin",
    "urine_below_half",
    "urine_below_third",
    "anuria",
    "flow",
    "in_laboratory",
    "started",
    "ended",
];

/// A grade, "not met", or nothing.
fn decided(finding: &Finding) -> Option<String> {
    match &finding.verdict {
        Verdict::Met { grade, .. } => Some(grade.code.to_string()),
        Verdict::NotMet { .. } => Some("not met".to_owned()),
        Verdict::Undecided { .. } => None,
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 128, ..ProptestConfig::default() })]

    #[test]
    fn every_sentence_can_be_read_aloud(facts in any_facts(), label in "[a-zé]{0,3}|stent loss|Device|LAD, mid") {
        let mut facts = facts;
        facts.devices.iter_mut().for_each(|row| row.subject.label.clone_from(&label));
        for finding in assess_all(&facts, &Choices::default()) {
            for said in finding.notes.iter().chain([&finding.sentence]) {
                let about = format!("{}: {said:?}", finding.definition);
                prop_assert!(!said.starts_with(char::is_lowercase) || said.starts_with("eGFR"), "{}", about);
                prop_assert!(said.ends_with('.') && !said.ends_with(".."), "{}", about);
                for slip in ["  ", " .", "..", ": .", ",.", " ,", "≈", "of not measured", "by not measured", "that was not measured", "from  "] {
                    prop_assert!(!said.contains(slip), "{:?} in {}", slip, about);
                }
            }
        }
    }

    #[test]
    fn taking_an_input_away_never_turns_one_result_into_another(facts in any_facts(), seed in any::<u64>()) {
        let recorded = facts.recorded();
        let mut fewer = facts.clone();
        for (place, fact) in recorded.iter().enumerate() {
            let taken = (seed >> (place % 64)) & 1 == 1;
            if taken && !MAY_CHANGE.contains(&fact.input.slug) {
                fewer.record(fact.input.family, fact.row, fact.input.slug, "").unwrap();
            }
        }
        let choices = Choices::default();
        for (more, less) in assess_all(&facts, &choices).iter().zip(&assess_all(&fewer, &choices)) {
            prop_assert_eq!(more.definition, less.definition);
            // Fluoroscopy time stands in for a dose that is not recorded.
            let no_dose = fewer.radiation.air_kerma.is_none() && fewer.radiation.kerma_area.is_none();
            if more.definition == "radiation" && no_dose {
                continue;
            }
            let (Some(more_grade), less_grade) = (decided(more), decided(less)) else {
                prop_assert!(decided(less).is_none(), "{}: {} only without more", less.definition, less.sentence);
                continue;
            };
            let Some(less_grade) = less_grade else { continue };
            // Transient or sustained needs one more input than closure itself; a device may be several
            // things at once, and goes by the name of the first that is known.
            let refined = (more.definition == "vessel-closure" && less_grade == "closure")
                || (more.definition == "device" && more_grade != "not met" && less_grade != "not met");
            prop_assert!(
                refined || more_grade == less_grade,
                "{}: {} and {}", more.definition, more.sentence, less.sentence
            );
        }
    }

    #[test]
    fn any_facts_end_in_findings_with_whole_sentences(facts in any_facts()) {
        for finding in assess_all(&facts, &Choices::default()) {
            prop_assert!(finding.sentence.ends_with('.'), "{}", finding.sentence);
            prop_assert!(!finding.sentence.contains("..") && !finding.sentence.contains("  "), "{}", finding.sentence);
            prop_assert!(!finding.headline.is_empty());
            if let Verdict::Undecided { missing, why } = &finding.verdict {
                prop_assert!(!missing.is_empty() || !why.is_empty(), "{}", finding.definition);
            }
        }
    }

    #[test]
    fn more_troponin_never_lowers_a_class(low in 0_u32..2_000, more in 0_u32..2_000, baseline in 0_u32..200, signs in prop::bool::ANY) {
        let answer = if signs { "yes" } else { "no" };
        let course = |peak: u32| given(&format!(
            "troponin: -300 {baseline} ng/L (limit 10 ng/L); -60 {baseline} ng/L (limit 10 ng/L); 600 {peak} ng/L (limit 10 ng/L) \
             | labs: ck_mb_measured no | ischaemia: ecg {answer}; q_waves {answer}; q_waves_contiguous {answer}; lbbb no; st_shift no; \
             imaging_loss no; flow_limiting {answer}; heart_failure no; hypotension no | outcome: death no"
        )).0;
        for slug in ["infarction-universal", "myocardial-injury", "infarction-scai", "infarction-arc2"] {
            let rank = |peak| rank(&finding(slug, &course(peak), &Choices::default()));
            prop_assert!(rank(low) <= rank(low + more), "{slug}: {low} and {}", low + more);
        }
    }

    #[test]
    fn more_creatinine_never_lowers_the_stage(baseline in 100_i64..4_000, later in 100_i64..8_000, more in 0_i64..8_000) {
        let thousandths = |number: i64| format!("{}.{:03} mg/dL", number / 1_000, number % 1_000);
        let stage = |later: i64| {
            let text = format!("creatinine: -60 {}; 600 {} | kidney: replacement no", thousandths(baseline), thousandths(later));
            rank(&finding("kidney-injury", &given(&text).0, &Choices::default()))
        };
        prop_assert!(stage(later) <= stage(later + more));
    }

    #[test]
    fn a_deeper_fall_of_haemoglobin_never_lowers_the_type(before in 80_i64..180, lowest in 20_i64..180, more in 0_i64..60, units in 0_i64..4) {
        let kind = |lowest: i64| {
            let text = format!(
                "haemoglobin: -60 {before} g/L; 600 {lowest} g/L | bleeding: overt yes; units_before_nadir {units}; transfused {}; \
                 intervention no; higher_care no; evaluation no; tamponade no; surgery no; vasoactive no; intracranial no; \
                 vision_loss no; bypass_related no; fatal no",
                if units > 0 { "yes" } else { "no" }
            );
            rank(&finding("bleeding-barc", &given(&text).0, &Choices::default()))
        };
        prop_assert!(kind((lowest - more).max(20)) >= kind(lowest));
    }

    #[test]
    fn a_larger_thrombus_dose_or_volume_never_lowers_the_grade(low in 1_i64..200, more in 0_i64..200) {
        let grade = |slug: &str, text: String| rank(&finding(slug, &given(&text).0, &Choices::default()));
        let thrombus = |tenths: i64| grade("timi-thrombus", format!("thrombus: look definite; vessel 3; size {}.{}", tenths / 10, tenths % 10));
        prop_assert!(thrombus(low) <= thrombus(low + more));
        let dose = |tenths: i64| grade("radiation", format!("radiation: kerma_area 1 Gy·cm²; air_kerma {}.{} Gy", tenths / 10, tenths % 10));
        prop_assert!(dose(low) <= dose(low + more));
        let contrast = |volume: i64| grade("contrast-ratio", format!("kidney: contrast {volume}; clearance 60"));
        prop_assert!(contrast(low) <= contrast(low + more));
        let since = |days: i64| grade("stent-thrombosis-time", format!("stent-thrombosis: since {days} d"));
        prop_assert!(since(low) <= since(low + more));
    }

    #[test]
    fn limits_are_met_to_the_last_decimal(limit in 1_i64..1_000_000, baseline in 100_000_i64..4_000_000) {
        let number = |millionths: i64| format!("{}.{:06}", millionths / 1_000_000, millionths % 1_000_000);
        let signs = "ischaemia: flow_limiting yes; q_waves no | outcome: death no";
        let universal = |peak: i64| {
            let text = format!("troponin: -60 0 ng/L (limit {l} ng/L); 600 {} ng/L (limit {l} ng/L) | {signs}", number(peak), l = number(limit));
            finding("infarction-universal", &given(&text).0, &Choices::default()).is_met()
        };
        prop_assert!(!universal(5 * limit) && universal(5 * limit + 1));
        // From 0.7 mg/dL on, a rise of 0.3 is below 1.5 times, so that the fixed amount alone decides.
        let baseline = baseline + 700_000;
        let kidney = |later: i64| {
            let text = format!("creatinine: -60 {} mg/dL; 600 {} mg/dL | kidney: replacement no", number(baseline), number(later));
            finding("kidney-injury", &given(&text).0, &Choices::default()).is_met()
        };
        prop_assert!(kidney(baseline + 300_000) && !kidney(baseline + 299_999));
    }

    #[test]
    fn the_order_in_which_samples_were_entered_changes_nothing(order in Just(vec![0_usize, 1, 2, 3, 4, 5]).prop_shuffle()) {
        let (sorted, _) = given(
            "troponin: -120 5 ng/L (limit 10 ng/L); -60 45 ng/L (limit 10 ng/L); -60 44 ng/L (limit 10 ng/L); \
             600 60 ng/L (limit 10 ng/L); 600 61 ng/L (limit 10 ng/L); 900 61 ng/L (limit 10 ng/L) \
             | creatinine: -120 1.0 mg/dL; -60 1.1 mg/dL; -60 1.2 mg/dL; 600 1.5 mg/dL; 600 1.4 mg/dL; 900 1.6 mg/dL",
        );
        let mut shuffled = sorted.clone();
        shuffled.labs.troponin = order.iter().map(|&place| sorted.labs.troponin[place].clone()).collect();
        shuffled.labs.creatinine = order.iter().map(|&place| sorted.labs.creatinine[place].clone()).collect();
        prop_assert_eq!(assess_all(&shuffled, &Choices::default()), assess_all(&sorted, &Choices::default()));
    }
}

/// The place of a result on its scale; larger is worse.
fn rank(finding: &Finding) -> usize {
    const ORDER: &[&str] = &[
        "not met",
        "0",
        "1",
        "2",
        "3",
        "3a",
        "3b",
        "4", // thrombus, kidney, bleeding
        "minor",
        "major",
        "injury",
        "infarction",
        "4a", // infarction and injury
        "first-notice",
        "substantial",
        ">2",
        ">3",
        ">3.7", // dose and contrast
        "acute",
        "subacute",
        "late",
        "very-late",
    ];
    let grade = decided(finding).unwrap_or_else(|| panic!("undecided: {}", finding.sentence));
    ORDER.iter().position(|one| *one == grade).unwrap_or_else(|| panic!("no place for {grade}"))
}

#[test]
fn egfr_falls_with_creatinine_and_with_age() {
    let egfr = |creatinine: &str, age: u32, sex: &str| -> f64 {
        let (facts, _) =
            given(&format!("creatinine: -60 {creatinine} mg/dL | patient: age {age}; sex {sex}"));
        finding("egfr", &facts, &Choices::default()).code().unwrap().parse().unwrap()
    };
    for sex in ["female", "male"] {
        assert!(egfr("0.5", 50, sex) > egfr("0.9", 50, sex) && egfr("0.9", 50, sex) > egfr("2.5", 50, sex));
        assert!(egfr("1.1", 30, sex) > egfr("1.1", 80, sex));
    }
}

#[test]
fn every_definition_gives_its_own_findings() {
    let mut facts = Facts::default();
    for family in Family::ALL {
        facts.add_row(*family, Subject::named("x"));
    }
    for definition in DEFINITIONS {
        let found = definition.findings(&facts, &Choices::default());
        assert!(!found.is_empty() && found.iter().all(|finding| finding.definition == definition.slug));
    }
}
