//! What is typed and not saved: kept while it is typed, offered in another session, gone once it is saved.

use crate::support::{Browser, How, Stage};

const CASE: &str = "/cases/2025-007";
const TYPED: &str = "The guide had no support from the start.";

async fn value(browser: &Browser) -> String {
    browser.ask_text("document.querySelector('form[data-edit] textarea').value").await
}

/// Signs out and in again, as somebody does who closed the browser.
async fn come_back(stage: &Stage, person: &str) {
    stage.browser.client.delete_all_cookies().await.unwrap();
    stage.browser.ask("sessionStorage.clear()").await;
    stage.browser.sign_in(stage.demo.link(person)).await;
}

#[tokio::test]
async fn a_text_that_was_typed_and_not_saved_is_offered_in_another_session() {
    let stage = Stage::signed_in(How::DESK, "Attending").await;
    let browser = &stage.browser;
    browser.goto(&format!("{CASE}/narrative/edit")).await;
    browser.find("form[data-edit] textarea").await.clear().await.unwrap();
    browser.find("form[data-edit] textarea").await.send_keys(TYPED).await.unwrap();
    browser.until_text(".draft-state", "Kept as a draft").await;
    come_back(&stage, "Attending").await;
    browser.goto("/").await;
    browser.press("Look at what you typed").await;
    browser.until_text(".kept-text", TYPED).await;
    browser.goto(&format!("{CASE}/narrative/edit")).await;
    browser.until_text(".draft-offer", "did not save it").await;
    assert_ne!(value(browser).await, TYPED, "nothing comes back unasked");
    browser.press("Bring it back").await;
    assert_eq!(value(browser).await, TYPED);
    browser.press("Save").await;
    browser.until_path("of the case", |path| path == CASE).await;
    browser.until_text("#narrative", TYPED).await;
    browser.goto("/drafts").await;
    browser.until_text("main", "Nothing waits").await;
    assert_eq!(browser.warnings().await, Vec::<String>::new());
}

#[tokio::test]
async fn a_section_edited_where_it_stands_keeps_its_draft_too_and_it_can_be_discarded() {
    let stage = Stage::signed_in(How::DESK, "Attending").await;
    let browser = &stage.browser;
    browser.goto(CASE).await;
    browser.press("Edit situation").await;
    browser.until_count("#situation textarea", 1).await;
    browser.find("#situation textarea").await.send_keys(TYPED).await.unwrap();
    browser.until_text(".draft-state", "Kept as a draft").await;
    come_back(&stage, "Attending").await;
    browser.goto(CASE).await;
    browser.press("Edit situation").await;
    browser.until_text("#situation .draft-offer", "did not save it").await;
    browser.press("Discard it").await;
    browser.until_count(".draft-offer", 0).await;
    browser.goto("/drafts").await;
    browser.until_text("main", "Nothing waits").await;
}

#[tokio::test]
async fn while_the_server_takes_no_draft_the_text_stays_in_the_window() {
    let stage = Stage::signed_in(How::DESK, "Attending").await;
    let browser = &stage.browser;
    browser.goto(&format!("{CASE}/narrative/edit")).await;
    // The session ends while the form is open.
    browser.client.delete_all_cookies().await.unwrap();
    browser.find("form[data-edit] textarea").await.send_keys(TYPED).await.unwrap();
    browser.until_text(".draft-state", "kept in this window only").await;
    browser.sign_in(stage.demo.link("Attending")).await;
    browser.goto(&format!("{CASE}/narrative/edit")).await;
    browser.until_text(".draft-offer", "did not save it").await;
    browser.press("Bring it back").await;
    assert!(value(browser).await.contains(TYPED));
}
