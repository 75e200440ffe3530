//! Recall by kind and by locale over notes that `tests/python/notes.py` makes with the fake-data library Faker.
//!
//! `cargo test --test relook deidentify::notes -- --nocapture` prints the tables. An identifier counts as found
//! when suspicions, of whatever kind, hold all its letters and digits: a surname left over is a name left over.
//! Half of the templates and half of the locales were held out while the detector was made; both halves are told.

use std::collections::BTreeMap;
use std::path::Path;
use std::process::Command;

use relook::deidentify::{Confidence, Suspicion, suspect};
use serde::Deserialize;

/// What has to be found in all, and of each kind of which there are enough to tell.
const RECALL: f64 = 0.97;
const RECALL_OF_A_KIND: f64 = 0.90;
/// Addresses in the manner of ten countries run over several lines: whole ones are harder.
const RECALL_OF_ADDRESSES: f64 = 0.65;
/// How many suspicions may stand in 1,000 words of notes that hold nothing.
const FALSE_IN_1000_WORDS: f64 = 1.0;
const AT_LEAST_NOTES: usize = 5_000;

#[derive(Deserialize)]
struct Note {
    locale: String,
    half: String,
    text: String,
    spans: Vec<Planted>,
}

#[derive(Deserialize)]
struct Planted {
    start: usize,
    end: usize,
    kind: String,
}

#[derive(Default)]
struct Count {
    planted: usize,
    whole: usize,
    touched: usize,
}

impl Count {
    fn add(&mut self, whole: bool, touched: bool) {
        self.planted += 1;
        self.whole += usize::from(whole);
        self.touched += usize::from(touched);
    }

    #[allow(clippy::cast_precision_loss)]
    fn recall(&self) -> f64 {
        self.whole as f64 / self.planted.max(1) as f64
    }

    fn tell(&self, name: &str) {
        println!(
            "{name:<22} {:>7} {:>8.3} {:>8.3}",
            self.planted,
            self.recall(),
            share(self.touched, self.planted)
        );
    }
}

#[allow(clippy::cast_precision_loss)]
fn share(part: usize, whole: usize) -> f64 {
    part as f64 / whole.max(1) as f64
}

/// The notes, made afresh from their seed.
fn made() -> Vec<Note> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let python = root.join("target/python/bin/python");
    assert!(python.exists(), "{} is missing: run tests/run, which makes it", python.display());
    let made = Command::new(python).arg(root.join("tests/python/notes.py")).output().expect("Python");
    assert!(made.status.success(), "notes.py failed: {}", String::from_utf8_lossy(&made.stderr));
    let text = String::from_utf8(made.stdout).expect("UTF-8");
    text.lines().map(|line| serde_json::from_str(line).expect("a note")).collect()
}

/// Whether suspicions hold all letters and digits of what was planted.
fn holds(found: &[Suspicion], text: &str, planted: &Planted) -> bool {
    text[planted.start..planted.end]
        .char_indices()
        .filter(|(_, c)| c.is_alphanumeric())
        .all(|(at, _)| found.iter().any(|suspicion| suspicion.span.contains(&(planted.start + at))))
}

#[test]
fn identifiers_are_found_in_made_up_notes() {
    let notes = made();
    assert!(notes.len() >= AT_LEAST_NOTES, "{} notes", notes.len());
    let mut by_kind: BTreeMap<&str, [Count; 2]> = BTreeMap::new();
    let mut by_locale: BTreeMap<&str, Count> = BTreeMap::new();
    let mut halves = [Count::default(), Count::default()];
    let (mut words, mut wrong, mut sure) = (0, Vec::new(), 0);
    for note in &notes {
        let found = suspect(&note.text);
        let held_out = usize::from(note.half == "held out");
        for planted in &note.spans {
            let whole = holds(&found, &note.text, planted);
            let meets = |one: &Suspicion| one.span.start < planted.end && planted.start < one.span.end;
            let touched = found.iter().any(meets);
            by_kind.entry(&planted.kind).or_default()[held_out].add(whole, touched);
            by_locale.entry(&note.locale).or_default().add(whole, touched);
            halves[held_out].add(whole, touched);
        }
        if note.spans.is_empty() {
            words += note.text.split_whitespace().count();
            sure += found.iter().filter(|one| one.confidence == Confidence::High).count();
            wrong
                .extend(found.iter().map(|one| format!("{:?} “{}”", one.kind, &note.text[one.span.clone()])));
        }
    }
    println!("{:<22} {:>7} {:>8} {:>8}", "", "planted", "whole", "touched");
    for (kind, [tuned, held_out]) in &by_kind {
        tuned.tell(kind);
        held_out.tell(&format!("{kind}, held out"));
    }
    for (locale, count) in &by_locale {
        count.tell(locale);
    }
    halves[0].tell("tuned half");
    halves[1].tell("held out half");
    let in_1000 = 1_000.0 * share(wrong.len(), words);
    println!(
        "{words} words without an identifier: {in_1000:.2} suspicions in 1,000 words, {sure} of them sure"
    );
    wrong.sort();
    wrong.dedup();
    println!("{}", wrong.join("\n"));
    for half in &halves {
        assert!(half.recall() >= RECALL, "recall {:.3}", half.recall());
    }
    for (kind, [tuned, held_out]) in &by_kind {
        let floor = if *kind == "address" { RECALL_OF_ADDRESSES } else { RECALL_OF_A_KIND };
        for count in [tuned, held_out].into_iter().filter(|count| count.planted >= 20) {
            assert!(count.recall() >= floor, "recall of {kind} {:.3}", count.recall());
        }
    }
    assert!(in_1000 <= FALSE_IN_1000_WORDS && sure == 0, "{in_1000:.2} in 1,000 words, {sure} sure");
}
