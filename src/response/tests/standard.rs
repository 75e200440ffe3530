//! The lists that ship, against the reference: its section 16, which gives the steps as common practice,
//! from memory, beside general reviews (Heart 2019;105:75; J Invasive Cardiol 2024, doi
//! 10.25270/jic/24.00260), and the leaves of its section 17.

use std::collections::BTreeSet;

use super::{ALLOWED, MECHANISMS};
use crate::response::{Allowed, Answer, CAUTION, LISTS, PromptList, standard_lists};

/// A list, the number of an item in section 16, and the steps that it became, each with words of the
/// item that its text, its reason or its condition has to hold.
type Row = (&'static str, u8, &'static [(&'static str, &'static str)]);

const CLOSURE: &str = "acute-vessel-closure";
const PERFORATION: &str = "perforation";
const NO_REFLOW: &str = "no-reflow";
const BRANCH: &str = "side-branch-loss";
const DEVICE: &str = "device-entrapment-embolisation";
const ACCESS: &str = "access-bleeding";
const ANAPHYLAXIS: &str = "anaphylaxis";
const AIR: &str = "coronary-air";

#[rustfmt::skip]
const SECTION_16: &[Row] = &[
    (CLOSURE, 1, &[("wire-kept", "Wire kept in place")]),
    (CLOSURE, 2, &[("help-called", "Help called"), ("circulation-supported", "Pressure and rhythm supported")]),
    (CLOSURE, 3, &[("guide-checked", "Guide position and pressure"), ("clotting-time-checked", "Clotting time checked")]),
    (CLOSURE, 4, &[("cause-sought", "dissection, thrombus, spasm, air or no-reflow; intravascular imaging"), ("no-forceful-injection", "No forceful injection")]),
    (CLOSURE, 5, &[("seal-with-stent", "sealed with a stent")]),
    (CLOSURE, 6, &[("true-lumen-regained", "Distal true lumen regained"), ("true-lumen-confirmed", "the tip moves freely, side branches are entered, or imaging"), ("vessel-opened", "stenting a false lumen closes the vessel")]),
    (CLOSURE, 7, &[("antithrombotic-added", "More antithrombotic treatment"), ("thrombus-treated", "aspirated or treated with a balloon")]),
    (CLOSURE, 8, &[("emergency-surgery", "Emergency surgery, when the territory is large"), ("medical-care", "Medical care, when the vessel is small")]),
    (CLOSURE, 9, &[("final-flow-recorded", "Final TIMI"), ("restoration-timed", "Time of restoration recorded")]),

    (PERFORATION, 1, &[("balloon-up", "at the leak or just proximal to it, at once")]),
    (PERFORATION, 2, &[("help-called", "Help called"), ("surgeon-echo-anaesthesia", "Surgeon, echo and anaesthesia alerted"), ("pressure-held", "Fluid and pressors")]),
    (PERFORATION, 3, &[("echo-for-effusion", "Echo looked for an effusion"), ("drained", "drained, when there is tamponade")]),
    (PERFORATION, 4, &[("type-site-cause-recorded", "Ellis type, site and cause recorded")]),
    (PERFORATION, 5, &[("way-for-covered-stent", "a second guide or the same one, with the balloon kept ready"), ("covered-stent", "Covered stent placed over a leak that goes on in a large vessel")]),
    (PERFORATION, 6, &[("distal-vessel-closed", "suction, coil, fat or clot")]),
    (PERFORATION, 7, &[("reversal-weighed", "usually after the equipment is out"), ("platelet-infusion-stopped", "Infusions of platelet inhibitors stopped")]),
    (PERFORATION, 8, &[("surgery", "Surgery, when the leak cannot be controlled")]),
    (PERFORATION, 9, &[("echo-repeated", "9 of 15 came after the procedure"), ("monitored-bed", "Monitored bed")]),

    (NO_REFLOW, 1, &[("causes-excluded", "Dissection, thrombus, spasm, air and residual stenosis looked for and excluded")]),
    (NO_REFLOW, 2, &[("pressure-supported", "Pressure supported"), ("oxygen-given", "Oxygen")]),
    (NO_REFLOW, 3, &[("vasodilator-distally", "into the distal bed, through a microcatheter or similar")]),
    (NO_REFLOW, 4, &[("clotting-time-reviewed", "Clotting time"), ("antiplatelet-reviewed", "Antiplatelet")]),
    (NO_REFLOW, 5, &[("flow-repeated", "TIMI grade repeated and timed")]),
    (NO_REFLOW, 6, &[("mechanical-support", "Mechanical support considered, when there is shock")]),
    (NO_REFLOW, 7, &[("final-flow-recorded", "Final TIMI grade"), ("final-blush-recorded", "Final blush")]),

    (BRANCH, 1, &[("branch-judged", "Size and territory of the branch judged"), ("ecg-and-pain-noted", "ECG and pain noted")]),
    (BRANCH, 2, &[("jailed-wire-left", "74.8 % with a jailed wire and in 57.8 % without")]),
    (BRANCH, 3, &[("proximal-optimisation", "proximal optimisation"), ("branch-rewired", "rewired through a distal cell")]),
    (BRANCH, 4, &[("branch-ballooned", "small balloon or kissing")]),
    (BRANCH, 5, &[("branch-stented", "only because flow or dissection demands it")]),
    (BRANCH, 6, &[("loss-accepted", "small silent branch accepted")]),

    (DEVICE, 1, &[("no-forceful-pull", "No forceful pull"), ("wire-access-kept", "Wire access kept")]),
    (DEVICE, 2, &[("position-seen", "two views or by imaging")]),
    (DEVICE, 3, &[("anticoagulation-confirmed", "Anticoagulation confirmed")]),
    (DEVICE, 4, &[("release-in-steps", "guide depth, microcatheter or balloon alongside, second wire")]),
    (DEVICE, 5, &[("loose-part-treated", "Snare, small balloon or twin wires")]),
    (DEVICE, 6, &[("surgeon-asked-early", "3 of 4")]),
    (DEVICE, 7, &[("parts-counted", "Parts counted and kept"), ("patient-told", "Patient told")]),

    (ACCESS, 1, &[("direct-pressure", "Direct pressure")]),
    (ACCESS, 2, &[("vital-signs-taken", "Vital signs"), ("haemoglobin-taken", "Haemoglobin"), ("group-and-save", "grouped and saved")]),
    (ACCESS, 3, &[("hidden-bleed-suspected", "retroperitoneal"), ("ct", "CT made, when the patient is stable")]),
    (ACCESS, 4, &[("antithrombotics-weighed", "reversed or stopped, as balanced against the stent")]),
    (ACCESS, 5, &[("cuff-compression", "cuff"), ("compartment-watched", "Compartment signs")]),
    (ACCESS, 6, &[("vessel-closed", "Balloon tamponade, covered stent or surgery")]),
    (ACCESS, 7, &[("barc-type-recorded", "BARC type recorded, after correction for transfusion")]),

    (ANAPHYLAXIS, 1, &[("trigger-stopped", "Trigger stopped")]),
    (ANAPHYLAXIS, 2, &[("adrenaline-first", "late use goes with a worse outcome")]),
    (ANAPHYLAXIS, 3, &[("airway-and-oxygen", "Airway"), ("fluid-given", "Fluid")]),
    (ANAPHYLAXIS, 4, &[("adrenaline-repeated", "repeated or infused")]),
    (ANAPHYLAXIS, 5, &[("second-line", "Antihistamine and steroid given as second line only")]),
    (ANAPHYLAXIS, 6, &[("tryptase-timed", "Tryptase"), ("second-phase-watched", "second phase"), ("allergy-recorded", "Allergy recorded")]),

    (AIR, 1, &[("injection-stopped", "Injection stopped"), ("system-checked", "System checked and the source closed")]),
    (AIR, 2, &[("pure-oxygen", "100 %")]),
    (AIR, 3, &[("air-aspirated", "Air aspirated"), ("flushed", "Saline or blood flushed")]),
    (AIR, 4, &[("circulation-supported", "Pressure and rhythm supported"), ("resuscitated", "Shock and chest compressions, as needed")]),
    (AIR, 5, &[("bubbles-broken", "Vasodilator, wire or balloon")]),
    (AIR, 6, &[("flow-rechecked", "TIMI grade checked again, and timed")]),
];

