//! The invented cases of the demo: each is read, makes the round trip, and together they show what
//! the demo is to show.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use relook::case::{Case, CaseCode, Month, store};
use relook::database::Database;
use relook::export::case_file::{to_json, to_toml};
use relook::import::at_risk;
use relook::import::case_file::{Language, read};
use relook::vocabulary;

use crate::import::shipped_vocabulary;

fn folder() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-cases")
}

/// Every demo case by the name of its file.
fn demo_cases() -> Vec<(String, Case)> {
    let mut files: Vec<PathBuf> = std::fs::read_dir(folder())
        .expect("the folder")
        .map(|entry| entry.expect("a file").path())
        .filter(|path| path.extension().is_some_and(|end| end == "toml"))
        .collect();
    files.sort();
    files
        .into_iter()
        .map(|path| {
            let name = path.file_name().expect("a name").to_string_lossy().into_owned();
            let bytes = std::fs::read(&path).expect("the file");
            let case = read(&bytes, Language::Toml, shipped_vocabulary()).unwrap_or_else(|problems| {
                let told: Vec<String> = problems.iter().map(|problem| format!("{name}:{problem}")).collect();
                panic!("{}", told.join("\n"))
            });
            (name, case)
        })
        .collect()
}

async fn fresh_database(folder: &Path, name: &str) -> Database {
    let database = Database::open(&folder.join(name)).await.expect("a database");
    let mut tx = database.write().await.expect("a transaction");
    vocabulary::store::seed(&mut tx).await.expect("the trees");
    tx.commit().await.expect("the trees");
    database
}

/// Stores cases in a fresh database and gives them as the database then holds them.
async fn through_a_database(folder: &Path, name: &str, cases: &[Case]) -> Vec<Case> {
    let database = fresh_database(folder, name).await;
    let now = "2026-01-01T00:00:00Z".parse().expect("a moment");
    let mut tx = database.write().await.expect("a transaction");
    let mut codes = Vec::new();
    for case in cases {
        codes.push(store::insert(&mut tx, case, None, now).await.expect("the case"));
    }
    tx.commit().await.expect("the cases");
    let mut conn = database.read().await.expect("a connection");
    let mut held = Vec::new();
    for code in codes {
        held.push(store::find(&mut conn, code).await.expect("the case").expect("the case").to_case());
    }
    drop(conn);
    database.close().await;
    held
}

fn read_all(files: &[String], language: Language) -> Vec<Case> {
    files.iter().map(|text| read(text.as_bytes(), language, shipped_vocabulary()).expect(text)).collect()
}

#[tokio::test]
async fn export_import_into_a_fresh_database_and_export_again_is_byte_identical() {
    let folder = tempfile::tempdir().expect("a folder");
    let cases: Vec<Case> = demo_cases().into_iter().map(|(_, case)| case).collect();
    let stored = through_a_database(folder.path(), "first", &cases).await;
    for (language, write) in [(Language::Toml, to_toml as fn(&Case) -> String), (Language::Json, to_json)] {
        let exported: Vec<String> = stored.iter().map(write).collect();
        let name = format!("second-{language:?}");
        let again = through_a_database(folder.path(), &name, &read_all(&exported, language)).await;
        let exported_again: Vec<String> = again.iter().map(write).collect();
        for (first, second) in exported.iter().zip(&exported_again) {
            assert_eq!(first, second);
        }
        assert_eq!(exported.len(), cases.len());
    }
}

/// Nothing of a file is lost on the way into the database: only the order of equal parts may differ,
/// and events are put in the order of their times.
#[tokio::test]
async fn what_the_database_holds_is_what_the_file_says() {
    let folder = tempfile::tempdir().expect("a folder");
    let cases: Vec<Case> = demo_cases().into_iter().map(|(_, case)| case).collect();
    let stored = through_a_database(folder.path(), "db", &cases).await;
    for (file, held) in cases.iter().zip(&stored) {
        let mut ordered = file.clone();
        ordered.events.sort_by_key(|event| event.at);
        assert_eq!(&ordered, held);
    }
}

