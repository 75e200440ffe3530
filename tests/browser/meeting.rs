//! A conference from the agenda to the library: the case is prepared and shown in two windows, the room
//! answers on its phones, the minutes hold the answers, and a reader finds the case.

use std::net::TcpListener;

use crate::present::{key, on_to, until_key, until_loaded};
use crate::support::{Browser, How, Stage};

/// A case that is ready, and its first decision point.
const CASE: &str = "2026-006";
const STOP: &str = "stop-d1_answer";

/// A port that nobody listens on.
fn free_port() -> u16 {
    TcpListener::bind("127.0.0.1:0").unwrap().local_addr().unwrap().port()
}

/// Sets a conference for today with the case on its agenda; gives its address.
async fn conference(browser: &Browser) -> String {
    browser.goto("/conferences/new").await;
    let today = "const now = new Date();
        document.querySelector('#held_on').value =
            [now.getFullYear(), now.getMonth() + 1, now.getDate()].map(part => String(part).padStart(2, '0')).join('-')";
    browser.ask(today).await;
    let title = browser.find("#title").await;
    title.clear().await.unwrap();
    title.send_keys("A conference of today").await.unwrap();
    browser.press("Set the conference").await;
    let path = browser.until_path("of the conference", |path| path != "/conferences/new").await;
    browser.goto(&format!("{path}/cases/new")).await;
    browser.click(&format!("form:has(input[value='{CASE}']) button")).await;
    browser.until_text("main", CASE).await;
    path
}

/// Answers on a phone of its own.
async fn answer(phone: &Browser, address: &str, option: usize) {
    phone.goto(address).await;
    phone.click(&format!("label.option:nth-of-type({option})")).await;
    phone.press("Send my answer").await;
    phone.until_text("main", "Your answer is in").await;
    let page = phone.text("main").await;
    assert!(!page.contains("answers") && !page.contains(" of 3"), "a phone is shown no count: {page}");
}

#[tokio::test]
async fn a_case_is_prepared_shown_answered_minuted_and_found_in_the_library() {
    let door = format!("127.0.0.1:{}", free_port());
    let desk = How { width: 1280, height: 800, scripts: true };
    let stage = Stage::set_with(desk, &["--votes-on", &door]).await;
    let Stage { demo, browser, .. } = &stage;
    browser.sign_in(demo.link("Attending")).await;
    let meeting = conference(browser).await;

    // Prepared: the fellow's list of screens, then the wall and the presenter's window.
    browser.goto(&format!("/cases/{CASE}/deck")).await;
    assert!(browser.text("main").await.contains("stop"), "the list of screens names the stop points");
    browser.goto(&format!("/cases/{CASE}/present")).await;
    until_loaded(browser).await;
    let wall = browser.client.window().await.unwrap();
    browser.type_keys("p").await;
    let presenter = browser
        .until("a second window", async || {
            browser.client.windows().await.unwrap().into_iter().find(|window| *window != wall)
        })
        .await;
    on_to(browser, STOP).await;
    browser.client.switch_to_window(presenter).await.unwrap();
    until_loaded(browser).await;
    until_key(browser, STOP).await;

    // Three phones answer at once through the second door, which the room reaches by the code.
    browser.press("Open phones").await;
    browser.client.switch_to_window(wall).await.unwrap();
    let shown = browser.until_text("[data-code]", &format!("http://{door}/vote/")).await;
    let address = shown.split_whitespace().find(|word| word.contains("/vote/")).unwrap().to_owned();
    let base = format!("http://{door}");
    let phones = tokio::join!(
        Browser::open(&base, How::PHONE),
        Browser::open(&base, How::PHONE),
        Browser::open(&base, How::PHONE)
    );
    tokio::join!(
        answer(&phones.0, &address, 1),
        answer(&phones.1, &address, 2),
        answer(&phones.2, &address, 2)
    );
    phones.0.check_width().await;
    browser.until_text("[data-code]", "3 answers").await;
    browser.type_keys("\u{e014}").await;
    browser
        .until("the screen after the stop", async || key(browser).await.starts_with("after-d1").then_some(()))
        .await;
    phones.0.goto(&address).await;
    phones.0.until_text("main", "closed").await;
    drop(phones);

    // Typed during the meeting, and in the minutes when it ends.
    browser.goto(&format!("{meeting}/meeting")).await;
    browser.find("form[action$='/notes'] textarea").await.send_keys("The hour began on time.").await.unwrap();
    browser.click("form[action$='/notes'] button").await;
    browser.until_text("main", "The hour began on time.").await;
    browser.goto(&format!("{meeting}/end")).await;
    browser.click("main form[action$='/end'] button").await;
    browser.until_path("after the end", |path| !path.ends_with("/end")).await;
    browser.goto(&format!("{meeting}/minutes")).await;
    let minutes = browser.text("main").await;
    assert!(minutes.contains("The hour began on time."), "{minutes}");
    assert!(minutes.contains("Before: 1 of 3") && minutes.contains(CASE), "{minutes}");

    // Presented now, and found by whoever looks for it.
    browser.goto("/library?q=tamponade").await;
    assert_eq!(browser.count(&format!("main a[href='/cases/{CASE}/walk']")).await, 1);
}
