//! Bad case files in JSON: the same sentences as for TOML, at their line and column.

use relook::export::case_file::to_json;
use relook::import::case_file::{Language, read};

use super::{GOOD, marked, shipped_vocabulary};

#[rustfmt::skip]
const SLIPS: &[(&str, &str, &str, &str)] = &[
    // How the file is written.
    ("\"format\": 1,", "\"format\": 1,‸,", "", "A key stands in double quotes"),
    ("\"format\": 1,", "\"format\": 1,\n‸format: 1,", "", "A key stands in double quotes"),
    ("\"format\": 1,", "\"format\" ‸1,", "", "A colon is missing"),
    ("\"format\": 1,\n  \"code\"", "\"format\": 1\n  ‸\"code\"", "", "A comma or a closing brace is missing"),
    ("\"stage\": \"ready\"", "\"stage\": ‸'ready'", "", "cannot be read as JSON"),
    ("\"stage\": \"ready\"", "\"stage\": \"re‸a\ndy\"", "", "Write a line break as \\n"),
    ("\"stage\": \"ready\"", "\"stage\": \"rea\\‸qdy\"", "", "For the backslash itself write \\\\"),
    ("\"age\": 67", "\"age\": 0‸67", "", "This is not a number as JSON writes it"),
    ("\"age\": 67", "\"age\": 67,\n    ‸\"age\": 68", "", "“age” stands here a second time"),
    ("\"femoral\"\n    ", "\"femoral\",\n    ‸", "", "a comma too many"),
    // What it means.
    ("\"format\": 1,", "\"format\": ‸2,", "format", "This program reads format 1"),
    ("\"month\": \"2025-03\"", "\"month\": ‸\"2025-13\"", "month", "A month is a year and a month"),
    ("\"age\": 67", "\"age\": ‸17", "patient.age", "18 to 89"),
    ("\"age\": 67", "\"age\": ‸6.7e1", "patient.age", "a whole number"),
    ("\"age\": 67", "\"age\": ‸1e400", "patient.age", "a whole number"),
    ("\"age\": 67", "\"age\": 67, ‸\"nme\": null", "patient.nme", "has no key “nme”"),
    ("\"cto\": true", "\"cto\": ‸\"true\"", "lesions[0].cto", "true or false"),
    ("\"length_mm\": 24.0", "\"length_mm\": ‸[24]", "lesions[0].length_mm", "a number of millimetres"),
    ("\"at\": \"+12:30\"", "\"at\": ‸\"12:30\"", "events[1].at", "“+12:30”"),
    ("\"at\": \"+12:30\"", "\"at\": ‸{\"minutes\": 12}", "events[1].at", "This is a group of keys"),
    ("\"began\": \"wire-out\"", "\"began\": ‸\"wire-ot\"", "complications[0].began", "Did you mean “wire-out”?"),
    ("\"consequence_of\": \"tear\"", "\"consequence_of\": ‸\"branch\"", "complications[1].consequence_of", "follow from itself"),
    ("\"harm\": \"moderate\"", "\"harm\": ‸\"moderat\"", "outcome.harm", "Did you mean “moderate”?"),
    ("\"patient\": {", "\"patient\": ‸[],\n  \"‸x\": {", "patient", "“patient” is a group of keys, not a list"),
];

fn good() -> String {
    let good = GOOD.replace("cto = false", "cto = true");
    to_json(&read(good.as_bytes(), Language::Toml, shipped_vocabulary()).expect("the good file"))
}

#[test]
fn each_slip_in_json_is_told_first_at_its_line_and_column() {
    let good = good();
    let mut wrong = Vec::new();
    for (found, put, path, says) in SLIPS {
        assert!(good.contains(found), "the good file has no {found:?} in\n{good}");
        let (text, place) = marked(&good.replacen(found, put, 1));
        match read(text.as_bytes(), Language::Json, shipped_vocabulary()) {
            Ok(_) => wrong.push(format!("{put:?} was taken in")),
            Err(problems) => {
                let first = &problems[0];
                let right = (first.line, first.column) == place
                    && first.path == *path
                    && first.message.contains(says);
                if !right {
                    let told: Vec<String> = problems.iter().map(ToString::to_string).collect();
                    wrong.push(format!("{put:?} at {place:?} was told as\n    {}", told.join("\n    ")));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

#[test]
fn a_file_that_is_no_object_or_ends_early_is_told_so() {
    for (text, says) in [
        ("[]", "A case file is one object"),
        ("null", "A case file is one object"),
        ("\"case\"", "A case file is one object"),
        ("{}{}", "One file holds one case"),
        ("{\"format\": 1", "ends before"),
        ("{\"title\": \"ab", "ends before"),
        ("", "ends before"),
        ("{\"title\": \"\\ud800\"}", "incomplete"),
    ] {
        let problems = read(text.as_bytes(), Language::Json, shipped_vocabulary()).expect_err(text);
        assert_eq!(problems.len(), 1, "{text}: {problems:?}");
        assert!(problems[0].message.contains(says), "{text}: {}", problems[0]);
        assert_eq!(problems[0].line, 1, "{text}");
    }
}
