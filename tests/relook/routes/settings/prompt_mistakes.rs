//! Lists of response prompts that are written wrongly: each mistake with its line, nothing lost.

use relook::response::LIST_AT_MOST;

use super::prompt_changes::{GOOD, OWN, PATH, add, own};
use super::reading::Reading as _;
use crate::support::{StatusCode, TestApp};

/// What is put in the place of a part of the good list, and what is said to it.
const WRONG: &[(&str, &str, &str)] = &[
    (
        "source = \"Our protocol of May 2026\"\n",
        "",
        "Line 1, column 1: This lacks “source”, which a list needs.",
    ),
    ("title =", "titel =", "Line 3, column 1: “titel” is no key of a list. Did you mean “title”?"),
    (
        "\"flow-slow\"",
        "\"flow-slwo\"",
        "Line 5, column 15: “flow-slwo” is not a mechanism. Did you mean “flow-slow”?",
    ),
    ("[\"flow-slow\"]", "[]", "Line 5, column 14: “mechanisms” needs at least one."),
    ("\"our-slow-flow\"", "\"Our list\"", "Line 2, column 8: A slug is 2 to 48 characters"),
    ("\"Help called.\"", "Help called.", "Line 13, column 8: Text stands in quotes"),
    (
        "\"Help called.\"",
        "\"Help called.",
        "Line 13, column 21: The text that begins on this line has no closing",
    ),
    ("\"Help called.\"", "“Help called.”", "Line 13, column 8: These quotation marks are typographic."),
    (
        "\"Help called.\"",
        "\"Half \u{FFFD}\"",
        "Line 13, column 14: Some characters here did not arrive whole.",
    ),
    ("\"Help called.\"", "\"\"", "Line 13, column 8: This text is empty."),
    ("[\"help\"]", "[\"halp\"]", "Line 15, column 21: “halp” is not a kind of event. Did you mean “help”?"),
    (
        "{ kinds = [\"help\"] }",
        "{ kinds = [\"help\"], devices = [\"rope\"] }",
        "Line 15, column 41: “rope” is not a device class.",
    ),
    (
        "question = \"low-pressure\"",
        "question = \"low\"",
        "Line 21, column 24: This list has no question “low”.",
    ),
    (
        "answer = \"yes\"",
        "answer = \"maybe\"",
        "Line 21, column 49: “maybe” is not a word for “answer”. Allowed: yes, no.",
    ),
    (
        "slug = \"pressure-raised\"",
        "slug = \"help-called\"",
        "Line 18, column 8: “help-called” names another question or step already.",
    ),
    ("[[steps]]\nslug = \"pressure", "[steps]\nslug = \"pressure", "Line 17"),
    (
        "why = \"Two",
        "before = \"help-called\"\nwhy = \"Two",
        "Line 12, column 8: “help-called” would have to come before itself",
    ),
    ("signs = [{", "signs = [{ colour = \"red\",", "Line 15, column 12: “colour” is no key of a sign."),
    (
        "\"our-slow-flow\"",
        "\"no-reflow\"",
        "Line 2, column 8: “no-reflow” is the lasting name of a list that ships. Give yours another, such as our-no-reflow.",
    ),
    ("\"our-slow-flow\"", "\"new\"", "Line 2, column 8: “new” cannot be the name of a list"),
    (
        "\"our-slow-flow\"",
        "\"a-name-that-is-longer-than-any-key-can-be\"",
        "Line 2, column 8: The lasting name of a list, a question or a step has at most 40 characters; this has 41.",
    ),
    (
        "\"pressure-raised\"",
        "\"a-name-that-is-longer-than-any-key-can-be\"",
        "Line 18, column 8: The lasting name of a list, a question or a step has at most 40 characters",
    ),
];

#[tokio::test]
async fn each_mistake_is_told_with_its_line_and_all_that_was_typed_comes_back() {
    let house = TestApp::init().await;
    let lead = house.with_quality_lead().await;
    let mut not_told = Vec::new();
    for (part, instead, sentence) in WRONG {
        assert!(GOOD.contains(part), "{part}");
        let typed = GOOD.replacen(part, instead, 1);
        let page = add(&lead, &typed.replace('\n', "\r\n")).await;
        page.is(StatusCode::UNPROCESSABLE_ENTITY).says("Nothing is saved yet");
        let told = page.texts(".error-summary a[href='#text']");
        if !told.iter().any(|told| told.starts_with(sentence)) {
            not_told.push(format!("{sentence}\nbut {told:?}"));
        }
        assert_eq!(page.value("text"), typed, "{sentence}");
        assert_eq!(page.attr("textarea", "aria-describedby").as_deref(), Some("text-hint problems"));
        assert_eq!(page.attr("textarea", "aria-invalid").as_deref(), Some("true"));
        assert_eq!(page.count(".error-summary li"), told.len());
    }
    assert!(not_told.is_empty(), "{}", not_told.join("\n"));
    assert!(own(&house).is_empty());
    // Mended, it is saved as if nothing had been wrong.
    add(&lead, GOOD).await.leads_to(OWN);
}

#[tokio::test]
async fn several_mistakes_are_told_together_each_with_the_line_that_it_is_about() {
    let house = TestApp::init().await;
    let lead = house.with_quality_lead().await;
    let typed = GOOD.replace("flow-slow\"]", "flow-slwo\"]").replace("[\"help\"]", "[\"<b>halp</b>\"]");
    let page = add(&lead, &typed).await;
    page.is(StatusCode::UNPROCESSABLE_ENTITY).says("needs another look in several places").lacks("<b>halp");
    let told = page.texts(".error-summary li");
    assert_eq!(told.len(), 2, "{told:?}");
    assert!(
        told[0].starts_with("Line 5, column 15:") && told[0].ends_with("mechanisms = [\"flow-slwo\"]"),
        "{told:?}"
    );
    assert!(told[1].ends_with("signs = [{ kinds = [\"<b>halp</b>\"] }]"), "{told:?}");
}

#[tokio::test]
async fn nothing_and_too_much_are_answered_with_a_sentence() {
    let house = TestApp::init().await;
    let lead = house.with_quality_lead().await;
    for nothing in ["", "  \r\n \t", "\u{feff}"] {
        let page = add(&lead, nothing).await;
        page.is(StatusCode::UNPROCESSABLE_ENTITY)
            .says("Write the list here, or start from one that is there");
        assert_eq!(page.errors().len(), 1);
    }
    lead.post(PATH, &[]).await.is(StatusCode::UNPROCESSABLE_ENTITY);
    let padded = |bytes: usize| format!("{GOOD}#{}\n", "x".repeat(bytes - GOOD.len() - 2));
    let page = add(&lead, &padded(LIST_AT_MOST + 1)).await;
    page.is(StatusCode::UNPROCESSABLE_ENTITY).says("Line 1, column 1: A list has at most 128 KiB.");
    assert_eq!(page.value("text"), padded(LIST_AT_MOST + 1));
    add(&lead, &"x".repeat(600_000)).await.is(StatusCode::BAD_REQUEST).says("larger than half a megabyte");
    assert!(own(&house).is_empty());
    add(&lead, &padded(LIST_AT_MOST)).await.leads_to(OWN);
    // Line ends as a browser sends them do not count.
    lead.get(&format!("{OWN}/edit")).await.is(StatusCode::OK);
}
