//! Relook with JavaScript turned off: everything still works, with more page loads.

use crate::support::{How, Stage};

#[tokio::test]
async fn a_case_is_recorded_and_its_timeline_begun_without_javascript() {
    let stage = Stage::signed_in(How::DESK.without_scripts(), "Fellow").await;
    let browser = &stage.browser;
    browser.goto("/record").await;
    // The page's own script has not run: the select is a select.
    assert_eq!(browser.count(".chooser").await, 0, "JavaScript is not off");
    browser.find("#mechanism").await.select_by_label("No-reflow").await.unwrap();
    browser.find("#situation").await.send_keys("After the stent the flow was gone.").await.unwrap();
    browser.press("Record it").await;
    let case = browser.until_path("of the new case", |path| path.starts_with("/cases/")).await;
    browser.until_text("#notice", "counts in the rates").await;

    for (number, (time, kind, flow)) in
        (1..).zip([("0", "Stent", "Not seen"), ("1:30", "Flow change", "TIMI 0")])
    {
        browser.find("#at").await.send_keys(time).await.unwrap();
        browser.find("#kind").await.select_by_label(kind).await.unwrap();
        browser.find("#segment").await.select_by_label("LAD mid (7)").await.unwrap();
        browser.find("#flow").await.select_by_label(flow).await.unwrap();
        browser.click("form[data-rows] button").await;
        browser.until_count("tr[id^='event-']", number).await;
    }
    assert_eq!(browser.path().await, format!("{case}/timeline"));

    // A row that is wrong comes back as it was typed.
    browser.find("#at").await.send_keys("12:75").await.unwrap();
    browser.find("#text").await.send_keys("Half a sentence").await.unwrap();
    browser.click("form[data-rows] button").await;
    browser.until_text("#at-error", "is not a time from time zero").await;
    let text = browser.find("#text").await.prop("value").await.unwrap();
    assert_eq!(text.as_deref(), Some("Half a sentence"));

    // A part is edited on a page of its own, a row is taken out and put back.
    browser.goto(&case).await;
    browser.press("Edit situation").await;
    browser.until_path("of the situation's form", |path| path.ends_with("/situation/edit")).await;
    browser.find("#time_zero").await.send_keys("stent deployed").await.unwrap();
    browser.press("Save").await;
    browser.until_path("of the case", |path| path == case).await;
    browser.until_text("#timeline figcaption", "stent deployed").await;
    browser.press("Edit event 1").await;
    browser.press("Take it out").await;
    browser.until_count("tr[id^='event-']", 1).await;
    browser.press("Undo").await;
    browser.until_count("tr[id^='event-']", 2).await;
    browser.press("Read the teaching summary").await;
    browser.until_text("article.summary", "stent deployed").await;
}
