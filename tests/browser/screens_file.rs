//! The screens in one file, as whoever it is given to opens them: from a disk, without a network.

use std::path::Path;

use fantoccini::Locator;
use fantoccini::key::Key;

use crate::files::{FILES, SCREENS, downloaded, downloads};
use crate::print::pages_printed;
use crate::support::{Browser, How, Stage};

/// The screen that is shown, from 1, and how many there are.
async fn place(browser: &Browser) -> (usize, usize) {
    let text = browser.text("[data-number]").await;
    let (at, of) = text.split_once(" of ").unwrap_or_else(|| panic!("{text}"));
    (at.parse().unwrap(), of.parse().unwrap())
}

/// The screens that can be seen: their numbers.
async fn seen(browser: &Browser) -> Vec<usize> {
    let mut seen = Vec::new();
    let screens = browser.client.find_all(Locator::Css(".screen")).await.unwrap();
    for (number, screen) in (1..).zip(screens) {
        if screen.is_displayed().await.unwrap() {
            seen.push(number);
        }
    }
    seen
}

fn address(file: &Path) -> String {
    format!("file://{}", file.display())
}

#[tokio::test]
async fn the_screens_in_one_file_are_presented_without_a_network() {
    let stage = Stage::signed_in(How::DESK, "Fellow").await;
    let browser = &stage.browser;
    let folder = downloads(browser).await;
    browser.goto(FILES).await;
    browser.click(SCREENS).await;
    let file = downloaded(browser, &folder, "2025-007-screens.html").await;
    assert_eq!(browser.warnings().await, Vec::<String>::new());
    stage.demo.stop();
    browser.requests().await;

    browser.goto(&address(&file)).await;
    browser.until_text("[data-number]", "1 of ").await;
    let (_, count) = place(browser).await;
    assert!(count > 5, "{count} screens");
    assert_eq!(seen(browser).await, [1]);
    browser.key(Key::Right).await;
    assert_eq!(place(browser).await.0, 2);
    browser.key(Key::Left).await;
    assert_eq!(place(browser).await.0, 1);
    browser.key(Key::Left).await;
    assert_eq!(browser.text("[data-say]").await, "This is the first screen.");

    // From stop to stop, up to the last screen.
    let mut stops = 0;
    while place(browser).await.0 < count {
        let (at, _) = place(browser).await;
        if browser.text("[data-do='on']").await == "Show what was chosen" {
            stops += 1;
            // Neither to the end nor by its number does anybody get past it.
            browser.keys(Key::End, 1).await;
            assert_eq!(place(browser).await.0, at, "a stop waits");
            browser.type_keys(&count.to_string()).await;
            browser.key(Key::Enter).await;
            assert_eq!(browser.text("[data-say]").await, "That screen lies behind the next stop point.");
            assert_eq!(seen(browser).await, [at], "what was chosen is seen before anybody asks");
        }
        browser.key(Key::Right).await;
        assert_eq!(place(browser).await.0, at + 1);
        assert_eq!(seen(browser).await, [at + 1]);
    }
    assert!(stops > 0, "the case has stop points");
    browser.key(Key::Right).await;
    assert_eq!(browser.text("[data-say]").await, "This is the last screen.");
    browser.key(Key::Home).await;
    assert_eq!(place(browser).await.0, 1);

    assert_eq!(pages_printed(browser).await, count.div_ceil(2), "two screens to a page");
    assert_eq!(browser.warnings().await, Vec::<String>::new());
    for asked in browser.requests().await {
        assert!(asked == address(&file) || asked.starts_with("data:"), "{asked:.100} was asked for");
    }

    // Without a script, one page from the first screen to the last.
    let plain = Browser::open(&stage.demo.base, How::DESK.without_scripts()).await;
    plain.goto(&address(&file)).await;
    assert_eq!(seen(&plain).await, (1..=count).collect::<Vec<_>>());
    let titles = plain.texts(".screen > h2").await;
    assert!(titles.len() == count && titles.iter().all(|title| !title.is_empty()), "{titles:?}");
    assert!(!plain.find("[data-do='on']").await.is_displayed().await.unwrap(), "a button that does nothing");
    assert_eq!(pages_printed(&plain).await, count.div_ceil(2), "on paper it is the same");
}