/// How many items each list of section 16 has.
const ITEMS: [(&str, u8); 8] = [
    (CLOSURE, 9),
    (PERFORATION, 9),
    (NO_REFLOW, 7),
    (BRANCH, 6),
    (DEVICE, 7),
    (ACCESS, 7),
    (ANAPHYLAXIS, 6),
    (AIR, 6),
];

fn lists() -> Vec<PromptList> {
    standard_lists(&ALLOWED).unwrap_or_else(|error| panic!("{error}"))
}

#[test]
fn every_list_is_read_and_named_as_its_file() {
    let slugs: Vec<String> = lists().iter().map(|list| list.slug().to_string()).collect();
    assert_eq!(slugs, LISTS.iter().map(|(slug, _)| *slug).collect::<Vec<_>>());
    assert_eq!(slugs, ITEMS.iter().map(|(slug, _)| *slug).collect::<Vec<_>>());
}

#[test]
fn every_item_of_the_reference_is_a_step_and_every_step_is_in_the_reference() {
    for list in lists() {
        let rows: Vec<&Row> = SECTION_16.iter().filter(|(slug, _, _)| *list.slug() == **slug).collect();
        let numbers: Vec<u8> = rows.iter().map(|(_, number, _)| *number).collect();
        let items = ITEMS.iter().find(|(slug, _)| *list.slug() == **slug).unwrap().1;
        assert_eq!(numbers, (1..=items).collect::<Vec<_>>(), "{}", list.slug());
        let steps: Vec<_> = rows.iter().flat_map(|(_, _, steps)| *steps).collect();
        let own: Vec<&str> = list.steps().iter().map(|step| step.slug.as_str()).collect();
        assert_eq!(
            own,
            steps.iter().map(|(slug, _)| *slug).collect::<Vec<_>>(),
            "in the order of section 16"
        );
        for (step, (_, words)) in list.steps().iter().zip(steps) {
            let said = format!("{} {}", step.text, step.why);
            assert!(said.contains(words), "{}, {}: “{said}” lacks “{words}”", list.slug(), step.slug);
        }
    }
}

