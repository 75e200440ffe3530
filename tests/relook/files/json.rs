//! The JSON of a case, held against its published schema by `jsonschema`.

use relook::export::case_file::{schema_file, to_json};
use serde_json::{Value, json};

use super::cases;
use super::readers::{Folder, read_with};

#[test]
fn every_case_is_valid_after_the_published_schema_and_a_wrong_one_is_not() {
    let folder = Folder::new();
    let written = |name: &str, text: &str| {
        let path = folder.path().join(name);
        std::fs::write(&path, text).unwrap();
        path
    };
    let mut files = vec![written("case.schema.json", &schema_file())];
    for told in cases::all() {
        files.push(written(&format!("{}.json", told.name), &to_json(&told.case.to_case())));
    }
    let good = files.len();
    let case: Value = serde_json::from_str(&to_json(&cases::ordinary().case.to_case())).unwrap();
    /// Makes a case wrong.
    type Spoil = fn(&mut Value);
    let wrong: [(&str, Spoil); 4] = [
        ("unknown", |case| case["anything"] = json!("else")),
        ("month", |case| case["month"] = json!("March 2025")),
        ("missing", |case| drop(case.as_object_mut().unwrap().remove("title"))),
        ("format", |case| case["format"] = json!(2)),
    ];
    for (name, spoil) in wrong {
        let mut case = case.clone();
        spoil(&mut case);
        files.push(written(&format!("wrong-{name}.json"), &case.to_string()));
    }
    let faults = read_with("check_json.py", &files);
    for (place, file) in files.iter().enumerate() {
        let found = &faults[file.to_str().unwrap()];
        assert_eq!(*found == json!([]), place < good, "{}: {found}", file.display());
    }
}
