//! The timeline by keyboard alone: after the address of the page, nothing but key events.

use fantoccini::key::Key;

use crate::main_job::record;
use crate::support::{Browser, How, Stage};

/// A row of the timeline as it is typed, field by field.
struct Typed {
    time: &'static str,
    /// How often Down is pressed in "How sure".
    sure: usize,
    kind: &'static str,
    text: &'static str,
    segment: &'static str,
    /// How often Down is pressed in "Flow after": 1 is TIMI 0.
    flow: usize,
    /// What the row then reads.
    reads: [&'static str; 5],
}

const ROWS: [Typed; 8] = [
    Typed {
        time: "-3",
        sure: 0,
        kind: "punc",
        text: "Right radial",
        segment: "",
        flow: 0,
        reads: ["−3:00", "Access", "Right radial", "", ""],
    },
    Typed {
        time: "0",
        sure: 0,
        kind: "guide",
        text: "Guide engaged",
        segment: "",
        flow: 0,
        reads: ["+0:00", "Guide engaged", "Guide engaged", "", ""],
    },
    Typed {
        time: "+12",
        sure: 0,
        kind: "timi",
        text: "Wire down",
        segment: "lad mid",
        flow: 4,
        reads: ["+12:00", "Flow change", "Wire down", "LAD mid", "TIMI 3"],
    },
    Typed {
        time: "12:30",
        sure: 0,
        kind: "stent",
        text: "Stent deployed",
        segment: "7",
        flow: 0,
        reads: ["+12:30", "Stent", "Stent deployed", "LAD mid", ""],
    },
    Typed {
        time: "14",
        sure: 2,
        kind: "timi",
        text: "Nothing passes",
        segment: "lad mid",
        flow: 1,
        reads: ["≈ +14:00", "Flow change", "Nothing passes", "LAD mid", "TIMI 0"],
    },
    Typed {
        time: "15:20",
        sure: 0,
        kind: "pain",
        text: "Chest pain",
        segment: "",
        flow: 0,
        reads: ["+15:20", "Symptom", "Chest pain", "", ""],
    },
    Typed {
        time: "41",
        sure: 0,
        kind: "timi",
        text: "It runs off",
        segment: "lad mid",
        flow: 4,
        reads: ["+41:00", "Flow change", "It runs off", "LAD mid", "TIMI 3"],
    },
    Typed {
        time: "1h05",
        sure: 0,
        kind: "end",
        text: "Left the laboratory",
        segment: "",
        flow: 0,
        reads: ["+1:05:00", "Outcome", "Left the laboratory", "", ""],
    },
];

async fn type_row(browser: &Browser, row: &Typed) {
    assert_eq!(browser.focus().await, "at", "the time of the next row does not wait");
    browser.type_keys(row.time).await;
    browser.key(Key::Tab).await;
    browser.keys(Key::Down, row.sure).await;
    browser.key(Key::Tab).await;
    browser.type_keys(row.kind).await;
    browser.key(Key::Tab).await;
    browser.type_keys(row.text).await;
    browser.key(Key::Tab).await;
    browser.type_keys(row.segment).await;
    browser.key(Key::Tab).await;
    browser.keys(Key::Down, row.flow).await;
    browser.key(Key::Enter).await;
}

async fn check_row(browser: &Browser, number: usize, row: &Typed) {
    let cells = ["c-time", "c-kind", "c-text", "c-segment", "c-flow"];
    for (cell, expected) in cells.iter().zip(row.reads) {
        let text = browser.text(&format!("#event-{number} .{cell}")).await;
        assert!(
            text.replace('\u{a0}', " ").contains(expected),
            "row {number}, {cell}: {text:?} and not {expected:?}"
        );
        assert!(!expected.is_empty() || text.is_empty(), "row {number}, {cell}: {text:?}");
    }
}

#[tokio::test]
async fn eight_rows_are_typed_without_the_mouse_and_are_drawn() {
    let stage = Stage::signed_in(How::DESK, "Fellow").await;
    let browser = &stage.browser;
    let case = record(browser, "reflow", "No-reflow").await;
    browser.goto(&format!("{case}/timeline")).await;
    browser
        .until("the focus in the time field", async || (browser.focus().await == "at").then_some(()))
        .await;
    for (number, row) in (1..).zip(&ROWS) {
        type_row(browser, row).await;
        browser.until_count("tr[id^='event-']", number).await;
        browser
            .until("the focus back in the time field", async || (browser.focus().await == "at").then_some(()))
            .await;
        assert_eq!(browser.path().await, format!("{case}/timeline"), "the page was left");
    }
    for fresh in [false, true] {
        if fresh {
            browser.client.refresh().await.unwrap();
        }
        for (number, row) in (1..).zip(&ROWS) {
            check_row(browser, number, row).await;
        }
        let title = browser.text("#timeline figcaption strong").await;
        assert!(title.contains("LAD"), "the drawing's title is no finding: {title}");
        let lost = browser.text("#timeline details.rule ul").await;
        assert!(lost.contains("27 min"), "flow was lost from about +14:00 to +41:00: {lost}");
        let marks = browser
            .ask_text("document.querySelectorAll('#timeline svg .mark, #timeline svg [data-event]').length")
            .await;
        let numbers = browser
            .ask_text(
                "[...document.querySelectorAll('#timeline svg text')].map(t => t.textContent).join(' ')",
            )
            .await;
        for number in 1..=8 {
            assert!(
                numbers.split(' ').any(|word| word == number.to_string()),
                "event {number} is not drawn ({marks} marks): {numbers}"
            );
        }
    }
}

#[tokio::test]
async fn a_row_that_is_wrong_keeps_what_was_typed_and_the_focus_goes_there() {
    let stage = Stage::signed_in(How::DESK, "Fellow").await;
    let browser = &stage.browser;
    let case = record(browser, "reflow", "No-reflow").await;
    browser.goto(&format!("{case}/timeline")).await;
    browser
        .until("the focus in the time field", async || (browser.focus().await == "at").then_some(()))
        .await;
    browser.type_keys("12:75").await;
    browser.keys(Key::Tab, 3).await;
    browser.type_keys("Half a sentence").await;
    browser.key(Key::Enter).await;
    let error = browser.until_text("#at-error", "is not a time from time zero").await;
    assert!(error.contains("12:75"), "{error}");
    assert_eq!(browser.focus().await, "at");
    assert_eq!(browser.ask_text("document.querySelector('#text').value").await, "Half a sentence");
    assert_eq!(browser.text("#kind-error").await, "Choose a kind.");
    assert_eq!(browser.count("tr[id^='event-']").await, 0);
    // Mended, it is saved.
    browser.all_of_it().await;
    browser.type_keys("12:45").await;
    browser.keys(Key::Tab, 2).await;
    browser.type_keys("timi").await;
    browser.keys(Key::Tab, 2).await;
    browser.type_keys("lad mid").await;
    browser.key(Key::Tab).await;
    browser.key(Key::Enter).await;
    browser.until_count("tr[id^='event-']", 1).await;
    assert_eq!(browser.text("#event-1 .c-text").await, "Half a sentence");
}

#[tokio::test]
async fn letters_lead_through_the_house_and_escape_leads_out_of_a_form() {
    let stage = Stage::signed_in(How::DESK, "Fellow").await;
    let browser = &stage.browser;
    browser.goto("/rates").await;
    browser.type_keys("gc").await;
    browser.until_path("of the cases", |path| path == "/cases").await;
    browser.type_keys("n").await;
    browser.until_path("of a first entry", |path| path == "/record").await;
    browser.goto("/cases/2025-007").await;
    browser.type_keys("?").await;
    browser.until_text("dialog", "Record a complication").await;
    browser.key(Key::Escape).await;
    browser.until_count("dialog", 0).await;

    // A part of the case is opened, changed, left and taken up again, without the mouse.
    browser.tab_to("Edit situation").await;
    browser.key(Key::Enter).await;
    browser.find("#situation form [name=title]").await;
    browser.until("the focus in the form", async || (browser.focus().await == "title").then_some(())).await;
    browser.type_keys("Changed ").await;
    browser.key(Key::Escape).await;
    browser.until_text("#notice", "put aside").await;
    browser
        .until("the focus back on the link", async || {
            (browser.focus().await == "Edit situation").then_some(())
        })
        .await;
    browser.key(Key::Enter).await;
    browser
        .until("what was typed", async || {
            let title =
                browser.ask_text("document.querySelector('#situation form [name=title]')?.value").await;
            title.contains("Changed").then_some(())
        })
        .await;
}
