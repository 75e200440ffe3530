//! What was known then.

use super::*;
use crate::case::{Case, CaseCode};

const CASE: &str = r#"
format = 1
title = "t"
month = "2025-03"
stage = "recorded"
narrative = "All of it, told from the end."
[[events]]
key = "a"
at = "+0:00"
kind = "access"
contrast = "10 mL"
[[events]]
key = "b"
at = "+10:00"
kind = "flow"
segment = "lad-mid"
flow = 0
[[events]]
key = "c"
at = "+20:00"
kind = "flow"
segment = "lad-mid"
flow = 3
contrast = "90 mL"
[[complications]]
key = "x"
mechanism = "flow-thrombus"
began = "a"
recognised = "b"
controlled = "c"
worst_flow = 0
[[labs]]
test = "haemoglobin"
drawn = "-1:00:00"
returned = "-30:00"
value = "13 g/dL"
[[labs]]
test = "creatinine"
drawn = "-1:00:00"
value = "90 µmol/L"
[[labs]]
test = "troponin"
drawn = "+5:00"
returned = "+15:00"
value = "9 ng/L"
limit = "14 ng/L"
[[observations]]
family = "outcome"
[observations.answers]
death = "no"
[outcome]
harm = "mild"
"#;

fn case() -> StoredCase {
    let case: Case = toml::from_str(CASE).unwrap();
    StoredCase::of_file(case, CaseCode::new(2025, 1).unwrap())
}

fn at(event: &str) -> KnownThen {
    let case = case();
    let reading = Reading::of(&case.events, &case.complications);
    KnownThen::at(&case, &reading, &event.parse().unwrap()).unwrap()
}

#[test]
fn nothing_later_and_nothing_told_with_hindsight_is_known() {
    let then = at("b");
    assert_eq!(then.case.events.len(), 2);
    assert_eq!(then.later_events, 1);
    assert!(then.case.head.narrative.is_none() && then.case.head.outcome.is_empty());
    assert!(then.case.observations.is_empty());
    let harm = &then.case.complications[0].value;
    assert!(harm.recognised.is_some() && harm.controlled.is_none() && harm.worst_flow.is_none());
    // At the start nobody knew that there was a harm.
    assert!(at("a").case.complications.is_empty());
}

#[test]
fn a_result_is_known_from_when_it_came_back_and_not_from_when_it_was_drawn() {
    let then = at("b");
    let tests = |rows: &[Row<Lab>]| rows.iter().map(|row| row.value.result.test().slug()).collect::<Vec<_>>();
    assert_eq!(tests(&then.case.labs), ["haemoglobin"]);
    assert_eq!(tests(&then.perhaps), ["creatinine"]);
    assert_eq!(tests(&then.waited_for), ["troponin"]);
    assert_eq!(tests(&at("c").case.labs), ["haemoglobin", "troponin"]);
    // A sample that had not been drawn is not waited for.
    assert_eq!(tests(&at("a").waited_for), Vec::<&str>::new());
}

#[test]
fn a_dose_between_two_readings_is_known_as_far_as_they_say() {
    let given = at("b").contrast.unwrap();
    assert_eq!((given.at_least, given.at_most), (10_000, Some(90_000)));
    assert!(at("b").air_kerma.is_none());
}

#[test]
fn how_it_was_on_leaving_is_not_known_yet() {
    let then = at("c");
    let reading = Reading::of(&then.case.events, &then.case.complications);
    let facts = then.facts(&reading, &Vocabulary::default());
    assert_eq!(facts.vessels[0].facts.leaving, None);
    assert!(facts.vessels[0].facts.worst.is_some());
    assert_eq!(facts.procedure.ended, None);
}

/// A decision between two events looks back on what surely had happened by its second.
#[test]
fn a_decision_looks_back_from_its_second() {
    let case = case();
    let reading = Reading::of(&case.events, &case.complications);
    let at = |offset: &str| {
        let decision = Decision {
            key: "d1".parse().unwrap(),
            at: offset.parse().unwrap(),
            question: "Go on?".parse().unwrap(),
            options: Vec::new(),
            chosen: None,
            chosen_by: None,
            followed: None,
        };
        KnownThen::at_decision(&case, &reading, &decision)
    };
    let events = |then: &KnownThen| -> Vec<String> {
        then.case.events.iter().map(|row| row.value.key.to_string()).collect()
    };
    assert_eq!(events(&at("-1:00")), Vec::<String>::new());
    assert_eq!(events(&at("+9:59")), ["a"]);
    assert_eq!(events(&at("+10:00")), ["a", "b"], "what happened at the very second is known");
    let then = at("+14:59");
    assert_eq!(then.later_events, 1);
    assert!(then.case.complications.is_empty(), "what the harm is called was said afterwards");
    assert_eq!(then.case.labs.len(), 1, "the troponin was not back");
    assert_eq!(at("+15:00").case.labs.len(), 2);
    assert_eq!(then.case.head.narrative, None);
}

/// The event that is the decision tells what was chosen: at its second it is not known yet.
#[test]
fn the_event_that_is_the_decision_is_no_part_of_what_was_known() {
    let text = CASE.replace("kind = \"flow\"\nsegment = \"lad-mid\"\nflow = 0", "kind = \"decision\"");
    let case = StoredCase::of_file(toml::from_str(&text).unwrap(), CaseCode::new(2025, 1).unwrap());
    let reading = Reading::of(&case.events, &case.complications);
    let known = |offset: &str| {
        let decision = Decision {
            key: "d1".parse().unwrap(),
            at: offset.parse().unwrap(),
            question: "Go on?".parse().unwrap(),
            options: Vec::new(),
            chosen: None,
            chosen_by: None,
            followed: None,
        };
        KnownThen::at_decision(&case, &reading, &decision).case.events.len()
    };
    assert_eq!((known("+10:00"), known("+10:01")), (1, 2));
}
