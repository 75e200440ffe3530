//! From "have we seen this?" to a lesson, as one reader alone does it.

use crate::support::{Browser, How, Stage};

/// Goes through every stop of a case's walk, taking the first option at each; gives the addresses of its
/// pages, the end last.
pub async fn walk(browser: &Browser, case: &str) -> Vec<String> {
    let mut pages = Vec::new();
    browser.goto(&format!("{case}/walk")).await;
    browser.click(".page-head .next a.primary").await;
    loop {
        browser.until_path("of a stop", |path| path.starts_with(&format!("{case}/walk/"))).await;
        pages.push(browser.path().await);
        if browser.count("input[name=option]").await == 0 {
            return pages;
        }
        browser.click("input[name=option][value='1']").await;
        browser.press("Choose, and see what followed").await;
        browser.find("#own-h").await;
        browser.click(".next-stop a").await;
        let before = pages.last().cloned().unwrap_or_default();
        browser.until_path("after the stop", |path| path != before).await;
    }
}

#[tokio::test]
async fn from_a_search_to_a_case_and_through_its_stops_to_the_lesson() {
    let stage = Stage::signed_in(How::DESK, "Fellow").await;
    let browser = &stage.browser;
    browser.goto("/").await;
    browser.press("Library").await;
    browser.until_path("of the library", |path| path == "/library").await;
    browser.find("#q").await.send_keys("prove lumen").await.unwrap();
    browser.press("Apply").await;
    browser.until_text("#results", "One case that answers").await;
    let marks = browser.texts(".lesson-text mark").await;
    assert!(marks.iter().any(|mark| mark == "lumen"), "{marks:?}");
    // A choice asks again by itself, and stands in the address.
    browser
        .ask("const kind = document.querySelector('#lesson'); kind.value = 'respond'; kind.dispatchEvent(new Event('change', { bubbles: true }))")
        .await;
    browser.until_text(".lesson-text", "Respond.").await;
    assert!(browser.ask_text("location.search").await.contains("lesson=respond"));

    browser.press("Walk through 2025-007").await;
    browser.until_path("of the walk", |path| path == "/cases/2025-007/walk").await;
    browser.press("Begin").await;
    browser.until_path("of the first stop", |path| path == "/cases/2025-007/walk/1").await;
    let source = browser.ask_text("document.documentElement.outerHTML").await;
    for later in ["Subintimal wire in", "turned a small tear", "Home on day 3", "No proof, no balloon"] {
        assert!(!source.contains(later), "“{later}” is on the first stop");
    }
    // An address ahead leads back to the stop that waits.
    browser.goto("/cases/2025-007/walk/3").await;
    assert_eq!(browser.path().await, "/cases/2025-007/walk/1");
    let pages = walk(browser, "/cases/2025-007").await;
    assert!(pages.len() > 2, "{pages:?}");
    browser.goto(&pages[0]).await;
    browser.until_text("main", "No proof, no balloon").await;
    let end = pages.last().cloned().unwrap_or_default();
    browser.goto(&end).await;
    assert!(browser.text("h1").await.starts_with("Subintimal wire in"));
    assert!(browser.text(".page-head").await.contains("stops you chose"));
    browser.press("Read the teaching summary").await;
    browser.until_path("of the summary", |path| path.ends_with("/summary")).await;
    assert_eq!(browser.warnings().await, Vec::<String>::new());
}

#[tokio::test]
async fn on_a_phone_without_scripts_a_reader_walks_through_a_case() {
    let stage = Stage::signed_in(How::PHONE.without_scripts(), "Attending").await;
    let browser = &stage.browser;
    for path in ["/library", "/library?view=lessons", "/lessons/recurring", "/cases/2025-007/walk"] {
        browser.goto(path).await;
        browser.check_width().await;
    }
    for page in walk(browser, "/cases/2025-007").await {
        browser.goto(&page).await;
        browser.check_width().await;
    }
}

#[tokio::test]
async fn a_lesson_joins_one_that_came_before() {
    let stage = Stage::signed_in(How::DESK, "Attending").await;
    let browser = &stage.browser;
    browser.goto("/cases/2025-006#lessons").await;
    browser.press("Join with other cases").await;
    browser.find("#recurring").await;
    browser.click("#recurring input[type=radio]").await;
    browser.press("Save").await;
    browser.until_path("of the case", |path| path == "/cases/2025-006").await;
    browser.press("cases with this lesson").await;
    browser.until_path("of the lesson", |path| path.starts_with("/lessons/recurring/")).await;
    browser.until_text("main", "Rotational burr trapped").await;
    assert!(browser.text(".page-head").await.contains(" times in "));
}
