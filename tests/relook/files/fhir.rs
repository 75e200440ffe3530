//! FHIR files: read by `fhir.resources`, which is made from the definitions of R5 and refuses what it does not
//! know; and what of the record may be in them.

use std::sync::Arc;

use serde_json::{Value, json};

use relook::case::Case;
use relook::export::fhir::FORMAT;
use relook::export::format::Options;
use relook::export::record::Record;

use super::readers::{Folder, read_with};
use super::{Told, cases};
use crate::import::shipped_vocabulary;

const CASE: &str = r#"
format = 1
code = "2025-014"
title = "Typed title"
month = "2025-03"
stage = "presented"
situation = "Typed situation."
narrative = "Typed narrative."

[patient]
age = 67
sex = "female"
history = ["Typed history"]

[[events]]
key = "typed-began"
at = "+9:30"
kind = "wire"
device = "workhorse-wire"
text = "Typed event."

[[events]]
key = "typed-responded"
at = "+15:00"
kind = "stent"
device = "covered-stent"

[[complications]]
key = "typed-tear"
mechanism = "wire-subintimal"
began = "typed-began"
responded = "typed-responded"

[[complications]]
key = "typed-loss"
mechanism = "branch-jailed"
consequence_of = "typed-tear"

[[causes]]
cause = "eq-missing"
statement = "Typed statement."

[[causes]]
cause = "eq-missing"
statement = "Typed statement, another."

[[causes]]
cause = "pt-anatomy-hostile"
weight = "incidental"
statement = "Typed statement of what carried nothing."

[[actions]]
what = "Typed action."
owner = "typed owner"
due = "2025-06-30"
strength = "weaker"
state = "open"

[outcome]
discharge = "Typed discharge."
harm = "death"
"#;

fn made_of(text: &str) -> (String, Value) {
    let case: Case = toml::from_str(text).unwrap();
    let record = Record { case, vocabulary: Arc::new(shipped_vocabulary().clone()) };
    let bytes = (FORMAT.render)(&record, &Options::default()).unwrap();
    assert_eq!((FORMAT.render)(&record, &Options::default()).unwrap(), bytes, "the same each time");
    let text = String::from_utf8(bytes).unwrap();
    let value = serde_json::from_str(&text).unwrap();
    (text, value)
}

#[test]
fn nothing_that_was_typed_is_in_it_and_no_date_or_age() {
    let (text, _) = made_of(CASE);
    let events = text.split("\"CodeSystem\"").next().unwrap();
    for not in ["Typed", "typed", "2025-03", "2025-06", ": 67", "\"67", "\"date", "birth", "owner"] {
        assert!(!events.contains(not), "{not}");
    }
}

#[test]
fn a_complication_is_an_event_with_what_the_record_says_of_it() {
    let (_, bundle) = made_of(CASE);
    let tear = &bundle["entry"][0]["resource"];
    let code = |value: &Value| value["coding"][0]["code"].clone();
    assert_eq!(tear["resourceType"], "AdverseEvent");
    assert_eq!(tear["identifier"][0]["value"], "2025-014/1");
    assert_eq!((&tear["status"], &tear["actuality"]), (&json!("completed"), &json!("actual")));
    assert_eq!(code(&tear["code"]), "wire-subintimal");
    assert_eq!(code(&tear["category"][0]), "branch/wire");
    assert_eq!(tear["contained"][0], json!({"resourceType": "Patient", "id": "patient", "gender": "female"}));
    assert_eq!(tear["resultingEffect"], json!([{"reference": "#effect-1"}]));
    assert_eq!(code(&tear["contained"][1]["code"]), "branch-jailed");
    assert_eq!(code(&tear["suspectEntity"][0]["instanceCodeableConcept"]), "workhorse-wire");
    assert_eq!(tear["contributingFactor"].as_array().unwrap().len(), 1, "once, and not what carried nothing");
    assert_eq!(code(&tear["contributingFactor"][0]["itemCodeableConcept"]), "eq-missing");
    let taken: Vec<Value> = tear["mitigatingAction"]
        .as_array()
        .unwrap()
        .iter()
        .map(|item| code(&item["itemCodeableConcept"]))
        .collect();
    assert_eq!(taken, ["stent", "covered-stent"]);
    assert_eq!(code(&tear["seriousness"]), "serious");
    assert_eq!(tear["outcome"][0]["coding"][1]["code"], "fatal");
    let loss = &bundle["entry"][1]["resource"];
    assert_eq!(loss["identifier"][0]["value"], "2025-014/2");
    assert_eq!(loss.get("contributingFactor"), None);
    assert_ne!(bundle["entry"][0]["fullUrl"], bundle["entry"][1]["fullUrl"]);
}

#[test]
fn a_harm_between_serious_and_not_is_neither() {
    let (_, bundle) = made_of(&CASE.replace("harm = \"death\"", "harm = \"moderate\""));
    let event = &bundle["entry"][0]["resource"];
    assert_eq!(event.get("seriousness"), None);
    assert_eq!(event["outcome"][0]["coding"].as_array().unwrap().len(), 1);
}

#[test]
fn a_library_made_from_the_standard_reads_every_case() {
    let folder = Folder::new();
    let mut files = Vec::new();
    let written = |name: &str, bytes: &[u8]| {
        let path = folder.path().join(format!("{name}.fhir.json"));
        std::fs::write(&path, bytes).unwrap();
        path
    };
    let made = |told: &Told| {
        let record = Record { case: told.case.to_case(), vocabulary: Arc::new(shipped_vocabulary().clone()) };
        (FORMAT.render)(&record, &Options::default()).unwrap()
    };
    for told in cases::all() {
        files.push(written(told.name, &made(&told)));
    }
    files.push(written("typed", made_of(CASE).0.as_bytes()));
    let read = read_with("read_fhir.py", &files);
    for (told, file) in cases::all().iter().zip(&files) {
        let found = &read[file.to_str().unwrap()];
        assert_eq!(found["faults"], json!([]), "{}", told.name);
        let mechanisms: Vec<String> =
            told.case.complications.iter().map(|row| row.value.mechanism.to_string()).collect();
        assert_eq!(found["mechanisms"], json!(mechanisms), "{}", told.name);
    }
    assert_eq!(read[files.last().unwrap().to_str().unwrap()]["faults"], json!([]));
}

/// The reader would see a fault: an element that R5 does not know, one that it asks for, a code that no
/// system holds, a reference that leads nowhere.
#[test]
fn the_reader_sees_faults() {
    let (text, _) = made_of(CASE);
    let folder = Folder::new();
    let faulty = [
        text.replace("\"actuality\": \"actual\"", "\"actuality\": \"actual\", \"severity\": \"bad\""),
        text.replacen("\"actuality\": \"actual\",", "", 1),
        text.replacen("\"code\": \"wire-subintimal\"", "\"code\": \"no-such-code\"", 1),
        text.replacen("\"reference\": \"#effect-1\"", "\"reference\": \"#effect-9\"", 1),
        text.replacen("\"count\": ", "\"count\": 1", 1),
    ];
    for (number, fault) in faulty.iter().enumerate() {
        assert_ne!(*fault, text, "{number}");
        let path = folder.path().join(format!("fault-{number}.json"));
        std::fs::write(&path, fault).unwrap();
        let read = read_with("read_fhir.py", std::slice::from_ref(&path));
        assert_ne!(read[path.to_str().unwrap()]["faults"], json!([]), "{number}");
    }
}
