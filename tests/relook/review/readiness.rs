//! What is still missing before a case is ready.

use relook::review::readiness::{self, Section};

use super::{Bench, FIRST_ENTRY, FULL, with, without};

async fn missing(text: &str) -> Vec<(Section, String)> {
    let case = Bench::new().await.store(text).await;
    let missing = readiness::missing(&case);
    assert_eq!(missing.is_empty(), readiness::is_ready(&case));
    missing.into_iter().map(|check| (check.place, check.text)).collect()
}

#[tokio::test]
async fn a_full_case_is_ready_and_every_check_is_done() {
    let case = Bench::new().await.store(FULL).await;
    assert!(readiness::is_ready(&case));
    let checks = readiness::checks(&case);
    assert!(checks.iter().all(|check| check.done));
    let places: Vec<Section> = checks.iter().map(|check| check.place).collect();
    // No case needs pictures.
    let asked = |section: &Section| ![Section::Actions, Section::Pictures].contains(section);
    for section in Section::ALL.into_iter().filter(asked) {
        assert!(places.contains(&section), "no check for {section:?}");
    }
}

#[tokio::test]
async fn a_first_entry_lacks_everything_but_its_mechanism() {
    let missing = missing(FIRST_ENTRY).await;
    let texts: Vec<&str> = missing.iter().map(|(_, text)| text.as_str()).collect();
    assert_eq!(
        texts,
        [
            "The situation in two sentences",
            "The patient's age, sex and presentation",
            "The procedure's access and urgency",
            "A lesion that was treated or met",
            "What time zero is, in words",
            "A timeline of at least five events (none so far)",
            "The events where the complication began, was recognised and was controlled, or accepted as it was",
            "At least one cause",
            "At least one lesson",
            "The state at discharge and the degree of harm",
            "The narrative: what happened and the thinking, in order",
        ]
    );
}

/// Each row takes one thing out of the full case; that thing alone is then missing.
#[tokio::test]
async fn each_thing_that_is_taken_out_is_named_and_nothing_else() {
    let bench = Bench::new().await;
    let line = |from: &str| with(FULL, from, "");
    let rows = [
        (
            line(
                "situation = \"A wire left the lumen at a bend and the artery closed. It was recrossed and stented, and a branch was lost.\"\n",
            ),
            Section::Situation,
            "The situation in two sentences",
        ),
        (line("sex = \"female\"\n"), Section::Patient, "The patient's sex"),
        (line("urgency = \"urgent\"\n"), Section::Procedure, "The procedure's urgency"),
        (without(FULL, "[[lesions]]"), Section::Lesions, "A lesion that was treated or met"),
        (
            line("time_zero = \"Guide wire enters the left main\"\n"),
            Section::Timeline,
            "What time zero is, in words",
        ),
        (
            line("controlled = \"accepted\"\n"),
            Section::Complications,
            "The event where complication 2 was controlled, or accepted as it was",
        ),
        (without(FULL, "[[causes]]"), Section::Causes, "At least one cause"),
        (line("shown_by = [\"marker\", \"help\"]\n"), Section::Causes, "An event that shows the cause"),
        (
            with(
                FULL,
                "is.\"\nsigned_by = \"Interventional attending\"\nsigned_on = \"2025-04-10\"\n",
                "is.\"\n",
            ),
            Section::Lessons,
            "An attending's signature under lesson 2",
        ),
        (
            line("signed_by = \"Interventional attending\"\nsigned_on = \"2025-04-10\"\n"),
            Section::Lessons,
            "An attending's signature under lessons 1 and 2",
        ),
        (line("harm = \"moderate\"\n"), Section::Outcome, "The degree of harm"),
        (
            line("narrative = \"The wire met resistance, and a loop was pushed on.\"\n"),
            Section::Narrative,
            "The narrative: what happened and the thinking, in order",
        ),
    ];
    for (index, (text, place, expected)) in rows.into_iter().enumerate() {
        let case = bench.store(&with(&text, "2025-014", &format!("2025-{:03}", 100 + index))).await;
        let missing: Vec<(Section, String)> =
            readiness::missing(&case).into_iter().map(|check| (check.place, check.text)).collect();
        assert_eq!(missing, [(place, expected.to_owned())]);
    }
}

#[tokio::test]
async fn four_events_are_too_few_and_five_are_enough() {
    let event =
        |number: u32| format!("[[events]]\nkey = \"e{number}\"\nat = \"+{number}:00\"\nkind = \"drug\"\n");
    let case = |count: u32| {
        let (head, harm) = FIRST_ENTRY.split_once("[[complications]]").unwrap();
        let events: String = (1..=count).map(event).collect();
        format!("{head}{events}[[complications]]{harm}")
    };
    let named = |missing: &[(Section, String)]| {
        missing.iter().find(|(_, text)| text.starts_with("A timeline")).map(|(_, text)| text.clone())
    };
    assert_eq!(
        named(&missing(&case(4)).await).as_deref(),
        Some("A timeline of at least five events (4 so far)")
    );
    assert_eq!(named(&missing(&case(5)).await), None);
}

#[tokio::test]
async fn a_harm_whose_events_contradict_each_other_is_not_ready() {
    let missing = missing(&with(FULL, "recognised = \"closed\"", "recognised = \"open\"")).await;
    assert_eq!(missing.len(), 1);
    assert_eq!(missing[0].0, Section::Complications);
    assert!(missing[0].1.contains("recognised before it began"), "{}", missing[0].1);
}

#[tokio::test]
async fn a_case_without_a_complication_asks_for_one() {
    let text = without(&without(FULL, "[[complications]]"), "[[complications]]");
    assert_eq!(
        missing(&text).await,
        [(Section::Complications, "A complication with its mechanism".to_owned())]
    );
}
