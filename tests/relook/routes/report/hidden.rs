//! A reader of the report who looks for what it hides: the page and the file, every number beside its
//! name, and every total less what is shown of it.

use std::collections::BTreeMap;

use relook::rates::per_1000;

use super::{cases, leaves};
use crate::support::{CaseBuilder, Page, TestApp};

/// A mechanism, its branch, and its cases in the first and the second quarter of 2026.
type Row = (&'static str, &'static str, &'static str, u64, u64);

/// Labels as the shipped vocabulary has them. Each case has one harm, so totals add up: the easiest
/// department to subtract in.
const DEPARTMENTS: [&[Row]; 3] = [
    &[
        ("flow-no-reflow", "No-reflow", "Flow", 9, 14),
        ("flow-slow", "Slow flow", "Flow", 6, 3),
        ("flow-spasm", "Coronary spasm", "Flow", 0, 8),
        ("access-haematoma", "Access-site bleed or haematoma", "Access", 11, 7),
        ("peri-tamponade", "Tamponade", "Pericardium", 1, 0),
    ],
    &[
        ("flow-no-reflow", "No-reflow", "Flow", 12, 13),
        ("wire-subintimal", "Wire dissection", "Wire", 0, 2),
        ("sys-shock", "Shock", "Whole body", 5, 6),
        ("drug-allergy", "Allergic reaction", "Drugs and contrast", 5, 0),
    ],
    &[("flow-no-reflow", "No-reflow", "Flow", 3, 2), ("sys-shock", "Shock", "Whole body", 1, 1)],
];

const PROCEDURES: [u64; 2] = [331, 347];
const SMALLEST: u64 = 5;
const WHOLE: &str = "Any complication";

/// What a quarter truly holds: by name, with the parent of each.
fn truth(rows: &[Row], quarter: usize) -> BTreeMap<&'static str, (Option<&'static str>, u64)> {
    let mut held = BTreeMap::from([(WHOLE, (None, 0))]);
    for &(_, label, branch, first, second) in rows {
        let events = [first, second][quarter];
        held.insert(label, (Some(branch), events));
        held.entry(branch).or_insert((Some(WHOLE), 0)).1 += events;
        held.entry(WHOLE).or_insert((None, 0)).1 += events;
    }
    held
}

async fn department(rows: &[Row]) -> TestApp {
    let app = TestApp::init().await;
    for (index, procedures) in PROCEDURES.into_iter().enumerate() {
        for month in 0..3 {
            let share = procedures / 3 + if month == 0 { procedures % 3 } else { 0 };
            let month = format!("2026-0{}", index * 3 + month + 1);
            app.count_procedures(&month, "all-pci", u32::try_from(share).unwrap()).await;
        }
    }
    for &(slug, _, _, first, second) in rows {
        for (index, events) in [first, second].into_iter().enumerate() {
            for case in 0..events {
                let month = format!("2026-0{}", index as u64 * 3 + case % 3 + 1);
                cases(&app, slug, &month, 1).await;
            }
        }
    }
    app
}

/// Every piece of text that stands for itself: rows, items, paragraphs, texts of the drawing, lines of
/// the file.
fn pieces(page: &Page, file: &Page) -> Vec<String> {
    let mut pieces = page.texts("article tr, article li, article p, article figcaption, article svg text, article svg title, article svg desc");
    pieces.extend(
        file.html.lines().map(|line| line.replace("**", "").replace('\\', "").replace('\u{a0}', " ")),
    );
    pieces
}

/// What the table of rates shows of a name: the number of each quarter, the first quarter first; `None`
/// where it is hidden.
fn shown(page: &Page, label: &str) -> Option<[Option<u64>; 2]> {
    let row = page.texts("article table:last-of-type tr").into_iter().find(|row| {
        row.strip_prefix(label).is_some_and(|rest| {
            rest.trim_start().starts_with(|c: char| c.is_ascii_digit())
                || rest.trim_start().starts_with("hidden")
        }) && (row.contains(" of 3") || row.contains("hidden"))
    })?;
    let count = |procedures: u64| -> Option<u64> {
        let (before, _) = row.split_once(&format!(" of {procedures}"))?;
        before.rsplit(' ').next()?.parse().ok()
    };
    Some([count(PROCEDURES[0]), count(PROCEDURES[1])])
}

/// The names that have only a sentence, and whether it says "no event" of the second quarter.
fn hides(page: &Page, label: &str) -> bool {
    page.texts("article li").iter().any(|item| item.contains("hidden") && item.contains(label))
}

#[tokio::test]
async fn no_number_that_is_hidden_can_be_read_or_worked_out() {
    for (number, rows) in DEPARTMENTS.iter().enumerate() {
        let app = department(rows).await;
        let client = app.with_fellow().await;
        let page = client.get("/rates/report?quarter=2026-Q2").await;
        let file = client.get("/rates/report/files/markdown?quarter=2026-Q2").await;
        let pieces = pieces(&page, &file);
        let (mut hidden, mut told) = (0, 0);
        for quarter in 0..2 {
            let truth = truth(rows, quarter);
            let seen = |label: &str| shown(&page, label).and_then(|both| both[quarter]);
            for (&label, &(_, events)) in &truth {
                match seen(label) {
                    Some(count) => {
                        assert_eq!(count, events, "{number}: {label}");
                        assert!(count == 0 || count >= SMALLEST, "{number}: {label} shows {count}");
                        told += 1;
                    }
                    None if events > 0 => {
                        hidden += 1;
                        assert!(
                            shown(&page, label).is_some() || hides(&page, label),
                            "{number}: {label} is not named"
                        );
                        assert_untold(&pieces, label, events, PROCEDURES[quarter], number);
                    }
                    None => {}
                }
            }
            assert_not_given_back(&truth, seen, number);
        }
        assert!(hidden >= 2, "{number}: nothing is hidden, so this proves nothing");
        assert!(told > 0 || number == 2, "{number}: nothing is told");
    }
}

