//! What may identify somebody: marked while it is typed, put right with one key, kept from paper until it is.

use fantoccini::key::Key;

use crate::print::words_printed;
use crate::support::{Browser, How, Stage};

const CASE: &str = "/cases/2026-008";
const FIELD: &str = "form[data-edit] textarea[name=\"narrative\"]";

async fn value(browser: &Browser) -> String {
    browser.ask_text(&format!("document.querySelector('{}').value", FIELD.replace('"', "\\\""))).await
}

/// The words with a line under them.
async fn marked(browser: &Browser) -> Vec<String> {
    browser.texts(".marks .found").await
}

#[tokio::test]
async fn a_name_is_marked_while_it_is_typed_and_one_key_puts_the_role_there() {
    let stage = Stage::signed_in(How::DESK, "Quality lead").await;
    let browser = &stage.browser;
    browser.goto(&format!("{CASE}/narrative/edit")).await;
    let field = browser.find(FIELD).await;
    field.clear().await.unwrap();
    field
        .send_keys("Dr Marlow took a second view, TIMI 3 after a 3.0 x 28 mm stent at 14 atm.")
        .await
        .unwrap();
    browser.until_count(".marks .found.sure", 1).await;
    assert_eq!(marked(browser).await, ["Dr Marlow"]);
    browser.until_text(".found-list", "reads like the name of a person").await;
    // The field keeps its focus and its caret: nothing moved while it was typed.
    assert_eq!(browser.ask_text("document.activeElement.name").await, "narrative");
    browser.key(Key::F8).await;
    browser.until_count(".marks .found", 0).await;
    let text = value(browser).await;
    assert!(!text.contains("Marlow") && text.contains("took a second view, TIMI 3"), "{text}");
    // Undo brings it back, as after any typing.
    browser.ask("document.execCommand('undo')").await;
    assert!(value(browser).await.contains("Dr Marlow"));
    browser.until_count(".marks .found.sure", 1).await;
    browser.press("Leave it").await;
    browser.until_count(".marks .found", 0).await;
    browser.press("Save").await;
    browser.until_path("of the case", |path| path == CASE).await;
    browser.until_text(".held-note", "it may identify somebody").await;
    assert_eq!(browser.warnings().await, Vec::<String>::new());
}

#[tokio::test]
async fn what_is_held_back_comes_out_of_no_printer_until_it_is_settled() {
    let stage = Stage::signed_in(How::DESK, "Quality lead").await;
    let browser = &stage.browser;
    browser.goto(&format!("{CASE}/situation/edit")).await;
    let field = browser.find("form[data-edit] textarea").await;
    field.clear().await.unwrap();
    field.send_keys("Dr Marlow saw the branch close.").await.unwrap();
    browser.press("Save").await;
    browser.until_text(".held-note", "it may identify somebody").await;
    for page in [CASE.to_owned(), format!("{CASE}/summary")] {
        browser.goto(&page).await;
        let words = words_printed(browser).await;
        assert!(words.contains("Held back"), "{page}: {words}");
        assert!(!words.contains("Marlow") && !words.contains("branch"), "{page}: {words}");
    }
    browser.goto(&format!("{CASE}/present")).await;
    browser.press("Settle what may identify somebody").await;
    browser.until_path("where it is settled", |path| path == format!("{CASE}/identifiers")).await;
    let field = browser.find("input[name=\"with\"]").await;
    field.clear().await.unwrap();
    field.send_keys("The operator").await.unwrap();
    browser.press("Put them in for “Dr Marlow”").await;
    browser.until_text("main", "Nothing was found in the words of this case").await;
    browser.goto(&format!("{CASE}/summary")).await;
    assert!(words_printed(browser).await.contains("The operator saw the branch close."));
    browser.goto(&format!("{CASE}/present")).await;
    browser.until_count(".held-note", 0).await;
    // What the browser says of the window that was held back is that it was.
    let mut warnings = browser.warnings().await;
    warnings.retain(|line| !line.contains("/present") || !line.contains("409"));
    assert_eq!(warnings, Vec::<String>::new());
}
