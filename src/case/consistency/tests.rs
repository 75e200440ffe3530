//! Contradictions, each with its row.

use super::*;
use crate::case::{Case, CaseCode};

fn found(lists: &str) -> Vec<(String, String)> {
    let text = format!("format = 1\ntitle = \"t\"\nmonth = \"2025-03\"\nstage = \"recorded\"\n{lists}");
    let case: Case = toml::from_str(&text).unwrap();
    let case = StoredCase::of_file(case, CaseCode::new(2025, 1).unwrap());
    let reading = Reading::of(&case.events, &case.complications);
    contradictions(&case, &reading).into_iter().map(|one| (one.anchor, one.sentence)).collect()
}

fn event(key: &str, at: &str, kind: &str, more: &str) -> String {
    format!("[[events]]\nkey = \"{key}\"\nat = \"{at}\"\nkind = \"{kind}\"\n{more}\n")
}

fn harm(more: &str) -> String {
    format!("[[complications]]\nkey = \"x\"\nmechanism = \"flow-thrombus\"\n{more}\n")
}

fn observed(family: &str, answers: &str) -> String {
    format!("[[observations]]\nfamily = \"{family}\"\n[observations.answers]\n{answers}\n")
}

/// The anchors of what is found in these lists.
fn anchors(lists: &str) -> Vec<String> {
    found(lists).into_iter().map(|(anchor, _)| anchor).collect()
}

#[test]
fn a_sound_case_has_none() {
    let lists = [
        "[[lesions]]\nsegment = \"lad-mid\"\n".to_owned(),
        event("a", "+0:00", "flow", "segment = \"lad-mid\"\nflow = 3\ncontrast = \"20 mL\""),
        event("b", "+9:00", "balloon", "segment = \"diagonal-1\"\ncontrast = \"20 mL\""),
        event("c", "+10:00", "flow", "segment = \"lad-mid\"\nflow = 0"),
        event("d", "+30:00", "flow", "segment = \"lad-mid\"\nflow = 3\ncontrast = \"90 mL\""),
        harm(
            "segment = \"diagonal-1\"\nbegan = \"b\"\nrecognised = \"c\"\ncontrolled = \"d\"\nworst_flow = 0",
        ),
        observed("ischaemia", "q_waves = \"yes\"\nq_waves_contiguous = \"no\""),
    ]
    .concat();
    assert_eq!(found(&lists), []);
}

#[test]
fn an_end_before_the_beginning_is_one() {
    let lists = [event("a", "+0:00", "finding", ""), event("b", "+5:00", "finding", "")].concat();
    for end in ["recognised", "responded", "controlled"] {
        assert_eq!(
            anchors(&format!("{lists}{}", harm(&format!("began = \"b\"\n{end} = \"a\"")))),
            ["complication-1"]
        );
    }
}

#[test]
fn an_open_vessel_while_it_is_said_to_be_closed_is_one() {
    let looks = |second: u8| {
        [
            event("a", "+0:00", "flow", "segment = \"lad-mid\"\nflow = 0"),
            event("b", "+5:00", "flow", &format!("segment = \"lad-distal\"\nflow = {second}")),
            event("c", "+9:00", "flow", "segment = \"lad-mid\"\nflow = 3"),
            harm("segment = \"lad-mid\"\nbegan = \"a\"\nrecognised = \"a\"\ncontrolled = \"c\"\nworst_flow = 0"),
        ]
        .concat()
    };
    let told = found(&looks(3));
    assert_eq!(told[0].0, "event-2");
    assert!(told[0].1.contains("TIMI 3 in the LAD"), "{}", told[0].1);
    assert_eq!(found(&looks(1)), []);
}

#[test]
fn a_harm_in_one_artery_that_began_in_the_other_is_one() {
    let lists = |segment: &str| {
        [
            event("a", "+0:00", "wire", "segment = \"lad-mid\""),
            harm(&format!("segment = \"{segment}\"\nbegan = \"a\"")),
        ]
        .concat()
    };
    assert_eq!(anchors(&lists("rca-mid")), ["complication-1"]);
    assert_eq!(anchors(&lists("obtuse-marginal")), Vec::<String>::new());
}

#[test]
fn a_stent_where_no_lesion_and_no_harm_lies_is_one() {
    let lists = [
        "[[lesions]]\nsegment = \"rca-mid\"\n".to_owned(),
        event("a", "+0:00", "stent", "segment = \"lad-mid\""),
    ]
    .concat();
    assert_eq!(anchors(&lists), ["event-1"]);
    assert_eq!(anchors(&lists.replace("rca-mid", "left-main")), Vec::<String>::new());
}

#[test]
fn work_after_the_stated_end_is_one_unless_there_was_a_new_access() {
    let end = observed("procedure", "ended = \"+30:00\"");
    let back = |access: &str| {
        [event("a", "+0:00", "access", ""), access.to_owned(), event("b", "+50:00", "wire", ""), end.clone()]
            .concat()
    };
    assert_eq!(anchors(&back("")), ["event-2"]);
    assert_eq!(anchors(&back(&event("again", "+45:00", "access", ""))), Vec::<String>::new());
}

#[test]
fn a_dose_so_far_that_falls_is_one() {
    let lists = [
        event("a", "+0:00", "imaging", "contrast = \"80 mL\""),
        event("b", "+5:00", "imaging", "contrast = \"60 mL\""),
    ]
    .concat();
    assert_eq!(anchors(&lists), ["event-2"]);
}

#[test]
fn answers_that_cannot_both_be_true_are_one() {
    for (family, answers) in [
        ("ischaemia", "q_waves = \"no\"\nq_waves_contiguous = \"yes\""),
        ("ischaemia", "imaging_loss = \"no\"\nimaging_substantial = \"yes\""),
        ("bleeding", "fatal = \"no\"\nfatal_proved = \"yes\""),
        ("bleeding", "transfused = \"no\"\nunits_before_nadir = \"2\""),
        ("pericardium", "effusion = \"no\"\ndrained = \"yes\""),
    ] {
        assert_eq!(anchors(&observed(family, answers)), ["observation-1"], "{family}: {answers}");
    }
    assert_eq!(
        anchors(&observed("bleeding", "transfused = \"no\"\nunits_before_nadir = \"0\"")),
        Vec::<String>::new()
    );
    let survived = format!("{}[outcome]\nharm = \"death\"\n", observed("outcome", "death = \"no\""));
    assert_eq!(anchors(&survived), ["observation-1"]);
}

#[test]
fn two_grades_of_flow_in_one_vessel_at_one_time_are_one() {
    let looks = |second: &str, at: &str| {
        [
            event("a", "+5:00", "flow", "segment = \"lad-mid\"\nflow = 3"),
            event("b", at, "flow", &format!("segment = \"{second}\"\nflow = 0")),
        ]
        .concat()
    };
    assert_eq!(anchors(&looks("lad-distal", "+5:00")), ["event-2"]);
    assert_eq!(anchors(&looks("lad-distal", "+5:01")), Vec::<String>::new());
    assert_eq!(anchors(&looks("diagonal-1", "+5:00")), Vec::<String>::new());
}
