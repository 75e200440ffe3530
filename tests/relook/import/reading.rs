//! What a good file becomes, and how a file with many slips is told of in one pass.

use std::path::Path;

use relook::case::Case;
use relook::export::case_file::{schema, to_json, to_toml};
use relook::import::case_file::{Language, read};

use super::{GOOD, shipped_vocabulary};

fn told(text: &str, language: Language) -> Vec<String> {
    let problems = read(text.as_bytes(), language, shipped_vocabulary()).expect_err("a bad file");
    problems.iter().map(ToString::to_string).collect()
}

fn good() -> Case {
    read(GOOD.as_bytes(), Language::Toml, shipped_vocabulary()).expect("the good file")
}

/// The second reader is the one that serde derives from the same types; it knows no places.
#[test]
fn a_good_file_is_read_as_the_derived_reader_reads_it() {
    let derived: Case = toml::from_str(GOOD).expect("the good file");
    assert_eq!(good(), derived);
    let json = to_json(&good());
    let from_json =
        read(json.as_bytes(), Language::Json, shipped_vocabulary()).expect("the good file as JSON");
    assert_eq!(from_json, serde_json::from_str::<Case>(&json).expect("the good file as JSON"));
    assert_eq!(from_json, good());
}

#[test]
fn windows_line_ends_a_byte_order_mark_and_null_change_nothing() {
    let windows = format!("\u{feff}{}", GOOD.replace('\n', "\r\n"));
    assert_eq!(read(windows.as_bytes(), Language::Toml, shipped_vocabulary()), Ok(good()));
    let json = to_json(&good());
    let with_null = json.replacen("\"format\": 1,", "\"format\": 1, \"outcome\": null,", 1);
    let without_outcome = Case { outcome: relook::case::Outcome::default(), ..good() };
    let end = with_null.rfind(",\n  \"outcome\": {").expect("the outcome");
    let with_null = format!("\u{feff}{}\n}}", &with_null[..end]);
    assert_eq!(read(with_null.as_bytes(), Language::Json, shipped_vocabulary()), Ok(without_outcome));
}

#[test]
fn the_smallest_case_is_four_lines() {
    let text = "format = 1\ntitle = \"T\"\nmonth = \"2025-03\"\nstage = \"recorded\"\n";
    let case = read(text.as_bytes(), Language::Toml, shipped_vocabulary()).expect("a case");
    assert_eq!(to_toml(&case), text);
}

#[test]
fn an_age_above_89_is_kept_as_90_or_older() {
    for written in ["90", "97", "\"90 or older\""] {
        let text = GOOD.replace("age = 67", &format!("age = {written}"));
        let case = read(text.as_bytes(), Language::Toml, shipped_vocabulary()).expect("a case");
        assert_eq!(case.patient.age, Some(relook::case::Age::NinetyOrOlder));
        assert!(to_toml(&case).contains("age = \"90 or older\"\n"));
        assert!(!to_toml(&case).contains("97"));
    }
}

#[test]
fn every_bad_row_is_told_in_one_pass() {
    let text = GOOD
        .replace("month = \"2025-03\"", "month = \"2025-3\"")
        .replace("age = 67", "age = 17")
        .replace("medina = \"1,1,1\"", "medina = \"0,0,0\"")
        .replace("at = \"+12:30\"", "at = \"12:30\"")
        .replace("flow = 3", "flow = 5")
        .replace("mechanism = \"branch-jailed\"", "mechanism = \"branch-jaild\"")
        .replace("harm = \"moderate\"", "harm = \"some\"\nharms = 1");
    let told = told(&text, Language::Toml);
    let places: Vec<&str> = told.iter().map(|line| line.split(": ").nth(1).unwrap_or_default()).collect();
    assert_eq!(
        places,
        [
            "month",
            "patient.age",
            "lesions[0].medina",
            "events[1].at",
            "events[2].flow",
            "complications[1].mechanism",
            "outcome.harm",
            "outcome.harms"
        ],
        "{told:#?}"
    );
}

#[test]
fn what_points_to_a_row_that_could_not_be_read_is_not_told_as_pointing_nowhere() {
    let told = told(&GOOD.replace("kind = \"wire\"\n", "kind = \"wirre\"\n"), Language::Toml);
    assert_eq!(told.len(), 1, "{told:#?}");
    let elsewhere = GOOD
        .replace("kind = \"wire\"\n", "kind = \"wirre\"\n")
        .replace("\"flow-back\"\ndiss", "\"away\"\ndiss");
    let told = self::told(&elsewhere, Language::Toml);
    assert_eq!(told.len(), 2, "{told:#?}");
    assert!(told[1].contains("“away”"), "{told:#?}");
}

