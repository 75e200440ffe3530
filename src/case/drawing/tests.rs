//! A case as drawings.

use super::*;
use crate::case::{Case, CaseCode};

fn stored(lists: &str) -> StoredCase {
    let text = format!("format = 1\ntitle = \"t\"\nmonth = \"2025-03\"\nstage = \"recorded\"\n{lists}");
    let case: Case = toml::from_str(&text).unwrap();
    StoredCase::of_file(case, CaseCode::new(2025, 1).unwrap())
}

/// The shipped tree, as far as labels go.
fn vocabulary() -> Vocabulary {
    Vocabulary { mechanisms: crate::vocabulary::shipped_mechanisms(), ..Vocabulary::default() }
}

const CLOSURE: &str = r#"
[[events]]
key = "open"
at = "+1:00"
kind = "flow"
segment = "lad-mid"
flow = 3
[[events]]
key = "d-open"
at = "+1:00"
kind = "flow"
segment = "diagonal-1"
flow = 3
[[events]]
key = "closed"
at = "+12:30"
kind = "flow"
segment = "lad-mid"
flow = 0
text = "No flow past the bend."
[[events]]
key = "stent"
at = "+43:00"
time = "within 3 min"
kind = "stent"
segment = "lad-mid"
[[events]]
key = "back"
at = "+50:30"
kind = "flow"
segment = "lad-mid"
flow = 3
[[events]]
key = "d-lost"
at = "+50:30"
kind = "flow"
segment = "diagonal-1"
flow = 0
[[events]]
key = "talk"
at = "+55:00"
time = "order only"
kind = "decision"
[[complications]]
key = "tear"
mechanism = "wire-subintimal"
segment = "lad-mid"
began = "open"
recognised = "closed"
controlled = "back"
dissection = "D"
[[complications]]
key = "loss"
mechanism = "branch-jailed"
segment = "diagonal-1"
began = "stent"
recognised = "d-lost"
worst_flow = 0
consequence_of = "tear"
"#;

#[test]
fn the_title_is_what_the_flow_shows() {
    let drawing = timeline(&stored(CLOSURE), &vocabulary());
    assert_eq!(drawing.title, "The LAD was closed for 38 min; D1 was not restored");
}

#[test]
fn a_case_without_lost_flow_is_titled_by_how_long_its_harm_took() {
    let events = "[[events]]\nkey = \"a\"\nat = \"+0:00\"\nkind = \"access\"\n[[events]]\nkey = \"b\"\nat = \"+82:00\"\nkind = \"symptom\"\n";
    let harm = "[[complications]]\nkey = \"c\"\nmechanism = \"access-retroperitoneal\"\nbegan = \"a\"\nrecognised = \"b\"\n";
    let drawing = timeline(&stored(&format!("{events}{harm}")), &vocabulary());
    assert!(drawing.title.ends_with(": recognised after 82 min"), "{}", drawing.title);
    assert_eq!(timeline(&stored(events), &vocabulary()).title, "Two events from +0:00 to +1:22:00");
    assert_eq!(timeline(&stored(""), &vocabulary()).title, "No events yet");
}

#[test]
fn a_vessel_that_was_opened_is_no_finding_of_a_complication() {
    let events = "[[events]]\nkey = \"a\"\nat = \"+0:00\"\nkind = \"flow\"\nsegment = \"rca-mid\"\nflow = 0\n[[events]]\nkey = \"b\"\nat = \"+20:00\"\nkind = \"flow\"\nsegment = \"rca-mid\"\nflow = 3\n";
    assert_eq!(timeline(&stored(events), &vocabulary()).title, "Two events from +0:00 to +20:00");
}

#[test]
fn a_branch_hangs_under_its_trunk_and_marks_point_to_their_lane() {
    let drawing = timeline(&stored(CLOSURE), &vocabulary());
    let lanes: Vec<(&str, u8, usize)> =
        drawing.lanes.iter().map(|lane| (lane.label.as_str(), lane.depth, lane.sights.len())).collect();
    assert_eq!(lanes, [("LAD", 0, 3), ("D1", 1, 2)]);
    let marks: Vec<(u32, Option<usize>)> =
        drawing.marks.iter().map(|mark| (mark.number, mark.lane)).collect();
    assert_eq!(
        marks,
        [(1, Some(0)), (2, Some(1)), (3, Some(0)), (4, Some(0)), (5, Some(0)), (6, Some(1)), (7, None)]
    );
}

#[test]
fn only_an_uncertain_time_has_bounds() {
    let drawing = timeline(&stored(CLOSURE), &vocabulary());
    let seconds = |mark: &Mark| mark.bounds.map(|(a, b)| (a.seconds(), b.seconds()));
    assert_eq!(seconds(&drawing.marks[2]), None);
    assert_eq!(seconds(&drawing.marks[3]), Some((40 * 60, 46 * 60)));
    assert!(drawing.marks[6].order_only && !drawing.marks[3].order_only);
}

#[test]
fn a_bracket_says_its_minutes_with_their_bounds() {
    let drawing = timeline(&stored(CLOSURE), &vocabulary());
    let [tear, loss] = drawing.brackets.as_slice() else { panic!("two brackets") };
    assert_eq!(tear.to_recognition.as_deref(), Some("12 min"));
    assert_eq!(tear.to_control.as_deref(), Some("50 min"));
    assert_eq!(loss.to_recognition.as_deref(), Some("7 min 30 s (4 min 30 s to 11 min)"));
    assert_eq!((loss.controlled, loss.to_control.as_deref()), (None, None));
}

#[test]
fn a_harm_whose_events_contradict_each_other_gets_no_bracket() {
    let text = CLOSURE.replace("began = \"open\"", "began = \"talk\"");
    assert_eq!(timeline(&stored(&text), &vocabulary()).brackets.len(), 1);
}

#[test]
fn every_kind_of_event_has_its_family_and_the_legend_only_those_in_use() {
    let used: Vec<MarkFamily> = EventKind::ALL.iter().copied().map(family).collect();
    assert!(MarkFamily::ALL.iter().all(|family| used.contains(family)));
    assert_eq!(families(&stored(CLOSURE)), [MarkFamily::Treat, MarkFamily::See, MarkFamily::Decide]);
    assert!(families(&stored("")).is_empty());
}

#[test]
fn the_chain_tells_which_harm_led_to_which() {
    let vocabulary = vocabulary();
    let chain = chain(&stored(CLOSURE), &vocabulary);
    assert_eq!(chain.edges, [(0, 1)]);
    assert_eq!(chain.nodes[0].label, "Wire dissection, type D");
    assert!(chain.nodes[1].label.ends_with(", TIMI 0 at worst"));
    assert_eq!(chain.nodes[1].vessel.as_deref(), Some("First diagonal"));
    assert_eq!(chain.title, "Wire dissection led to jailed branch");
}

#[test]
fn a_chain_of_three_is_told_in_one_breath() {
    let third = "[[complications]]\nkey = \"third\"\nmechanism = \"sys-shock\"\nconsequence_of = \"loss\"\n";
    let chain = chain(&stored(&format!("{CLOSURE}{third}")), &vocabulary());
    assert_eq!(chain.title, "Wire dissection led to jailed branch, which led to shock");
}

#[test]
fn harms_that_are_not_linked_are_no_chain() {
    let text = CLOSURE.replace("consequence_of = \"tear\"", "");
    let chain = chain(&stored(&text), &vocabulary());
    assert!(chain.edges.is_empty());
    assert!(chain.title.starts_with("Two harms"));
}
