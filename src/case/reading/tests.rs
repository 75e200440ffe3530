//! A case's times in sentences.

use super::*;
use crate::case::Case;

/// The reading of a case with these events and complications, in the case-file format.
fn reading(lists: &str) -> Reading {
    let text = format!("format = 1\ntitle = \"t\"\nmonth = \"2025-03\"\nstage = \"recorded\"\n{lists}");
    let case: Case = toml::from_str(&text).unwrap();
    Reading::of(&rows(case.events), &rows(case.complications))
}

fn rows<T>(values: Vec<T>) -> Vec<Row<T>> {
    (1..).zip(values).map(|(id, value)| Row { id, value }).collect()
}

fn event(key: &str, at: &str, rest: &str) -> String {
    format!("[[events]]\nkey = \"{key}\"\nat = \"{at}\"\nkind = \"flow\"\n{rest}\n")
}

fn flow(key: &str, at: &str, segment: &str, grade: u8) -> String {
    event(key, at, &format!("segment = \"{segment}\"\nflow = {grade}"))
}

fn texts(reading: &Reading) -> Vec<String> {
    reading.flow_sentences().into_iter().map(|sentence| sentence.text).collect()
}

#[test]
fn a_loss_that_was_restored_says_how_long_and_from_when_to_when() {
    let reading = reading(
        &[
            flow("a", "+10:00", "lad-mid", 3),
            event("b", "+12:30", "segment = \"lad-mid\"\nflow = 0"),
            event("c", "+50:10", "segment = \"lad-distal\"\nflow = 3"),
        ]
        .concat(),
    );
    assert_eq!(
        texts(&reading),
        [
            "Flow in the LAD was lost for 38 min, from +12:30 to TIMI 3 at +50:10. Last seen open before at +10:00, so up to 40 min to TIMI 3."
        ]
    );
    assert_eq!(reading.flow_sentences()[0].finding, "the LAD was closed for 38 min");
    assert_eq!(reading.flow_sentences()[0].events, [2, 3]);
}

#[test]
fn a_loss_that_came_back_in_steps_names_each_of_them() {
    let found = |last: &str| {
        let lists = [
            flow("a", "+10:00", "lad-mid", 3),
            flow("b", "+12:10", "lad-mid", 0),
            flow("c", "+29:20", "lad-mid", 2),
        ];
        reading(&format!("{}{last}", lists.concat())).flow_sentences().remove(0)
    };
    let restored = found(&flow("d", "+42:30", "lad-mid", 3));
    assert_eq!(
        restored.text,
        "Flow in the LAD was lost at +12:10; TIMI 2 was back after 17 min and TIMI 3 after 30 min, at +42:30. Last seen open before at +10:00, so up to 33 min to TIMI 3."
    );
    assert_eq!(restored.finding, "the LAD lost its flow: TIMI 2 after 17 min, TIMI 3 after 30 min");
    let open = found(&event("d", "+42:30", ""));
    assert!(open.text.contains("at least 30 min. TIMI 2 was back after 17 min."), "{}", open.text);
}

#[test]
fn a_vessel_is_called_closed_only_when_no_trickle_was_seen() {
    let found = |worst: [u8; 2]| {
        let lists = [
            flow("a", "+0:00", "lad-mid", 3),
            flow("b", "+1:00", "lad-mid", worst[0]),
            flow("c", "+2:00", "lad-mid", worst[1]),
            flow("d", "+21:00", "lad-mid", 3),
        ];
        reading(&lists.concat()).flow_sentences().remove(0).finding
    };
    assert_eq!(found([0, 0]), "the LAD was closed for 20 min");
    assert_eq!(found([0, 1]), "the LAD was without flow for 20 min");
}

#[test]
fn an_estimated_time_gives_the_loss_its_bounds() {
    let reading = reading(
        &[
            flow("a", "+12:00", "lad-mid", 3),
            event("b", "+12:00", "time = \"within 2 min\"\nsegment = \"lad-mid\"\nflow = 0"),
            event("c", "+50:00", "time = \"within 2 min\"\nsegment = \"lad-mid\"\nflow = 3"),
        ]
        .concat(),
    );
    let text = texts(&reading).remove(0);
    assert!(
        text.starts_with(
            "Flow in the LAD was lost for 38 min (34 to 42), from ≈ +12:00 to TIMI 3 at ≈ +50:00."
        ),
        "{text}"
    );
}

