//! How long a file takes: the slides, the Word file and, with the feature `pdf`, the PDF files of a case with 40
//! events.
//!
//! `cargo bench --bench files` prints the median and the longest of 20 runs, and the size of the file.

#![allow(clippy::unwrap_used, clippy::panic, missing_docs, reason = "a bench speaks by panicking")]

use std::fmt::Write as _;
use std::time::{Duration, Instant};

use relook::case::reading::Reading;
use relook::case::{Case, CaseCode, StoredCase};
use relook::clinical::Choices;
use relook::database::Database;
use relook::department::Department;
use relook::export::format::Options;
use relook::export::{slides, word};
use relook::review::deck::{Material, arrange, screens, slides as deck_of};
use relook::review::findings::Findings;
use relook::review::summary::teaching_summary;
use relook::vocabulary;

const CASE: &str = include_str!("../demo-cases/2025-007-wire-dissection-closure-diagonal-lost.toml");
const EVENTS: usize = 40;
const RUNS: usize = 20;

/// The case of the demo with as many events as are measured.
fn case() -> StoredCase {
    let there = CASE.matches("[[events]]").count();
    let mut events = String::new();
    for number in there..EVENTS {
        let _ = write!(
            events,
            "[[events]]\nkey = \"more-{number}\"\nat = \"+{}:30\"\nkind = \"flow\"\nsegment = \"lad-mid\"\nflow = {}\ntext = \"Contrast is injected once more, and the flow is graded by two people.\"\n\n",
            90 + number,
            number % 4
        );
    }
    let text = CASE.replacen("[[complications]]", &format!("{events}[[complications]]"), 1);
    let case: Case = toml::from_str(&text).unwrap();
    assert_eq!(case.events.len(), EVENTS);
    StoredCase::of_file(case, CaseCode::new(2025, 7).unwrap())
}

fn measure(what: &str, make: impl Fn() -> Vec<u8>) {
    let mut times: Vec<Duration> = Vec::new();
    let mut size = 0;
    for _ in 0..RUNS {
        let start = Instant::now();
        size = make().len();
        times.push(start.elapsed());
    }
    times.sort();
    let (median, longest) = (times[RUNS / 2], times[RUNS - 1]);
    println!("{what}: median {median:.1?}, longest {longest:.1?}, {} kB", size / 1000);
}

#[tokio::main]
async fn main() {
    let folder = tempfile::tempdir().unwrap();
    let database = Database::open(&folder.path().join("relook.db")).await.unwrap();
    let mut tx = database.write().await.unwrap();
    vocabulary::store::seed(&mut tx).await.unwrap();
    let vocabulary = vocabulary::store::load(&mut tx).await.unwrap();
    tx.commit().await.unwrap();
    let case = case();
    let reading = Reading::of(&case.events, &case.complications);
    let findings = Findings::of(&case, &reading, &vocabulary, &Choices::default());
    let material = Material {
        case: &case,
        vocabulary: &vocabulary,
        reading: &reading,
        findings: &findings,
        rate: None,
        confidential: "Confidential. Peer review and teaching.",
    };
    let deck = deck_of(&arrange(screens(&material), &[]), material.confidential);
    let summary = teaching_summary(&case, &vocabulary, &Department::default(), None);
    let options = Options::default();
    println!("{} slides of a case with {EVENTS} events", deck.slides.len());
    measure("deck, derived", || {
        let deck = deck_of(&arrange(screens(&material), &[]), material.confidential);
        vec![0; deck.slides.len()]
    });
    measure("slides (.pptx)", || (slides::FORMAT.render)(&deck, &options).unwrap());
    measure("summary (.docx)", || (word::FORMAT.render)(&summary, &options).unwrap());
    #[cfg(feature = "pdf")]
    {
        measure("summary (.pdf)", || (relook::export::pdf::FORMAT.render)(&summary, &options).unwrap());
        measure("slides with notes (.pdf)", || (relook::export::pdf::DECK.render)(&deck, &options).unwrap());
    }
}
