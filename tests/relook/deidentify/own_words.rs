//! The app's own words hold nothing that identifies: the trade's vocabulary as it ships, and the invented cases
//! of the demo.

use std::fs;
use std::path::Path;

use relook::case::evidence::facts;
use relook::case::reading::Reading;
use relook::case::{Case, CaseCode, StoredCase};
use relook::clinical::{Choices, DEFINITIONS, Family, assess_all};
use relook::deidentify::suspect;
use relook::import::case_file::{Language, read};
use relook::response::LISTS;
use relook::vocabulary::{causes, mechanisms};

use crate::import::shipped_vocabulary;

/// Fails with each suspicion and the text that it stands in, when there are fewer texts than there must be too.
fn hold_nothing(at_least: usize, texts: impl IntoIterator<Item = String>) {
    let mut count = 0;
    let mut wrong = Vec::new();
    for text in texts {
        count += 1;
        for suspicion in suspect(&text) {
            let words = &text[suspicion.span.clone()];
            wrong.push(format!("{:?} {:?} “{words}” in “{text}”", suspicion.kind, suspicion.confidence));
        }
    }
    println!("{count} texts");
    assert!(count >= at_least, "{count} texts, and {at_least} at least are there");
    assert!(wrong.is_empty(), "{} of {count} texts:\n{}", wrong.len(), wrong.join("\n"));
}

#[test]
fn nothing_in_the_mechanism_tree_and_the_causes() {
    let strata = mechanisms().stratum.iter().flat_map(|one| [one.label.clone(), one.definition.clone()]);
    let branches = mechanisms().branch.iter().chain(&causes().branch);
    let branches = branches.flat_map(|one| [one.label.clone(), one.definition.clone()]);
    let mechanisms = mechanisms().leaf.iter().flat_map(|leaf| {
        [&leaf.label, &leaf.definition, &leaf.example].into_iter().chain(&leaf.words).cloned()
    });
    let causes = causes().leaf.iter().flat_map(|leaf| {
        let texts = [&leaf.label, &leaf.definition, &leaf.example, &leaf.london_protocol, &leaf.icps];
        texts.into_iter().chain(&leaf.words).cloned()
    });
    hold_nothing(500, strata.chain(branches).chain(mechanisms).chain(causes));
}

#[test]
fn nothing_in_the_definitions_and_what_they_ask() {
    let definitions = DEFINITIONS.iter().flat_map(|one| {
        let sources = one.sources.iter().map(|source| source.gives);
        [one.name, one.rule, one.boundaries, one.section.label()].into_iter().chain(sources)
    });
    let inputs = DEFINITIONS.iter().flat_map(|one| one.inputs).flat_map(|input| [input.label, input.help]);
    let families = Family::ALL.iter().map(|family| family.label());
    let questions = Choices::default().questions();
    let questions = questions.iter().map(|question| question.question);
    hold_nothing(300, definitions.chain(inputs).chain(families).chain(questions).map(str::to_owned));
}

/// Every text of a TOML value that stands under one of these keys.
fn texts_of(value: &toml::Value, keys: &[&str], found: &mut Vec<String>) {
    match value {
        toml::Value::Table(table) => {
            for (key, inside) in table {
                match inside {
                    toml::Value::String(text) if keys.contains(&key.as_str()) => found.push(text.clone()),
                    toml::Value::Array(texts) if keys.contains(&key.as_str()) => {
                        found.extend(texts.iter().filter_map(|text| text.as_str().map(str::to_owned)));
                    }
                    other => texts_of(other, keys, found),
                }
            }
        }
        toml::Value::Array(values) => values.iter().for_each(|value| texts_of(value, keys, found)),
        _ => {}
    }
}

#[test]
fn nothing_in_the_lists_of_expected_responses() {
    let mut texts = Vec::new();
    for (_, list) in LISTS {
        let list = list.parse::<toml::Table>().expect("a list");
        texts_of(&toml::Value::Table(list), &["title", "text", "why", "asks", "hints", "limits"], &mut texts);
    }
    hold_nothing(150, texts);
}

/// Segments, devices, kinds of events, drugs: whatever a `words!` list shows to a person.
#[test]
fn nothing_in_the_labels_of_closed_lists() {
    fn walk(folder: &Path, labels: &mut Vec<String>) {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                walk(&path, labels);
            } else if path.extension().is_some_and(|ending| ending == "rs") {
                labels.extend(fs::read_to_string(&path).unwrap().lines().filter_map(label));
            }
        }
    }
    /// The label of a line such as `Snare = "snare", "Snare";`.
    fn label(line: &str) -> Option<String> {
        let (variant, words) = line.trim().split_once(" = \"")?;
        let plain = variant.chars().all(char::is_alphanumeric);
        let (_, label) = words.strip_suffix("\";")?.split_once("\", \"")?;
        (plain && !label.contains('"')).then(|| label.to_owned())
    }
    let mut labels = Vec::new();
    walk(&Path::new(env!("CARGO_MANIFEST_DIR")).join("src"), &mut labels);
    hold_nothing(300, labels);
}

/// Every case of the demo, by the name of its file.
fn demo_cases() -> Vec<(String, Case)> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-cases");
    let files = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    files
        .filter(|path| path.extension().is_some_and(|ending| ending == "toml"))
        .map(|path| {
            let name = path.file_name().unwrap().to_string_lossy().into_owned();
            let case = read(&fs::read(&path).unwrap(), Language::Toml, shipped_vocabulary());
            (name, case.unwrap_or_else(|problems| panic!("{problems:?}")))
        })
        .collect()
}

#[test]
fn nothing_in_what_the_definitions_say_of_the_demo() {
    let sentences = demo_cases().into_iter().flat_map(|(_, case)| {
        let case = StoredCase::of_file(case, CaseCode::new(2025, 1).unwrap());
        let reading = Reading::of(&case.events, &case.complications);
        let held = facts(&case, &reading, shipped_vocabulary());
        let found = assess_all(&held, &Choices::default());
        found.into_iter().flat_map(|finding| {
            [vec![finding.headline.into_owned(), finding.sentence], finding.notes].concat()
        })
    });
    hold_nothing(1_000, sentences.collect::<Vec<_>>());
}

#[test]
fn nothing_sure_in_the_cases_of_the_demo() {
    let cases = demo_cases();
    assert!(cases.len() >= 10, "{} cases", cases.len());
    let mut wrong = Vec::new();
    for (name, case) in cases {
        let case = StoredCase::of_file(case, CaseCode::new(2025, 1).unwrap());
        wrong
            .extend(case.identifiers.iter().map(|found| format!("{name}: {} “{}”", found.kind, found.words)));
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