#[test]
fn a_loss_that_was_not_restored_is_counted_to_the_last_event_and_says_so() {
    let reading = reading(
        &[
            flow("a", "+0:00", "diagonal-1", 3),
            flow("b", "+10:00", "diagonal-1", 0),
            event("c", "+60:00", ""),
        ]
        .concat(),
    );
    let sentence = reading.flow_sentences().remove(0);
    assert!(
        sentence.text.starts_with(
            "Flow in D1 was lost at +10:00 and was not seen at TIMI 3 by the last event of the procedure (+1:00:00): at least 50 min."
        ),
        "{}",
        sentence.text
    );
    assert_eq!(sentence.finding, "D1 was not restored");
    assert_eq!(reading.vessels()[1].total().to_string(), "at least 50 min, not restored");
}

#[test]
fn what_is_written_on_the_ward_does_not_lengthen_a_loss_in_the_laboratory() {
    let reading = reading(
        &[
            flow("a", "+0:00", "rca-mid", 3),
            flow("b", "+10:00", "rca-mid", 0),
            event("c", "+30:00", ""),
            event("creatinine", "+72:00:00", ""),
        ]
        .concat(),
    );
    let text = texts(&reading).remove(0);
    assert!(text.contains("(+30:00): at least 20 min."), "{text}");
}

#[test]
fn the_lower_bound_of_an_open_loss_takes_the_earliest_end_that_may_have_been() {
    let reading = reading(
        &[
            flow("a", "+0:00", "rca-mid", 3),
            flow("b", "+10:00", "rca-mid", 0),
            event("c", "+60:00", "time = \"within 10 min\""),
        ]
        .concat(),
    );
    let text = texts(&reading).remove(0);
    assert!(text.contains("(≈ +1:00:00): at least 40 min."), "{text}");
}

#[test]
fn nothing_after_the_loss_gives_no_length() {
    let reading = reading(&[flow("a", "+0:00", "rca-mid", 3), flow("b", "+10:00", "rca-mid", 1)].concat());
    let text = texts(&reading).remove(0);
    assert!(text.contains("the record does not say for how long"), "{text}");
}

#[test]
fn a_vessel_that_was_closed_when_first_seen_did_not_lose_its_flow_here() {
    let reading = reading(
        &[
            flow("a", "+0:00", "rca-mid", 0),
            flow("b", "+9:40", "rca-mid", 2),
            flow("c", "+14:20", "rca-mid", 1),
            flow("d", "+20:20", "rca-mid", 3),
        ]
        .concat(),
    );
    let sentence = reading.flow_sentences().remove(0);
    assert!(sentence.at_first_look);
    assert_eq!(
        sentence.text,
        "The RCA was without flow when first seen (+0:00); TIMI 2 was back after 9 min 40 s and TIMI 3 after 20 min, at +20:20. It was lost again for 6 min, from +14:20 to +20:20."
    );
    assert_eq!(sentence.finding, "the RCA was opened and lost its flow again for 6 min");
}

#[test]
fn a_vessel_that_only_fell_to_timi_2_gets_its_own_sentence() {
    let reading = reading(
        &[
            flow("a", "+0:00", "lcx-distal", 3),
            flow("b", "+5:00", "lcx-distal", 2),
            flow("c", "+14:00", "lcx-distal", 3),
        ]
        .concat(),
    );
    assert_eq!(
        texts(&reading),
        ["Flow in the LCx was reduced to TIMI 2 for 9 min, from +5:00 to +14:00, and never seen lost."]
    );
}

#[test]
fn flow_of_one_vessel_says_nothing_of_another() {
    let reading = reading(
        &[
            flow("a", "+0:00", "lad-mid", 3),
            flow("b", "+5:00", "diagonal-1", 0),
            flow("c", "+9:00", "lad-mid", 3),
        ]
        .concat(),
    );
    let sentences = reading.flow_sentences();
    assert_eq!(sentences.len(), 1);
    assert_eq!(sentences[0].vessel, Vessel::Diagonal1);
}

