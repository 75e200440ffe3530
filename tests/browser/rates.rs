//! The quality lead's question, "is it happening less?", as it is asked in a browser.

use crate::support::{How, Stage};

#[tokio::test]
async fn from_the_rates_to_a_mechanism_its_chart_its_watch_and_its_files() {
    let stage = Stage::signed_in(How::DESK, "Quality lead").await;
    let browser = &stage.browser;
    browser.goto("/rates").await;
    browser.press("Access-site bleed or haematoma").await;
    browser.until_path("of the mechanism", |path| path == "/rates/mechanism/access-haematoma").await;
    assert_eq!(browser.text("h1").await, "Access-site bleed or haematoma");
    let finding = browser.text(".finding > h2").await;
    assert!(finding.contains("a lasting rise"), "{finding}");
    // The watch sees the rise that the demo was given.
    assert!(browser.text("#cusum").await.contains("the sum for a rise reached its limit in"));
    for figure in ["#rate", "#cusum", "#features"] {
        assert_eq!(browser.count(&format!("{figure} svg[role=img]")).await, 1, "{figure}");
        browser.click(&format!("{figure} details summary")).await;
        assert!(browser.count(&format!("{figure} tbody tr")).await > 1, "{figure} has its numbers");
    }
    // A choice asks again by itself, and stands in the address.
    browser.ask("const chart = document.querySelector('#chart'); chart.value = 'exact'; chart.dispatchEvent(new Event('change', { bubbles: true }))").await;
    browser.until_text("#rate", "per 1,000 procedures at risk").await;
    let query = browser.ask_text("location.search").await;
    assert!(query.contains("chart=exact"), "{query}");
    let files = browser
        .ask_text("[...document.querySelectorAll('#rate .files a')].map(link => link.textContent).join(' ')")
        .await;
    assert_eq!(files, "SVG PNG CSV");
    let kinds = browser
        .client
        .execute_async(
            "const done = arguments[0];
         Promise.all([...document.querySelectorAll('#rate .files a')].map(link => fetch(link.href)
             .then(answer => answer.status + ' ' + answer.headers.get('content-type').split(';')[0])))
             .then(all => done(all.join(', ')));",
            Vec::new(),
        )
        .await
        .unwrap();
    assert_eq!(kinds, "200 image/svg+xml, 200 image/png, 200 text/csv");
}

#[tokio::test]
async fn the_report_of_a_quarter_is_printed_on_few_pages_and_holds_what_the_screen_shows() {
    let stage = Stage::signed_in(How::DESK, "Quality lead").await;
    let browser = &stage.browser;
    browser.goto("/rates").await;
    browser.press("The quarterly report").await;
    browser.until_path("of the report", |path| path == "/rates/report").await;
    let text = "document.querySelector('article').innerText.replace(/\\s+/g, ' ')";
    browser.show_as("screen", "light").await;
    let screen = browser.ask_text(text).await;
    assert!(screen.to_lowercase().contains("confidential"), "{screen}");
    browser.show_as("print", "light").await;
    let paper = browser.ask_text(text).await;
    let words = |text: &str| text.split(' ').count();
    assert!(words(&paper) > 200, "{paper}");
    assert!(
        words(&paper) * 100 >= words(&screen) * 95,
        "{} words on paper, {} on screen",
        words(&paper),
        words(&screen)
    );
    let pages = crate::print::pages_printed(browser).await;
    assert!((1..=4).contains(&pages), "{pages} pages");
}
