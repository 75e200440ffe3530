//! The browser asks nobody but the department's own server, and no page runs or loads anything that
//! its policy forbids.

use crate::accessibility::pages;
use crate::main_job::{choose, record};
use crate::support::{How, Stage};

/// Addresses that the browser may ask: the server's own, and what is no request at all.
fn is_our_own(address: &str, base: &str) -> bool {
    // Before the first page, the browser shows a page from inside itself.
    let inside = ["data:image/", "data:,", "about:", "chrome://"];
    address.starts_with(&format!("{base}/")) || inside.iter().any(|start| address.starts_with(start))
}

#[tokio::test]
async fn no_page_asks_another_server_or_breaks_its_own_policy() {
    let stage = Stage::signed_in(How::DESK, "Quality lead").await;
    let browser = &stage.browser;
    let all = pages(&stage).await;
    browser.warnings().await;
    let mut asked = browser.requests().await;
    for path in &all {
        browser.goto(path).await;
        asked.extend(browser.requests().await);
        let said = browser.warnings().await;
        assert!(said.is_empty(), "{path}: {said:?}");
    }
    assert!(
        asked.iter().any(|address| address.ends_with("/static/js/relook.js")),
        "the requests were not seen"
    );
    let elsewhere: Vec<&String> =
        asked.iter().filter(|address| !is_our_own(address, &stage.demo.base)).collect();
    assert!(elsewhere.is_empty(), "{elsewhere:?}");
    println!("{} pages, {} requests", all.len(), asked.len());
}

#[tokio::test]
async fn no_script_of_ours_breaks_the_policy_while_it_is_used() {
    let stage = Stage::signed_in(How::DESK, "Attending").await;
    let browser = &stage.browser;
    let case = record(browser, "reflow", "No-reflow").await;
    browser.find("#at").await.send_keys("12:30").await.unwrap();
    choose(browser, "form[data-rows]", "kind", "timi", "Flow change").await;
    browser.click("form[data-rows] button").await;
    browser.until_count("tr[id^='event-']", 1).await;
    for part in ["situation", "patient", "procedure", "narrative", "outcome"] {
        browser.click(&format!("#{part} a.edit")).await;
        browser.find(&format!("#{part} form[data-edit]")).await;
        browser.click(&format!("#{part} [data-cancel]")).await;
        browser.until_count(&format!("#{part} form[data-edit]"), 0).await;
    }
    browser.goto("/rates").await;
    browser.find("#by").await.select_by_index(1).await.unwrap();
    browser
        .until("the rates to follow", async || {
            let address = browser.client.current_url().await.unwrap().to_string();
            address.contains("by=").then_some(())
        })
        .await;
    browser.goto(&case).await;
    let said = browser.warnings().await;
    assert!(said.is_empty(), "{said:?}");
}

#[tokio::test]
async fn a_violation_would_be_seen() {
    let stage = Stage::signed_in(How::DESK, "Fellow").await;
    let browser = &stage.browser;
    browser.warnings().await;
    // What a slipped-in script would do: load something from elsewhere, and run something inline.
    let slip = "const image = new Image(); image.src = 'http://127.0.0.1:9/pixel.png'; document.body.append(image);
        const script = document.createElement('script'); script.textContent = 'window.ran = 1'; document.body.append(script);";
    browser.ask(slip).await;
    let said = browser
        .until("the browser to refuse both", async || {
            let said = browser.warnings().await.join("\n");
            (!said.is_empty()).then_some(said)
        })
        .await;
    assert!(said.contains("Content Security Policy"), "{said}");
    assert_eq!(browser.ask_text("window.ran").await, "undefined");
}