/// The branches that section 16 names with an arrow or an "if".
#[test]
fn the_branches_of_the_reference_are_followed() {
    use Answer::{No, Yes};
    for (list, step, question, answer) in [
        (CLOSURE, "seal-with-stent", "dissection", Yes),
        (CLOSURE, "true-lumen-regained", "wired-distally", No),
        (CLOSURE, "true-lumen-confirmed", "wired-distally", No),
        (CLOSURE, "vessel-opened", "wired-distally", No),
        (CLOSURE, "antithrombotic-added", "thrombus", Yes),
        (CLOSURE, "thrombus-treated", "thrombus", Yes),
        (CLOSURE, "emergency-surgery", "large-territory", Yes),
        (CLOSURE, "medical-care", "large-territory", No),
        (PERFORATION, "drained", "tamponade", Yes),
        (PERFORATION, "covered-stent", "large-vessel", Yes),
        (PERFORATION, "distal-vessel-closed", "large-vessel", No),
        (PERFORATION, "surgery", "uncontrolled", Yes),
        (NO_REFLOW, "mechanical-support", "shock", Yes),
        (BRANCH, "branch-stented", "stent-demanded", Yes),
        (BRANCH, "loss-accepted", "worth-reopening", No),
        (DEVICE, "loose-part-treated", "loose-part", Yes),
        (DEVICE, "surgeon-asked-early", "held-fast", Yes),
        (ACCESS, "ct", "stable", Yes),
        (ACCESS, "cuff-compression", "forearm", Yes),
        (ACCESS, "compartment-watched", "forearm", Yes),
        (AIR, "resuscitated", "arrest", Yes),
    ] {
        let list = super::standard(list);
        let found = list.steps().iter().find(|own| own.slug == *step).unwrap();
        let condition = found.only_if.as_ref().unwrap();
        assert_eq!((condition.question.as_str(), condition.answer), (question, answer), "{step}");
    }
    for (list, question, leads) in [
        (CLOSURE, "dissection", "wired-distally"),
        (CLOSURE, "large-territory", "not-restored"),
        (PERFORATION, "large-vessel", "still-leaking"),
        (BRANCH, "stent-demanded", "worth-reopening"),
        (ACCESS, "stable", "hidden-bleed"),
    ] {
        let list = super::standard(list);
        let found = list.questions().iter().find(|own| own.slug == *question).unwrap();
        assert_eq!(found.only_if.as_ref().unwrap().question.as_str(), leads);
    }
}

/// Only where section 16 says "before", "then" or "second line only" can a step be late.
#[test]
fn an_order_is_asked_for_only_where_the_reference_names_one() {
    let mut orders = Vec::new();
    for list in lists() {
        for step in list.steps() {
            orders.extend(step.before.as_ref().map(|next| format!("{} < {next}", step.slug)));
        }
    }
    let expected = [
        "true-lumen-regained < vessel-opened",
        "true-lumen-confirmed < vessel-opened",
        "proximal-optimisation < branch-rewired",
        "adrenaline-first < second-line",
    ];
    assert_eq!(orders, expected);
}