#[test]
fn a_demo_file_reads_as_the_derived_reader_reads_it() {
    for (name, case) in demo_cases() {
        let text = std::fs::read_to_string(folder().join(&name)).expect("the file");
        assert_eq!(toml::from_str::<Case>(&text).expect(&name), case, "{name}");
        assert_eq!(toml::from_str::<Case>(&to_toml(&case)).expect(&name), case, "{name}");
        assert_eq!(serde_json::from_str::<Case>(&to_json(&case)).expect(&name), case, "{name}");
    }
}

#[test]
fn each_file_is_named_by_its_code_and_each_code_by_its_month() {
    let mut codes: BTreeSet<CaseCode> = BTreeSet::new();
    for (name, case) in demo_cases() {
        let code = case.code.expect("a code");
        assert!(name.starts_with(&format!("{code}-")), "{name} holds {code}");
        assert_eq!(code.year(), case.month.year(), "{name}");
        assert!(codes.insert(code), "{code} stands twice");
    }
    for code in &codes {
        assert!(
            code.number() == 1
                || codes.contains(&CaseCode::new(code.year(), code.number() - 1).expect("a code"))
        );
    }
}

#[test]
fn the_demo_shows_enough_mechanisms_chains_and_long_timelines() {
    let cases: Vec<Case> = demo_cases().into_iter().map(|(_, case)| case).collect();
    assert!(cases.len() >= 14, "{}", cases.len());
    let mechanisms: BTreeSet<&str> =
        cases.iter().flat_map(|case| &case.complications).map(|harm| harm.mechanism.as_str()).collect();
    assert!(mechanisms.len() >= 10, "{mechanisms:?}");
    let chains = cases
        .iter()
        .filter(|case| case.complications.iter().any(|harm| harm.consequence_of.is_some()))
        .count();
    assert!(chains >= 2, "{chains}");
    let long = cases.iter().filter(|case| case.events.len() >= 15).count();
    assert!(long >= 6, "{long}");
    for case in &cases {
        assert!(!case.complications.is_empty(), "{:?} has no complication", case.code);
    }
}

#[test]
fn no_paragraph_stands_in_two_cases() {
    let mut seen: BTreeMap<String, String> = BTreeMap::new();
    for (name, case) in demo_cases() {
        let narrative = case.narrative.as_ref().map(ToString::to_string).unwrap_or_default();
        let texts = case.events.iter().filter_map(|event| event.text.as_ref()).map(ToString::to_string);
        let lessons = case.lessons.iter().map(|lesson| lesson.text.to_string());
        for text in narrative.split("\n\n").map(str::to_owned).chain(texts).chain(lessons) {
            if text.len() > 40 {
                let other = seen.insert(text.clone(), name.clone());
                assert!(other.as_ref().is_none_or(|other| *other == name), "{name} and {other:?}: {text}");
            }
        }
    }
}

#[test]
fn two_years_of_procedures_cover_every_month_with_a_case() {
    let bytes = std::fs::read(folder().join("procedures-at-risk.csv")).expect("the table");
    let cells = at_risk::read(&bytes, shipped_vocabulary()).unwrap_or_else(|problems| panic!("{problems:?}"));
    let months: BTreeSet<Month> = cells.iter().map(|cell| cell.month).collect();
    assert!(months.len() >= 24, "{}", months.len());
    let (first, last) = (*months.first().expect("a month"), *months.last().expect("a month"));
    assert_eq!(first.until(last) + 1, i64::try_from(months.len()).expect("a number"), "a month is left out");
    for (name, case) in demo_cases() {
        assert!(months.contains(&case.month), "{name}: {}", case.month);
    }
    // The strata of the demo's mechanisms are counted, so that each has a rate to show.
    let counted: BTreeSet<&str> = cells.iter().map(|cell| cell.stratum.as_str()).collect();
    for (name, case) in demo_cases() {
        for harm in &case.complications {
            let leaf = shipped_vocabulary().mechanism(&harm.mechanism).expect("a leaf");
            assert!(counted.contains(leaf.at_risk.as_str()), "{name}: {} is not counted", leaf.at_risk);
        }
    }
}