#[test]
fn a_slip_in_how_a_line_is_written_hides_only_what_hangs_on_it() {
    // Line 46 has no quotes, so that its event has no key; the wrong age is told all the same.
    let text = GOOD.replace("key = \"flow-lost\"", "key = flow lost").replace("age = 67", "age = 17");
    let told = told(&text, Language::Toml);
    assert_eq!(told.len(), 2, "{told:#?}");
    assert!(told[0].starts_with("15:7: patient.age:"), "{told:#?}");
    assert!(told[1].starts_with("46:7: Text stands in quotes"), "{told:#?}");
}

#[test]
fn a_circle_of_harms_is_told_at_each_of_its_links() {
    let text = GOOD.replace("worst_flow = 0", "worst_flow = 0\nconsequence_of = \"branch\"");
    let told = told(&text, Language::Toml);
    assert_eq!(told.len(), 2, "{told:#?}");
    assert!(
        told.iter().all(|line| line.contains("consequence_of: This harm would follow from itself")),
        "{told:#?}"
    );
}

#[test]
fn a_case_with_too_many_rows_is_told_how_many_fit() {
    let event = |n: usize| format!("[[events]]\nkey = \"e{n}\"\nat = \"+0:00\"\nkind = \"wire\"\n");
    let head = "format = 1\ntitle = \"T\"\nmonth = \"2025-03\"\nstage = \"recorded\"\n";
    let text = format!("{head}{}", (0..401).map(event).collect::<String>());
    let told = told(&text, Language::Toml);
    assert_eq!(told, ["1605:1: events[400]: A case holds at most 400 events; this one has 401."]);
    let fits = format!("{head}{}", (0..400).map(event).collect::<String>());
    assert!(read(fits.as_bytes(), Language::Toml, shipped_vocabulary()).is_ok());
}

#[test]
fn the_language_is_known_by_the_name_or_else_by_the_first_sign() {
    for (name, bytes, language) in [
        ("a.toml", "{", Language::Toml),
        ("a.JSON", "format = 1", Language::Json),
        ("a", " \n{\"format\": 1}", Language::Json),
        ("a.txt", "\u{feff}{", Language::Json),
        ("-", "format = 1", Language::Toml),
        ("", "", Language::Toml),
    ] {
        assert_eq!(Language::of(Path::new(name), bytes.as_bytes()), language, "{name}");
    }
}

#[test]
fn the_schema_names_every_key_and_refuses_others() {
    let schema = schema();
    assert_eq!(schema["title"], "Relook case");
    assert!(schema.get("$id").is_none());
    assert_eq!(schema["additionalProperties"], false);
    assert_eq!(schema["properties"]["format"]["$ref"], "#/$defs/Format");
    for required in ["format", "title", "month", "stage"] {
        assert!(schema["required"].as_array().expect("a list").contains(&required.into()), "{required}");
    }
    for part in
        ["Patient", "Procedure", "Lesion", "Event", "Complication", "Cause", "Lesson", "Action", "Outcome"]
    {
        assert_eq!(schema["$defs"][part]["additionalProperties"], false, "{part}");
    }
    assert_eq!(schema["$defs"]["Segment"]["enum"].as_array().map(Vec::len), Some(16));
}

/// Every key that the schema knows is one that the reader takes, and the other way round: the
/// reader lists the keys it knows when it meets one it does not.
#[test]
fn the_schema_and_the_reader_know_the_same_keys() {
    let schema = schema();
    let lists = [
        ("", "a case", ""),
        ("Patient", "the patient", "[patient]\n"),
        ("Procedure", "the procedure", "[procedure]\n"),
        ("Outcome", "the outcome", "[outcome]\n"),
        ("Lesion", "a lesion", "[[lesions]]\n"),
        ("Event", "an event", "[[events]]\n"),
        ("Complication", "a complication", "[[complications]]\n"),
        ("Cause", "a cause", "[[causes]]\n"),
        ("Lesson", "a lesson", "[[lessons]]\n"),
        ("Action", "an action", "[[actions]]\n"),
    ];
    for (part, noun, heading) in lists {
        let definition = if part.is_empty() { &schema } else { &schema["$defs"][part] };
        let mut keys: Vec<&str> =
            definition["properties"].as_object().expect("keys").keys().map(String::as_str).collect();
        keys.sort_unstable();
        let told = told(&format!("format = 1\n{heading}zzzzzzzzzzzz = 1\n"), Language::Toml);
        let unknown = told.iter().find(|line| line.contains("zzzzzzzzzzzz")).expect(noun);
        let list = unknown.split("It may have: ").nth(1).expect("a list").trim_end_matches('.');
        let mut known: Vec<&str> = list.split(", ").collect();
        known.sort_unstable();
        assert_eq!(known, keys, "{noun}");
    }
}
