//! The main job, end to end, as a newcomer does it at a desk.

use fantoccini::Locator;

use crate::support::{Browser, How, Stage};

/// A month of the demo whose procedures at risk are counted.
const MONTH: &str = "2026-05";
const SITUATION: &str =
    "After the stent the contrast stood still in the vessel. It moved again with a vasodilator.";

/// Fills the first entry of a case and sends it; gives the path of the case.
pub async fn record(browser: &Browser, word: &str, label: &str) -> String {
    browser.goto("/record").await;
    // A month field takes keys in the order of the reader's language, so its value is set.
    browser.ask(&format!("document.querySelector('#month').value = '{MONTH}'")).await;
    choose(browser, "main form", "mechanism", word, label).await;
    browser.find("#situation").await.send_keys(SITUATION).await.unwrap();
    browser.press("Record it").await;
    browser.until_path("of the new case", |path| path.starts_with("/cases/")).await
}

/// Chooses by typing: some letters of an everyday word, and the choice that the list then offers.
/// The field is the one of this name in the form that the selector finds.
pub async fn choose(browser: &Browser, form: &str, name: &str, word: &str, label: &str) {
    let chooser = format!("{form} .chooser:has(select[name='{name}'])");
    browser.click(&format!("{chooser} input")).await;
    browser.type_keys(word).await;
    let options = format!("{chooser} [role=option]");
    browser
        .until(&format!("“{label}” offered for “{word}”"), async || {
            for option in browser.client.find_all(Locator::Css(&options)).await.ok()? {
                if option.text().await.ok()?.starts_with(label) {
                    return option.click().await.ok();
                }
            }
            None
        })
        .await;
    let chosen = format!("document.querySelector(\"{chooser} select\").selectedOptions[0].label");
    assert_eq!(browser.ask_text(&chosen).await, label);
}

#[tokio::test]
async fn the_links_that_the_terminal_shows_sign_each_person_in() {
    let stage = Stage::set(How::DESK).await;
    for (person, role) in [("Fellow", "fellow"), ("Attending", "attending"), ("Quality lead", "quality lead")]
    {
        stage.browser.sign_in(stage.demo.link(person)).await;
        assert_eq!(stage.browser.path().await, "/");
        // In the demo a name is a role, which then is not said twice.
        let viewer = stage.browser.text(".viewer").await.to_lowercase();
        assert!(viewer.contains(role), "{viewer}");
        let demo = stage.browser.text(".mode-line").await;
        assert!(demo.contains("invented"), "{demo}");
        stage.browser.press("Sign out").await;
        stage.browser.until_path("of signing in", |path| path == "/sign-in").await;
    }
    // Signed out is signed out, also for the browser's own memory of pages.
    stage.browser.goto("/cases").await;
    assert_eq!(stage.browser.path().await, "/sign-in");
}