#[test]
fn every_list_and_step_says_how_far_its_source_can_be_relied_on() {
    for list in lists() {
        assert!(list.source().contains("from memory"), "{}", list.slug());
        assert!(
            list.source().contains("Heart 2019;105:75") && list.source().contains("10.25270/jic/24.00260")
        );
        for step in list.steps() {
            let source = step.source.as_deref().unwrap_or_default();
            assert!(source.contains("from memory; verify"), "{}, {}: {source}", list.slug(), step.slug);
        }
    }
    // The publications that section 16 names beside single steps.
    for (list, step, publication) in [
        (PERFORATION, "echo-repeated", "Von Sohsten 2000"),
        (PERFORATION, "monitored-bed", "Von Sohsten 2000"),
        (BRANCH, "jailed-wire-left", "Hahn et al., J Am Coll Cardiol 2013;62:1654"),
        (DEVICE, "surgeon-asked-early", "J Invasive Cardiol 2012"),
        (ANAPHYLAXIS, "adrenaline-first", "World Allergy Organization guidance 2020"),
        (AIR, "air-aspirated", "Khan 1995"),
        (AIR, "flushed", "Khan 1995"),
    ] {
        let list = super::standard(list);
        let found = list.steps().iter().find(|own| own.slug == *step).unwrap();
        assert!(found.source.as_deref().unwrap().contains(publication), "{step}");
    }
}

/// Leaves of section 17, and the list that answers to each; the other leaves have none.
#[test]
fn each_mechanism_finds_its_list() {
    for (slug, leaves) in [
        (
            CLOSURE,
            &[
                "wire-subintimal",
                "wire-position-lost",
                "flow-thrombus",
                "flow-spasm",
                "balloon-dissection",
                "stent-edge-dissection",
                "stent-thrombosis",
                "guide-ostial-dissection",
                "guide-left-main",
                "guide-extension-injury",
            ][..],
        ),
        (
            PERFORATION,
            &[
                "wire-distal-perforation",
                "balloon-perforation",
                "ablation-perforation",
                "peri-tamponade",
                "peri-late-effusion",
            ],
        ),
        (NO_REFLOW, &["flow-no-reflow", "flow-slow", "flow-distal-embolus", "ablation-debris"]),
        (
            BRANCH,
            &[
                "branch-carina-shift",
                "branch-plaque-shift",
                "branch-jailed",
                "branch-dissection",
                "branch-thrombus",
            ],
        ),
        (DEVICE, &["wire-fracture", "wire-entrapment", "balloon-entrapment", "stent-loss", "ablation-stuck"]),
        (ACCESS, &["access-haematoma", "access-retroperitoneal", "access-pseudoaneurysm"]),
        (ANAPHYLAXIS, &["drug-allergy"]),
        (AIR, &["flow-air"]),
    ] {
        let list = super::standard(slug);
        let found: BTreeSet<&str> = MECHANISMS.iter().copied().filter(|leaf| list.is_for(leaf)).collect();
        assert_eq!(found, leaves.iter().copied().collect::<BTreeSet<_>>(), "{slug}");
    }
}

#[test]
fn no_list_gives_a_dose() {
    let units = ["mg", "µg", "mcg", "microgram", "milligram", "unit", "units", "iu", "ml", "mmol", "mg/kg"];
    for (slug, text) in LISTS {
        let words: Vec<String> = text
            .split_whitespace()
            .map(|word| word.trim_matches(|c: char| !c.is_alphanumeric()).to_lowercase())
            .collect();
        for word in &words {
            let unit = word.trim_start_matches(|c: char| c.is_ascii_digit() || matches!(c, '.' | ','));
            assert!(!units.contains(&unit), "{slug}: {word}");
        }
    }
}

#[test]
fn the_caution_names_what_rules() {
    for words in ["Common practice", "teaching aid", "not a protocol", "Local protocol", "licensed judgement"]
    {
        assert!(CAUTION.contains(words));
    }
}

#[test]
fn a_word_that_was_not_passed_is_told_with_the_list_that_needs_it() {
    let fewer = Allowed { devices: &["coil"], ..ALLOWED };
    let error = standard_lists(&fewer).unwrap_err();
    assert_eq!(error.slug, CLOSURE);
    assert!(error.to_string().contains("“aspiration-catheter” is not a device class"), "{error}");
}
