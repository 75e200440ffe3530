//! A first entry on a phone, and pages that do not scroll sideways.

use crate::main_job::choose;
use crate::support::{How, Stage};

#[tokio::test]
async fn a_complication_is_recorded_on_a_phone() {
    let stage = Stage::signed_in(How::PHONE, "Fellow").await;
    let browser = &stage.browser;
    browser.check_width().await;
    browser.goto("/cases").await;
    browser.check_width().await;
    browser.press("Record a complication").await;
    browser.until_path("of a first entry", |path| path == "/record").await;
    browser.check_width().await;
    // This month stands there already: two answers are left.
    assert_ne!(browser.ask_text("document.querySelector('#month').value").await, "");
    choose(browser, "main form", "mechanism", "kidney", "Contrast-related kidney injury").await;
    browser.check_width().await;
    let text = "The creatinine had doubled two days after a long occlusion procedure.";
    browser.find("#situation").await.send_keys(text).await.unwrap();
    browser.press("Record it").await;
    browser.until_path("of the new case", |path| path.starts_with("/cases/")).await;
    browser.until_text("#notice", "counts in the rates").await;
    assert_eq!(browser.text("#situation .lead").await, text);
    browser.check_width().await;
}

#[tokio::test]
async fn no_page_scrolls_sideways_on_a_phone() {
    let stage = Stage::signed_in(How::PHONE, "Quality lead").await;
    for path in crate::accessibility::pages(&stage).await {
        stage.browser.goto(&path).await;
        stage.browser.check_width().await;
    }
}

#[tokio::test]
async fn what_is_pressed_on_a_phone_is_large_enough_for_a_finger() {
    let stage = Stage::signed_in(How::PHONE, "Fellow").await;
    for path in ["/record", "/cases/2025-007"] {
        stage.browser.goto(path).await;
        // WCAG 2.2, criterion 2.5.8: at least 24 by 24 CSS px.
        let small = stage
            .browser
            .ask_text(
                "[...document.querySelectorAll('main button, main input:not([type=hidden]), main select, main textarea')]
                 .filter(e => e.checkVisibility() && !e.closest('.visually-hidden') && !e.classList.contains('visually-hidden'))
                 .filter(e => !['checkbox', 'radio'].includes(e.type))
                 .map(e => [e.name || e.textContent, e.getBoundingClientRect()])
                 .filter(([, box]) => box.width < 24 || box.height < 24).map(([name]) => name).join(', ')",
            )
            .await;
        assert_eq!(small, "", "{path}");
    }
}