#[tokio::test]
async fn a_case_is_recorded_classified_and_read_as_a_summary() {
    let stage = Stage::signed_in(How::DESK, "Attending").await;
    let browser = &stage.browser;
    let case = record(browser, "reflow", "No-reflow").await;
    browser.until_text("#notice", "It counts in the rates from now on.").await;
    assert_eq!(browser.text("h1").await, "After the stent the contrast stood still in the vessel");
    let missing = browser.count("#checks li.todo").await;

    // The situation is mended where it stands.
    browser.press("Edit situation").await;
    let zero = browser.find("#situation [name=time_zero]").await;
    zero.send_keys("guide engaged").await.unwrap();
    browser.press("Save").await;
    browser.until_text("#notice", "Saved ").await;
    assert_eq!(browser.path().await, case);

    // Three events, so that there is something to link.
    for (time, kind, text, segment, flow) in [
        ("0", "stent", "Stent deployed", "LAD mid (7)", "TIMI 3"),
        ("1:30", "flow", "Contrast stands still", "LAD mid (7)", "TIMI 0"),
        ("16", "flow", "It runs off again", "LAD mid (7)", "TIMI 3"),
    ] {
        let rows = browser.count("tr[id^='event-']").await;
        browser.find("#at").await.send_keys(time).await.unwrap();
        choose(
            browser,
            "form[data-rows]",
            "kind",
            kind,
            if kind == "stent" { "Stent" } else { "Flow change" },
        )
        .await;
        browser.find("#text").await.send_keys(text).await.unwrap();
        choose(browser, "form[data-rows]", "segment", "lad mid", segment).await;
        browser.find("#flow").await.select_by_label(flow).await.unwrap();
        browser.click("form[data-rows] button").await;
        browser.until_count("tr[id^='event-']", rows + 1).await;
    }

    // What it was: found by an everyday word, linked to the events.
    browser.click("#complications .item-head a.edit").await;
    choose(browser, "#complications form", "mechanism", "no re", "No-reflow").await;
    choose(browser, "#complications form", "segment", "lad mid", "LAD mid (7)").await;
    for (name, event) in [("began", 2), ("recognised", 2), ("controlled", 3)] {
        let select = browser.find(&format!("#complications [name={name}]")).await;
        select.select_by_index(event).await.unwrap();
    }
    browser.press("Save").await;
    let was = browser.until_text("#complications", "Began at event 2").await;
    assert!(was.contains("controlled at 3") && was.contains("LAD mid"), "{was}");
    assert!(was.contains("15 min"), "the time from closing to flow is not told: {was}");

    // A second harm that followed from it is drawn as one chain.
    browser.press("Add a complication").await;
    choose(browser, "#complications form", "mechanism", "jailed", "Jailed branch").await;
    browser.find("#complications [name=consequence_of]").await.select_by_index(1).await.unwrap();
    browser.press("Save").await;
    browser.until_count("#complications svg", 1).await;
    assert!(browser.count("#checks li.todo").await < missing, "nothing came off the list of what is missing");

    browser.press("Read the teaching summary").await;
    browser.until_path("of the summary", |path| path.ends_with("/summary")).await;
    let summary = browser.text("article.summary").await;
    for part in [
        "contrast stood still",
        "guide engaged",
        "TIMI 0",
        "No-reflow",
        "15 min",
        "per 1,000",
        "not recorded",
    ] {
        assert!(summary.to_lowercase().contains(&part.to_lowercase()), "{part}: {summary}");
    }
    assert!(browser.count("article.summary svg").await >= 2, "the timeline and the chain are drawn");
}

/// Events and rate of a mechanism on the page of rates, over the usual period: the one that the page of the
/// mechanism speaks of too.
async fn line(browser: &Browser, mechanism: &str) -> (u32, String) {
    browser.goto("/rates").await;
    for row in browser.texts("table.rates tr.line").await {
        if row.starts_with(mechanism) {
            let cells: Vec<&str> = row.split_whitespace().collect();
            let events = cells.iter().find_map(|cell| cell.parse().ok()).unwrap();
            return (events, row);
        }
    }
    panic!("no line for {mechanism} on the page of rates");
}

#[tokio::test]
async fn the_rate_of_a_mechanism_moves_when_a_case_is_recorded() {
    // Rates count every case; who sees all of them finds as many behind the number.
    let stage = Stage::signed_in(How::DESK, "Attending").await;
    let browser = &stage.browser;
    let (before, row) = line(browser, "No-reflow").await;
    let case = record(browser, "reflow", "No-reflow").await;
    let (after, changed) = line(browser, "No-reflow").await;
    assert_eq!(after, before + 1, "{row}, then {changed}");
    assert_ne!(row, changed);

    // From the rate to its cases, and to the one that was just recorded.
    browser.press("No-reflow").await;
    browser.until_path("of the mechanism", |path| path == "/rates/mechanism/flow-no-reflow").await;
    browser.press("Its cases").await;
    browser.until_path("of the cases", |path| path == "/cases").await;
    assert_eq!(browser.count("tbody tr").await, usize::try_from(after).unwrap());
    assert_eq!(browser.count(&format!("tbody a[href='{case}']")).await, 1);
}

#[tokio::test]
async fn cases_are_found_by_their_words_and_the_hits_are_marked() {
    let stage = Stage::signed_in(How::DESK, "Fellow").await;
    let browser = &stage.browser;
    browser.goto("/cases").await;
    let all = browser.count("tbody tr").await;
    assert!(all >= 14, "the demo has {all} cases");
    browser.find("#q").await.send_keys("tamponade").await.unwrap();
    browser.press("Apply").await;
    browser.until("the hits", async || (browser.count("mark").await > 0).then_some(())).await;
    let found = browser.count("tbody tr").await;
    assert!(found > 0 && found < all, "{found} of {all}");
    for mark in browser.texts("mark").await {
        assert!(mark.to_lowercase().starts_with("tamponade"), "{mark} is marked");
    }
    browser.press("Show all").await;
    browser.until_count("tbody tr", all).await;
}
