//! Files: what is said while one is made, and what becomes of an answer that is none.

use std::path::PathBuf;

use fantoccini::key::Key;
use serde_json::json;
use tempfile::TempDir;

use crate::support::{Browser, How, Stage};

/// Where the files of a case with stop points are.
pub const FILES: &str = "/cases/2025-007/files";
const SLIDES: &str = "a[href$='/deck/slides']";
pub const SCREENS: &str = "a[href$='/screens/html']";
/// The line that says what becomes of a file, in the row of its link.
const LINE: &str = "li:has(a[href$='/deck/slides']) .file-line";

/// Has the browser keep what it downloads in a folder that goes when this does.
pub async fn downloads(browser: &Browser) -> TempDir {
    let folder = tempfile::tempdir().unwrap();
    let place = json!({ "behavior": "allow", "downloadPath": folder.path() });
    browser.devtools("Browser.setDownloadBehavior", place).await;
    folder
}

/// The file of this name, once the browser has all of it.
pub async fn downloaded(browser: &Browser, folder: &TempDir, name: &str) -> PathBuf {
    let file = folder.path().join(name);
    browser.until(&format!("{name} among the downloads"), async || file.exists().then_some(())).await;
    file
}

/// Lets each answer begin so many milliseconds later, and come with at most so many bytes a second; −1 is without
/// a bound.
async fn slow_down(browser: &Browser, latency: u32, bytes_a_second: i32) {
    browser.devtools("Network.enable", json!({})).await;
    let conditions = json!({ "offline": false, "latency": latency, "downloadThroughput": bytes_a_second, "uploadThroughput": -1 });
    browser.devtools("Network.emulateNetworkConditions", conditions).await;
}

/// Presses Enter on a link, as who uses the keyboard does.
async fn press_enter_on(browser: &Browser, link: &str) {
    browser.ask(&format!("document.querySelector(\"{link}\").focus()")).await;
    browser.key(Key::Enter).await;
}

/// Where the link that has the focus leads.
async fn focus(browser: &Browser) -> String {
    browser.ask_text("document.activeElement.getAttribute('href')").await
}

#[tokio::test]
async fn a_file_that_takes_long_says_so_can_be_stopped_and_is_saved_under_its_name() {
    let stage = Stage::signed_in(How::DESK, "Fellow").await;
    let browser = &stage.browser;
    let folder = downloads(browser).await;
    browser.goto(FILES).await;
    browser.find(SLIDES).await;

    // So slow that it never comes while this looks.
    slow_down(browser, 600_000, -1).await;
    press_enter_on(browser, SLIDES).await;
    browser.until_text(LINE, "Making “Slides (PowerPoint)” …").await;
    assert_eq!(browser.text(&format!("{LINE} [role='status']")).await, "Making “Slides (PowerPoint)” …");
    browser.until_text(&format!("{LINE} [aria-hidden='true']"), " s").await;
    assert!(focus(browser).await.ends_with("/deck/slides"), "the focus stays on the link");
    // The way to stop it is the next thing that Tab reaches.
    browser.key(Key::Tab).await;
    assert_eq!(
        browser.ask_text("document.activeElement.getAttribute('aria-label')").await,
        "Stop: Slides (PowerPoint)"
    );
    browser.key(Key::Enter).await;
    browser.until_text(LINE, "stopped. No file was made.").await;
    assert!(focus(browser).await.ends_with("/deck/slides"), "the focus goes back to the link");
    assert_eq!(browser.count(&format!("{LINE} button")).await, 0);

    // Late, but it comes.
    slow_down(browser, 3_000, -1).await;
    press_enter_on(browser, SLIDES).await;
    browser.until_text(LINE, "Making").await;
    browser.until_text(LINE, "“2025-007-slides.pptx” is made:").await;
    slow_down(browser, 0, -1).await;
    let file = downloaded(browser, &folder, "2025-007-slides.pptx").await;
    assert!(std::fs::read(file).unwrap().starts_with(b"PK"), "no container of slides");
    browser.until_text("li:has(a[href$='/deck/slides']) .item-meta", "when it was last made").await;
    assert!(focus(browser).await.ends_with("/deck/slides"));
    assert_eq!(browser.path().await, FILES);

    // A large one tells how much of it came.
    slow_down(browser, 0, 60_000).await;
    press_enter_on(browser, SCREENS).await;
    let line = "li:has(a[href$='/screens/html']) .file-line";
    browser.until_text(line, "Receiving “Screens in one file (HTML)” …").await;
    browser.until_text(&format!("{line} [aria-hidden='true']"), " KB, ").await;
    browser.click(&format!("{line} button")).await;
    browser.until_text(line, "stopped").await;
    slow_down(browser, 0, -1).await;
    assert!(!folder.path().join("2025-007-screens.html").exists());
    assert_eq!(browser.warnings().await, Vec::<String>::new());
}

#[tokio::test]
async fn an_answer_that_is_no_file_is_shown_as_it_would_be_without_a_script() {
    let stage = Stage::signed_in(How::DESK, "Fellow").await;
    let browser = &stage.browser;
    browser.goto(FILES).await;
    browser.find(SLIDES).await;
    browser.ask(&format!("document.querySelector(\"{SLIDES}\").href += '-none'")).await;
    browser.click("a[href$='-none']").await;
    browser.until_path("that is not there", |path| path.ends_with("/deck/slides-none")).await;
    browser.until_text("main h1", "There is no page here").await;

    browser.goto(FILES).await;
    browser.find(SLIDES).await;
    browser.client.delete_all_cookies().await.unwrap();
    browser.click(SLIDES).await;
    browser.until_path("to sign in", |path| path == "/sign-in").await;
}

#[tokio::test]
async fn the_minutes_and_the_report_are_files_of_the_same_kind() {
    let stage = Stage::signed_in(How::PHONE, "Quality lead").await;
    let browser = &stage.browser;
    let folder = downloads(browser).await;
    browser.goto("/rates/report").await;
    let word = "a[href*='/files/word']";
    browser.find(word).await;
    slow_down(browser, 3_000, -1).await;
    press_enter_on(browser, word).await;
    browser.until_text(".file-line", "Making “Word” …").await;
    browser.check_width().await;
    browser.until_text(".file-line", ".docx” is made:").await;
    let name = browser.text(".file-line").await;
    let name = name.split(['“', '”']).nth(1).unwrap();
    downloaded(browser, &folder, name).await;
}

#[tokio::test]
async fn without_a_script_the_link_gives_the_file() {
    let stage = Stage::signed_in(How::DESK.without_scripts(), "Fellow").await;
    let browser = &stage.browser;
    let folder = downloads(browser).await;
    browser.goto(FILES).await;
    browser.click(SLIDES).await;
    downloaded(browser, &folder, "2025-007-slides.pptx").await;
    browser.goto(FILES).await;
    browser.until_text("li:has(a[href$='/deck/slides']) .item-meta", "when it was last made").await;
    assert_eq!(browser.count(".file-line").await, 0);
}