/// No piece that names the label says its count, its rate, or a limit of its interval; and none says the
/// count among the procedures without a name.
fn assert_untold(pieces: &[String], label: &str, events: u64, procedures: u64, number: usize) {
    let (n, x) = (procedures as f64, events as f64);
    let rate = per_1000(x / n * 1_000.0);
    // Wilson, J Am Stat Assoc 1927;22:209, by its formula.
    let (z, p) = (1.959_963_984_540_054_f64, x / n);
    let middle = (p + z * z / (2.0 * n)) / (1.0 + z * z / n);
    let half = z / (1.0 + z * z / n) * (p * (1.0 - p) / n + z * z / (4.0 * n * n)).sqrt();
    let limits =
        format!("{} to {}", per_1000((middle - half) * 1_000.0), per_1000((middle + half) * 1_000.0));
    let counts = format!("{events} of {procedures}");
    for piece in pieces.iter().filter(|piece| piece.contains(label)) {
        for told in [&counts, &limits] {
            assert!(!holds(piece, told), "{number}: {label} is told by {told:?}: {piece}");
        }
        let own = piece.contains("per 1,000") || piece.starts_with(label) || piece.starts_with('|');
        assert!(!own || !holds(piece, &rate), "{number}: {label} is told by its rate {rate}: {piece}");
    }
}

/// Whether a text stands in another as a whole number, not as part of a longer one.
fn holds(text: &str, part: &str) -> bool {
    text.match_indices(part).any(|(at, _)| {
        let before = text[..at].chars().next_back();
        let after = text[at + part.len()..].chars().next();
        let joins = |c: Option<char>| c.is_some_and(|c| c.is_ascii_digit() || c == '.' || c == ',');
        !joins(before) && !after.is_some_and(|c| c.is_ascii_digit())
    })
}

/// A total less what is shown of it leaves no hidden number alone, and no hidden numbers that must all
/// be small. Where a parent is hidden its children are not all shown.
fn assert_not_given_back(
    truth: &BTreeMap<&'static str, (Option<&'static str>, u64)>,
    seen: impl Fn(&str) -> Option<u64>,
    number: usize,
) {
    for (&parent, &(_, total)) in truth {
        let children: Vec<(&str, u64)> = truth
            .iter()
            .filter(|(_, (of, _))| *of == Some(parent))
            .map(|(&child, &(_, events))| (child, events))
            .filter(|(_, events)| *events > 0)
            .collect();
        let unseen = children.iter().filter(|(child, _)| seen(child).is_none()).count() as u64;
        if children.is_empty() {
            continue;
        }
        if seen(parent).is_none() {
            assert!(unseen > 0, "{number}: the parts of {parent} give it back");
            continue;
        }
        let left = total - children.iter().filter_map(|(child, _)| seen(child)).sum::<u64>();
        assert!(unseen != 1, "{number}: {parent} less its parts gives one back: {left}");
        assert!(
            unseen == 0 || left - (unseen - 1) >= SMALLEST,
            "{number}: what is left of {parent} is small"
        );
    }
}

#[tokio::test]
async fn with_a_limit_of_1_the_same_reader_finds_every_number() {
    let app = department(DEPARTMENTS[0]).await;
    leaves(&app, 1).await;
    let page = app.with_fellow().await.get("/rates/report?quarter=2026-Q2").await;
    for quarter in 0..2 {
        for (label, (_, events)) in truth(DEPARTMENTS[0], quarter) {
            let found = shown(&page, label).unwrap_or_else(|| panic!("{label} is not in the table: {page}"));
            assert_eq!(found[quarter], Some(events), "{label}");
        }
    }
}

#[tokio::test]
async fn a_case_with_two_harms_counts_in_both_and_gives_nothing_back() {
    let app = department(DEPARTMENTS[1]).await;
    for _ in 0..2 {
        CaseBuilder::new("Both")
            .month("2026-05")
            .mechanism("wire-subintimal")
            .consequence("flow-no-reflow")
            .insert(&app)
            .await;
    }
    let page = app.with_fellow().await.get("/rates/report?quarter=2026-Q2").await;
    // Truth: 23 cases, of them 15 no-reflow, 4 wire dissection, 6 shock.
    let whole = shown(&page, WHOLE).unwrap();
    assert_eq!(whole[1], Some(23));
    assert_eq!(shown(&page, "Wire dissection").and_then(|both| both[1]), None);
    assert!(!page.text.contains("4 of 347"), "{}", page.text);
}

#[tokio::test]
async fn a_quarter_shows_the_same_in_its_own_report_and_in_the_next() {
    for (number, rows) in DEPARTMENTS.iter().enumerate() {
        let app = department(rows).await;
        let client = app.with_fellow().await;
        let own = client.get("/rates/report?quarter=2026-Q1").await;
        let next = client.get("/rates/report?quarter=2026-Q2").await;
        for label in truth(rows, 0).into_keys() {
            let of = |page: &Page| shown(page, label).and_then(|both| both[0]).filter(|count| *count > 0);
            assert_eq!(of(&own), of(&next), "{number}: {label}");
        }
    }
}
