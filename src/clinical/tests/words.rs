//! The sentences that a fellow reads aloud, word by word.

use super::{finding, given};
use crate::clinical::facts::{
    AortaFacts, AorticReach, DeviceFacts, HaematomaFacts, HaematomaSite, PatientFacts,
};
use crate::clinical::{Answer, Choices, Facts, Row};

/// Definition, what was recorded, what is to be heard.
type Said = (&'static str, &'static str, &'static str);

fn hear(rows: &[Said]) {
    for (definition, recorded, sentence) in rows {
        let (facts, refused) = given(recorded);
        assert_eq!(refused, None, "{recorded}");
        assert_eq!(finding(definition, &facts, &Choices::default()).sentence, *sentence);
    }
}

#[test]
fn a_name_is_said_once_and_begins_with_a_capital() {
    let mut facts = Facts::default();
    facts
        .devices
        .push(Row::of("Stent loss", DeviceFacts { off_balloon: Answer::Yes, ..DeviceFacts::default() }));
    let site = HaematomaFacts { site: Some(HaematomaSite::Femoral), ..HaematomaFacts::default() };
    facts.haematomas.push(Row::of("right groin", site));
    let reach = AortaFacts { reach: Some(AorticReach::Ascending), ..AortaFacts::default() };
    facts.aorta.push(Row::of("aortocoronary dissection", reach));
    let said = |definition: &str| finding(definition, &facts, &Choices::default()).sentence;
    assert_eq!(said("device"), "Stent loss. The stent came off its balloon before it was deployed.");
    assert_eq!(
        said("haematoma"),
        "Right groin. Haematoma at the access site: not decidable. Not recorded: size of the haematoma."
    );
    assert_eq!(
        said("aortic-dissection"),
        "Aortocoronary dissection, Dunning class: not decidable. Not recorded: extent up the aorta."
    );
}

#[test]
fn angiographic_findings_say_what_was_seen() {
    hear(&[
        (
            "timi-frame-count",
            "frame-count: coronary rca; first 4; last 15; frame_rate 15",
            "LAD: frame count 22.0, not slow. 11 frames at 15 a second make 22.0 at 30 a second, not above 27.",
        ),
        (
            "timi-frame-count",
            "frame-count: coronary lad; first 0; last 41; frame_rate 15",
            "LAD: frame count 48.2, slow. 41 frames at 15 a second make 48.2 at 30 a second, once divided by 1.7 for \
             the LAD, above 27.",
        ),
        (
            "threatened-closure",
            "vessel: treated yes; dissection yes; thrombus no; worst 3; residual_percent 60",
            "LAD: threatened closure. A dissection, with a residual stenosis of 60 %.",
        ),
        (
            "threatened-closure",
            "vessel: treated yes; dissection yes; thrombus yes; worst 2; residual_percent 60",
            "LAD: threatened closure. A dissection and a thrombus, with flow of TIMI 2 and a residual stenosis of 60 %.",
        ),
        (
            "threatened-closure",
            "vessel: treated yes; dissection no; thrombus yes; worst 2; residual_percent 20",
            "LAD: threatened closure. A thrombus, with flow of TIMI 2.",
        ),
        (
            "no-reflow",
            "vessel: worst 1; treated yes",
            "LAD. No-reflow: not decidable. Not recorded: whether the lesion was open.",
        ),
        (
            "timi-thrombus",
            "thrombus: look definite; size 5.9; vessel 3.0",
            "LAD: thrombus grade 3. Definite thrombus of 5.9 mm in a vessel of 3 mm, about 1.97 times its diameter.",
        ),
    ]);
}

#[test]
fn creatinine_is_said_in_one_unit_with_its_peak() {
    hear(&[
        (
            "kidney-injury",
            "creatinine: -60 204 µmol/L; 1440 338 µmol/L; 2880 344 µmol/L | kidney: replacement no",
            "Acute kidney injury, KDIGO stage 1. Creatinine from 204 µmol/L to 344 µmol/L at its peak, 1.5 to below 2 \
             times the baseline.",
        ),
        (
            "kidney-injury",
            "creatinine: -60 109 µmol/L; 1440 140 µmol/L; 2000 143 µmol/L; 4320 150 µmol/L | kidney: replacement no",
            "Acute kidney injury, KDIGO stage 1. Creatinine from 109 µmol/L to 143 µmol/L, a rise of 26.5 µmol/L or \
             more within 48 h; 150 µmol/L at its peak.",
        ),
        (
            "kidney-injury",
            "creatinine: -60 0.85 mg/dL; 1440 79 µmol/L | kidney: replacement no",
            "No acute kidney injury. Creatinine from 75.2 µmol/L (entered as 0.85 mg/dL) to 79 µmol/L at most, below \
             every limit.",
        ),
        (
            "kidney-injury",
            "creatinine: -60 93 µmol/L; 2000 90 µmol/L | kidney: replacement no",
            "No acute kidney injury. Creatinine did not rise: from 93 µmol/L to 90 µmol/L at most.",
        ),
        (
            "contrast-nephropathy",
            "creatinine: -60 93 µmol/L; 3600 97 µmol/L | kidney: other_cause no",
            "No contrast nephropathy. Creatinine from 93 µmol/L to 97 µmol/L, a rise below 44 µmol/L and below 25 %.",
        ),
        (
            "contrast-nephropathy",
            "creatinine: -60 93 µmol/L; 3600 90 µmol/L | kidney: other_cause no",
            "No contrast nephropathy. Creatinine did not rise: from 93 µmol/L to 90 µmol/L.",
        ),
        (
            "contrast-ratio",
            "kidney: contrast 180; clearance 90",
            "Contrast ratio 2.00, not above 2. Contrast volume is 2.00 times the clearance of 90 mL/min as recorded.",
        ),
    ]);
}

#[test]
fn a_radiation_result_names_the_level_that_was_reached_and_notes_do_not_contradict_it() {
    hear(&[
        (
            "radiation",
            "radiation: air_kerma 3.2 Gy; kerma_area 100 Gy·cm²",
            "First notice, no substantial dose. Air kerma of 3.2 Gy reached the first notice of 3 Gy.",
        ),
        (
            "radiation",
            "radiation: air_kerma 4.4 Gy; kerma_area 31 800 cGy·cm²",
            "First notice, no substantial dose. Air kerma of 4.4 Gy reached the first notice of 3 Gy and kerma-area \
             product of 31800 cGy·cm² reached that of 30000 cGy·cm².",
        ),
        (
            "radiation",
            "radiation: air_kerma 5600 mGy",
            "Substantial radiation dose level reached. Air kerma of 5600 mGy reached the substantial level of 5000 mGy.",
        ),
        (
            "radiation",
            "radiation: air_kerma 3.5 Gy",
            "Radiation level: not decidable. Air kerma of 3.5 Gy reached the first notice of 3 Gy. Not recorded: \
             kerma-area product.",
        ),
        (
            "radiation",
            "radiation: air_kerma 2.2 Gy; kerma_area 168 Gy·cm²; fluoroscopy 48",
            "No radiation dose level reached. Air kerma of 2.2 Gy and kerma-area product of 168 Gy·cm², below the \
             first notice.",
        ),
    ]);
    let (facts, _) = given("radiation: air_kerma 2.2 Gy; kerma_area 168 Gy·cm²; fluoroscopy 48");
    assert_eq!(
        finding("radiation", &facts, &Choices::default()).notes,
        [
            "Fluoroscopy time: 2 notices were due, at 30 min and then every 15 min. It is a poor measure of dose; the \
          dose itself decides."
        ]
    );
}

#[test]
fn the_other_sentences_say_who_did_what() {
    hear(&[
        (
            "vasovagal",
            "circulation: vagal no",
            "No vasovagal reaction. Pulse and pressure did not fall together, or neither atropine nor fluid reversed it.",
        ),
        (
            "bleeding-barc",
            "haemoglobin: -60 14 g/dL; 600 13 g/dL | bleeding: overt yes; intervention no; higher_care no; evaluation no; transfused no; tamponade no; surgery no; vasoactive no; intracranial no; vision_loss no; bypass_related no; fatal no",
            "BARC 1. Overt bleeding that needed no intervention, no more care and no evaluation.",
        ),
        (
            "composite-outcome",
            "outcome: death no; stroke yes; infarction yes; revascularisation no",
            "MACCE. Met by a stroke and a myocardial infarction.",
        ),
        (
            "composite-outcome",
            "outcome: death no; stroke no; infarction no; revascularisation no",
            "No MACCE. None of its parts happened: death, stroke, infarction, repeat revascularisation.",
        ),
        (
            "bradycardia",
            "rhythm: slowest 62",
            "No bradycardia. A heart rate of 62/min at its slowest, not below 50/min.",
        ),
        (
            "arrest",
            "rhythm: compressions yes; defibrillation yes",
            "Cardiac arrest. Chest compressions and defibrillation were needed.",
        ),
        (
            "shock-stage",
            "circulation: arrest no; maximal_support no; lactate 1; acidity 7.4; cold no; low_urine no; drugs 0; device no; worsening no; systolic 85; mean 70; fall 10; pulse 120",
            "SCAI stage B, suggested. Hypotension and tachycardia without hypoperfusion.",
        ),
        (
            "killip",
            "circulation: systolic 120; oedema no; rales no; third_sound yes",
            "Killip II. A third heart sound.",
        ),
        (
            "allergic-reaction",
            "reaction: arrest no; shock yes; bronchospasm no",
            "Allergic reaction, Ring–Messmer III. Shock.",
        ),
        (
            "device",
            "device: loose no; stuck no; broken no",
            "LAD. Device complication: not decidable. Not recorded: kind of device.",
        ),
        (
            "egfr",
            "creatinine: -60 1.0 mg/dL | patient: sex male",
            "eGFR, CKD-EPI 2021: not decidable. Not recorded: age in whole years.",
        ),
    ]);
    assert!(PatientFacts::AGE.help.contains("“90 or older” is not one"), "{}", PatientFacts::AGE.help);
}
