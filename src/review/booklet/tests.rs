//! The booklet over cases of the demo, which need no database.

use super::*;
use crate::case::{Case, Stage};
use crate::vocabulary::{Branch, shipped_mechanisms};

const TEXTS: [&str; 3] = [
    include_str!("../../../demo-cases/2025-003-distal-wire-perforation-late-tamponade.toml"),
    include_str!("../../../demo-cases/2025-006-burr-stuck-right-coronary.toml"),
    include_str!("../../../demo-cases/2025-007-wire-dissection-closure-diagonal-lost.toml"),
];

/// The cases, with ids of lessons that are unlike in all of them.
fn cases() -> Vec<StoredCase> {
    (1_i64..)
        .zip(TEXTS)
        .map(|(number, text)| {
            let case: Case = toml::from_str(text).unwrap();
            let code = case.code.unwrap();
            let mut stored = StoredCase::of_file(case, code);
            stored.identifiers.clear();
            stored.id = number;
            for row in &mut stored.lessons {
                row.id += 100 * number;
            }
            stored
        })
        .collect()
}

/// The shipped tree of mechanisms.
fn vocabulary() -> Vocabulary {
    let cause_branches = vec![Branch {
        slug: "equipment".to_owned(),
        label: "Equipment".to_owned(),
        definition: String::new(),
    }];
    Vocabulary { mechanisms: shipped_mechanisms(), cause_branches, ..Vocabulary::default() }
}

fn all_of(cases: &[StoredCase]) -> BTreeSet<i64> {
    cases.iter().flat_map(|case| case.lessons.iter().map(|row| row.id)).collect()
}

fn made(cases: &[StoredCase], chosen: &BTreeSet<i64>) -> Document {
    let line = Confidentiality::default();
    booklet(&Inputs { year: 2025, line: &line, cases, chosen }, &vocabulary())
}

fn headings(document: &Document, level: Level) -> Vec<String> {
    let heading = |block: &Block| match block {
        Block::Heading(heading) if heading.level == level => Some(heading.text.clone()),
        _ => None,
    };
    document.blocks().iter().filter_map(heading).collect()
}

fn figures(document: &Document) -> Vec<&crate::document::Figure> {
    document
        .blocks()
        .iter()
        .filter_map(|block| match block {
            Block::Figure(figure) => Some(figure),
            _ => None,
        })
        .collect()
}

fn words(document: &Document) -> String {
    document.words().join("\n")
}

#[test]
fn lessons_stand_by_mechanism_in_the_order_of_the_tree_and_by_case() {
    let cases = cases();
    let document = made(&cases, &all_of(&cases));
    assert_eq!(document.title(), "Lessons of 2025");
    let tree = vocabulary();
    let place = |label: &String| tree.mechanisms.iter().position(|leaf| leaf.label == *label);
    let places: Vec<usize> = headings(&document, Level::Section).iter().filter_map(place).collect();
    assert_eq!(places.len(), 3, "each case has its own mechanism: {:?}", headings(&document, Level::Section));
    assert!(places.is_sorted(), "{places:?}");
    for case in &cases {
        let title = format!("{}: {}", case.code, case.head.title);
        assert_eq!(headings(&document, Level::Part).iter().filter(|text| **text == title).count(), 1);
    }
    // Each lesson once, in its words, numbered through.
    let numbered: Vec<String> = headings(&document, Level::Point)
        .into_iter()
        .filter(|text| text.starts_with("Lesson "))
        .map(|text| text.split([' ', ',']).nth(1).unwrap().to_owned())
        .collect();
    let lessons: usize = cases.iter().map(|case| case.lessons.len()).sum();
    assert_eq!(numbered, (1..=lessons).map(|number| number.to_string()).collect::<Vec<_>>());
    let text = words(&document);
    for row in cases.iter().flat_map(|case| &case.lessons) {
        assert!(text.contains(row.value.text.as_str()), "{}", row.value.text);
    }
}

