//! What comes out of the printer: what is on screen, less the controls; a summary on two pages.

use fantoccini::wd::{PrintConfigurationBuilder, PrintSize};

use crate::support::{Browser, How, Stage};

const LETTER: PrintSize = PrintSize { width: 21.59, height: 27.94 };

/// The page as a PDF, as the browser prints it on this paper.
async fn print(browser: &Browser, size: PrintSize) -> Vec<u8> {
    let configuration = PrintConfigurationBuilder::default().size(size).build().unwrap();
    browser.client.print(configuration).await.unwrap()
}

/// How many pages a PDF has: its objects of the type Page. (The tree above them is of the type Pages.)
fn pages_of(pdf: &[u8]) -> usize {
    assert!(pdf.starts_with(b"%PDF-"), "no PDF came out");
    let text = String::from_utf8_lossy(pdf);
    text.match_indices("/Type")
        .filter(|(at, _)| {
            let after = text[at + "/Type".len()..].trim_start();
            after.strip_prefix("/Page").is_some_and(|rest| !rest.starts_with(|c: char| c.is_alphanumeric()))
        })
        .count()
}

#[test]
fn the_pages_of_a_pdf_are_counted() {
    let pdf = b"%PDF-1.4 1 0 obj <</Type /Pages /Count 2>> 2 0 obj <</Type /Page /Parent 1 0 R>> 3 0 obj <</Type/Page>> <</Type /PageLabel>>";
    assert_eq!(pages_of(pdf), 2);
}

/// How many pages of A4 the page that is shown takes.
pub async fn pages_printed(browser: &Browser) -> usize {
    pages_of(&print(browser, PrintSize::A4).await)
}

/// The words that come out of the printer: what of the page's text is laid out on paper.
pub async fn words_printed(browser: &Browser) -> String {
    browser.show_as("print", "light").await;
    let words = browser.ask_text("document.querySelector('main').innerText").await;
    browser.show_as("screen", "light").await;
    words
}

/// The codes of the demo's cases that were written out: those of its files. Cases that were recorded in a
/// minute have no summary worth a page.
fn codes() -> Vec<String> {
    let folder = concat!(env!("CARGO_MANIFEST_DIR"), "/demo-cases");
    let mut codes: Vec<String> = std::fs::read_dir(folder)
        .unwrap()
        .map(|entry| entry.unwrap().file_name().into_string().unwrap())
        .filter(|name| name.ends_with(".toml"))
        .map(|name| name[..8].to_owned())
        .collect();
    codes.sort();
    assert!(codes.len() >= 14, "{codes:?}");
    codes
}

/// The events of a normal case: as many as a full timeline is asked to have. Our own convention.
const NORMAL: usize = 15;

#[tokio::test]
async fn the_summary_of_a_normal_case_is_printed_on_two_pages_at_most() {
    let stage = Stage::signed_in(How::DESK, "Attending").await;
    let browser = &stage.browser;
    let (mut normal, mut long) = (0, Vec::new());
    for code in codes() {
        browser.goto(&format!("/cases/{code}")).await;
        let events = browser.count("tr[id^='event-']").await;
        browser.goto(&format!("/cases/{code}/summary")).await;
        normal += usize::from(events <= NORMAL);
        for (paper, size) in [("A4", PrintSize::A4), ("Letter", LETTER)] {
            let pages = pages_of(&print(browser, size).await);
            assert!(pages > 0, "{code}: nothing was printed on {paper}");
            println!("{code}, {events} events: {pages} pages of {paper}");
            if pages > 2 && events <= NORMAL {
                long.push(format!("{code}, {events} events: {pages} pages of {paper}"));
            }
        }
    }
    assert!(normal >= 5, "only {normal} cases of the demo are normal ones");
    assert!(long.is_empty(), "{}", long.join("; "));
}

#[tokio::test]
async fn paper_has_no_controls() {
    let stage = Stage::signed_in(How::DESK, "Attending").await;
    let browser = &stage.browser;
    for path in [
        "/cases/2025-007",
        "/cases/2025-007/summary",
        "/cases/2025-007/timeline",
        "/cases",
        "/rates",
        "/rates/mechanism/flow-no-reflow",
        "/rates/report",
        "/conferences",
        "/conferences/1",
        "/conferences/1/meeting",
        "/conferences/1/minutes",
        "/conferences/2",
        "/conferences/2/meeting",
    ] {
        browser.goto(path).await;
        let controls = "[...document.querySelectorAll('button, input, select, textarea, form, nav, .edit, .site-header, .site-footer, #notice')]
            .filter(e => e.checkVisibility({ visibilityProperty: true })).map(e => e.outerHTML.slice(0, 80)).join('; ')";
        browser.show_as("screen", "light").await;
        assert_ne!(browser.ask_text(controls).await, "", "{path} has no controls on screen either");
        browser.show_as("print", "light").await;
        assert_eq!(browser.ask_text(controls).await, "", "{path}");
    }
}

#[tokio::test]
async fn paper_holds_what_the_screen_shows() {
    let stage = Stage::signed_in(How::DESK, "Attending").await;
    let browser = &stage.browser;
    browser.goto("/cases/2025-007/summary").await;
    let text = "document.querySelector('article.summary').innerText.replace(/\\s+/g, ' ')";
    browser.show_as("screen", "light").await;
    let screen = browser.ask_text(text).await;
    browser.show_as("print", "light").await;
    let paper = browser.ask_text(text).await;
    let words = |text: &str| text.split(' ').count();
    assert!(words(&paper) > 400, "{paper}");
    assert!(
        words(&paper) * 100 >= words(&screen) * 95,
        "{} words on paper, {} on screen",
        words(&paper),
        words(&screen)
    );
    let drawings = browser
        .ask_text(
            "[...document.querySelectorAll('article.summary svg')].filter(e => e.checkVisibility()).length",
        )
        .await;
    assert!(drawings.parse::<u32>().unwrap() >= 2, "{drawings} drawings on paper");
}

#[tokio::test]
async fn paper_is_light_when_the_screen_is_dark() {
    let stage = Stage::signed_in(How::DESK, "Fellow").await;
    let browser = &stage.browser;
    browser.goto("/cases/2025-007/summary").await;
    browser.show_as("print", "dark").await;
    let ink = browser.ask("const canvas = document.createElement('canvas').getContext('2d', { willReadFrequently: true });
        canvas.fillStyle = getComputedStyle(document.querySelector('article.summary h1')).color; canvas.fillRect(0, 0, 1, 1);
        return [...canvas.getImageData(0, 0, 1, 1).data]").await;
    for channel in 0..3 {
        assert!(ink[channel].as_u64().unwrap() < 100, "the ink is {ink}");
    }
}