#[test]
fn vessels_stand_in_anatomical_order_and_a_branch_brings_its_trunk() {
    let reading = reading(
        &[
            flow("a", "+0:00", "rca-pda", 3),
            flow("b", "+1:00", "diagonal-2", 3),
            flow("c", "+2:00", "left-main", 3),
        ]
        .concat(),
    );
    let lanes: Vec<(&str, u8)> = reading.vessels().iter().map(|v| (v.lane_label(), v.depth)).collect();
    assert_eq!(lanes, [("Left main", 0), ("LAD", 0), ("D2", 1), ("RCA", 0), ("PDA", 1)]);
}

#[test]
fn events_are_numbered_in_order_of_time_and_then_of_entry() {
    let reading = reading(
        &[event("late", "+9:00", ""), event("first", "-1:00", ""), event("second", "-1:00", "")].concat(),
    );
    let numbers = ["first", "second", "late", "none"].map(|key| reading.number(&key.parse().unwrap()));
    assert_eq!(numbers, [Some(1), Some(2), Some(3), None]);
}

fn complication(rest: &str) -> String {
    format!("[[complications]]\nkey = \"c1\"\nmechanism = \"wire-subintimal\"\n{rest}\n")
}

#[test]
fn a_span_says_how_long_to_recognition_and_to_control() {
    let events = [event("a", "+6:40", ""), event("b", "+12:10", ""), event("c", "+33:00", "")].concat();
    let links = complication("began = \"a\"\nrecognised = \"b\"\ncontrolled = \"c\"");
    let reading = reading(&format!("{events}{links}"));
    assert_eq!(
        reading.spans()[0].sentence().unwrap(),
        "Began at +6:40, recognised after 5 min 30 s, controlled after 26 min."
    );
}

#[test]
fn a_span_names_what_is_not_linked_and_what_is_known_by_order_alone() {
    let events =
        [event("z", "+0:00", ""), event("a", "+6:40", "time = \"order only\""), event("b", "+12:10", "")]
            .concat();
    let links = complication("began = \"a\"\nrecognised = \"b\"");
    let reading = reading(&format!("{events}{links}"));
    assert_eq!(
        reading.spans()[0].sentence().unwrap(),
        "Began at event 2, recognised between 0 and 12 min later, not linked to an event where it was controlled."
    );
    assert_eq!(super::words::later(Elapsed::NONE), "at once");
}

#[test]
fn a_harm_seen_before_it_began_is_a_finding_and_no_span() {
    let events = [event("a", "+6:40", ""), event("b", "+12:10", "")].concat();
    let links = complication("began = \"b\"\nrecognised = \"a\"");
    let reading = reading(&format!("{events}{links}"));
    let span = &reading.spans()[0];
    assert!(span.span.is_err());
    assert_eq!(span.sentence(), None);
    assert_eq!(span.to_recognition(), None);
    assert_eq!(
        told(&reading),
        ["Complication 1: it was recognised before it began. Check the order of the two events."]
    );
}

#[test]
fn a_worst_flow_that_the_timeline_shows_to_have_been_worse_is_a_finding() {
    let events = [
        flow("a", "+0:00", "lad-mid", 3),
        flow("b", "+2:00", "lad-mid", 0),
        flow("c", "+9:00", "lad-mid", 3),
    ]
    .concat();
    let links = |worst: u8| {
        complication(&format!(
            "segment = \"lad-mid\"\nbegan = \"b\"\ncontrolled = \"c\"\nworst_flow = {worst}"
        ))
    };
    let found = reading(&format!("{events}{}", links(1)));
    assert_eq!(
        told(&found),
        ["Complication 1 says TIMI 1 at worst; the timeline shows TIMI 0 in the LAD meanwhile."]
    );
    assert!(reading(&format!("{events}{}", links(0))).findings().is_empty());
}

#[test]
fn an_event_that_the_timeline_does_not_have_is_a_finding() {
    let reading = reading(&complication("began = \"gone\""));
    assert_eq!(reading.findings().len(), 1);
    assert!(reading.findings()[0].sentence.contains("“gone”"));
}

#[test]
fn no_events_read_as_nothing() {
    let reading = reading("");
    assert!(
        reading.vessels().is_empty() && reading.flow_sentences().is_empty() && reading.findings().is_empty()
    );
}

/// The sentences of the findings.
fn told(reading: &Reading) -> Vec<&str> {
    reading.findings().iter().map(|found| found.sentence.as_str()).collect()
}