#[test]
fn figures_stand_once_a_case_and_their_names_are_unlike() {
    let cases = cases();
    let document = made(&cases, &all_of(&cases));
    let drawn = figures(&document);
    let timelines = drawn.iter().filter(|figure| figure.summary.contains("Numbers as in the table")).count();
    assert_eq!(timelines, 3);
    let mut ids: Vec<&str> = drawn
        .iter()
        .flat_map(|figure| {
            figure.svg.as_str().split(" id=\"").skip(1).filter_map(|rest| rest.split('"').next())
        })
        .collect();
    let all = ids.len();
    ids.sort_unstable();
    ids.dedup();
    assert_eq!(ids.len(), all, "an id of a drawing stands twice");
    assert!(all >= 3);
}

#[test]
fn only_what_was_chosen_and_may_be_told_is_in_it() {
    let mut cases = cases();
    let one: BTreeSet<i64> = [101].into();
    let document = made(&cases, &one);
    assert!(words(&document).contains("One lesson from one case."));
    assert_eq!(figures(&document).iter().filter(|figure| figure.summary.contains("Numbers as")).count(), 1);
    let absent = cases[1].lessons[0].value.text.to_string();
    assert!(!words(&document).contains(&absent));

    // Chosen, and still not told: unsigned, not presented, held back.
    cases[0].lessons[0].value.signed_by = None;
    cases[1].head.stage = Stage::Ready;
    let found = crate::case::identifier::OpenIdentifier {
        place: crate::case::identifier::Place::Title,
        span: 0..4,
        words: "Quin".to_owned(),
        kind: "Name".to_owned(),
    };
    cases[2].identifiers = vec![found];
    let document = made(&cases, &[101, 201, 301].into());
    assert!(words(&document).contains("No lesson is chosen"), "{}", words(&document));
    assert!(headings(&document, Level::Section).is_empty());
}

#[test]
fn it_tells_neither_days_nor_months_nor_who_signed() {
    let cases = cases();
    let document = made(&cases, &all_of(&cases));
    let said: String =
        [document.title().to_owned()].into_iter().chain(document.words()).collect::<Vec<_>>().join("\n");
    for case in &cases {
        assert!(!said.contains(&case.head.month.in_words()), "{}", case.head.month.in_words());
        for row in &case.lessons {
            let on = row.value.signed_on.unwrap();
            assert!(!said.contains(&on.in_words()) && !said.contains(&on.to_string()), "{on}");
        }
        for row in &case.actions {
            assert!(!said.contains(&row.value.due.in_words()), "{}", row.value.due);
        }
    }
    assert!(!format!("{document:?}").contains("Signed("), "no name stands under a lesson");
}

#[test]
fn the_index_leads_to_every_lesson_and_its_case() {
    let cases = cases();
    let document = made(&cases, &all_of(&cases));
    let anchors: BTreeSet<String> = document
        .blocks()
        .iter()
        .filter_map(|block| match block {
            Block::Heading(heading) => Some(format!("#{}", heading.anchor.as_str())),
            _ => None,
        })
        .collect();
    let start = document
        .blocks()
        .iter()
        .position(|block| matches!(block, Block::Heading(heading) if heading.text == "Index"))
        .unwrap();
    let mut lessons = BTreeSet::new();
    for block in &document.blocks()[start..] {
        let Block::Table(table) = block else { continue };
        for row in table.rows() {
            for cell in &row[1..] {
                let Some(crate::document::Inline::Link { href, .. }) = cell.inlines().first() else {
                    panic!("no link")
                };
                assert!(anchors.contains(href.as_str()), "{} leads nowhere", href.as_str());
            }
            lessons.insert(row[0].to_text());
        }
    }
    assert_eq!(lessons.len(), cases.iter().map(|case| case.lessons.len()).sum::<usize>());
}

#[test]
fn a_lesson_says_what_it_rests_on_and_an_action_where_it_stands() {
    let cases = cases();
    let text = words(&made(&cases, &all_of(&cases)));
    let linked = cases.iter().flat_map(|case| &case.lessons).filter(|row| row.value.event.is_some()).count();
    assert!(linked > 0);
    assert!(text.contains("Rests on") && text.contains("Event "), "{text}");
    assert!(
        text.contains("In print")
            || cases.iter().flat_map(|case| &case.lessons).all(|row| row.value.reference.is_none())
    );
    assert!(text.contains("Done, in place since 20") || text.contains("Open, due in 20"), "{text}");
    assert!(text.contains(FOR_TEACHING) && text.contains("Local protocols"));
}
