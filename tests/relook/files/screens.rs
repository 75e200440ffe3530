//! The screens in one HTML file: what it may load, and that it says what is presented.

use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::Arc;

use data_encoding::BASE64;
use relook::document::{Block, Deck, Href, Inline, Phrase, Picture, SlideKind};
use relook::export::format::Options;
use relook::export::screens::FORMAT;
use scraper::{Html, Selector};
use sha2::{Digest, Sha256};

use super::readers::{Folder, pages, words};
use super::{Told, cases};

fn made(deck: &Deck) -> String {
    let bytes = (FORMAT.render)(deck, &Options::default()).unwrap();
    assert!((FORMAT.render)(deck, &Options::default()).unwrap() == bytes, "the same each time");
    String::from_utf8(bytes).unwrap()
}

fn select(what: &str) -> Selector {
    Selector::parse(what).unwrap()
}

fn texts(page: &Html, what: &str) -> Vec<String> {
    let plain = |text: String| text.split_whitespace().collect::<Vec<_>>().join(" ");
    page.select(&select(what)).map(|found| plain(found.text().collect())).collect()
}

fn plain(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn every_screen_is_there_in_its_order_and_behind_its_stop_points() {
    for told in cases::all() {
        let deck = told.screens();
        let page = Html::parse_document(&made(&deck));
        let titles: Vec<String> = deck.slides.iter().map(|slide| plain(&slide.title)).collect();
        assert_eq!(texts(&page, ".screen > h2"), titles, "{}", told.name);
        let segments: Vec<usize> = page
            .select(&select(".screen"))
            .map(|screen| screen.value().attr("data-segment").unwrap().parse().unwrap())
            .collect();
        assert!(segments.is_sorted(), "{}: {segments:?}", told.name);
        // What was chosen always lies behind the question.
        for (place, slide) in deck.slides.iter().enumerate() {
            let SlideKind::Answer(decision) = &slide.kind else { continue };
            let asked = SlideKind::Question(decision.clone());
            let question = deck.slides.iter().rposition(|slide| slide.kind == asked).unwrap();
            assert!(question < place && segments[question] < segments[place], "{}: {decision}", told.name);
        }
        let drawings = deck.slides.iter().flat_map(|slide| &slide.blocks);
        let drawings = drawings.filter(|block| matches!(block, Block::Figure(_))).count();
        assert_eq!(page.select(&select(".screen .drawing > svg")).count(), drawings, "{}", told.name);
        assert!(texts(&page, ".file-note")[0].contains("what was chosen"), "it says what it holds");
        assert!(texts(&page, ".file-note")[0].contains(&plain(&deck.standing)));
    }
    let stops = |told: Told| told.screens().slides.last().map(|slide| slide.segment);
    assert!(stops(cases::ordinary()) > Some(0), "the ordinary case has stop points");
}

#[test]
fn the_file_asks_no_network_and_runs_its_one_script() {
    for told in cases::all() {
        let text = made(&told.screens());
        let page = Html::parse_document(&text);
        let scripts: Vec<String> =
            page.select(&select("script")).map(|script| script.text().collect()).collect();
        assert_eq!(scripts.len(), 1);
        let policy = page
            .select(&select("meta[http-equiv='Content-Security-Policy']"))
            .next()
            .and_then(|meta| meta.value().attr("content"))
            .unwrap();
        let digest = BASE64.encode(&Sha256::digest(scripts[0].as_bytes()));
        assert_eq!(
            policy,
            format!(
                "default-src 'none'; style-src 'unsafe-inline'; img-src data:; font-src data:; script-src 'sha256-{digest}'; base-uri 'none'; form-action 'none'"
            )
        );
        for element in page.select(&select("*")) {
            let value = element.value();
            for (name, content) in value.attrs() {
                assert!(!name.starts_with("on") && name != "style", "{}: {name}", told.name);
                let loads = matches!(name, "src" | "srcset" | "data" | "poster" | "background")
                    || (name.ends_with("href") && value.name() != "a");
                let inside = content.starts_with("data:") || content.starts_with('#');
                assert!(!loads || inside, "{}: <{} {name}={content:.60}>", told.name, value.name());
            }
            assert!(!["link", "iframe", "object", "embed", "base"].contains(&value.name()));
        }
        let sheet: String = page.select(&select("style")).flat_map(|style| style.text()).collect();
        assert!(!sheet.contains("@import"));
        for (_, address) in sheet.match_indices("url(").map(|(at, _)| sheet[at..].split_at(4)) {
            assert!(address.trim_start_matches('"').starts_with("data:font/woff2"), "{address:.60}");
        }
    }
}

#[test]
fn what_was_typed_stays_words_and_stills_are_inside() {
    let mut deck = cases::ordinary().screens();
    let hostile = "</style></script><script>alert(1)</script><img src=x onerror=alert(1)> {note}";
    deck.title = hostile.to_owned();
    deck.standing = hostile.to_owned();
    let slide = deck.slides.last_mut().unwrap();
    slide.title = hostile.to_owned();
    let href = Href::parse("/cases/2025-001").unwrap();
    let still = |png: Option<&[u8]>| {
        Block::Picture(Picture {
            address: "/cases/2025-001/pictures/1".to_owned(),
            png: png.map(Arc::from),
            width: 4,
            height: 3,
            alternative: "The branch is closed".to_owned(),
            caption: Phrase::new().text("Closed").quiet("At +3:00"),
        })
    };
    slide.blocks = vec![
        Block::paragraph(hostile),
        Block::paragraph(Phrase::new().with(Inline::Link { href, text: "Another case".to_owned() })),
        still(Some(b"\x89PNG made up")),
        still(None),
    ];
    let text = made(&deck);
    let page = Html::parse_document(&text);
    assert_eq!(page.select(&select("script")).count(), 1);
    assert_eq!(texts(&page, ".screen > h2").last().map(String::as_str), Some(hostile));
    let images: Vec<&str> =
        page.select(&select("img")).filter_map(|image| image.value().attr("src")).collect();
    assert_eq!(images, [format!("data:image/png;base64,{}", BASE64.encode(b"\x89PNG made up"))]);
    assert_eq!(texts(&page, ".still-missing"), ["The branch is closed At +3:00"]);
    assert!(!text.contains("/cases/2025-001"), "no way into the app");
    assert!(text.contains("<p>Another case</p>"));
}

/// How high a box of a screen and the gap under it are on paper, and where the first begins, in points: 107, 22 and 10
/// millimetres (`screens.css`).
const BOX: f64 = 107.0 * 72.0 / 25.4;
const GAP: f64 = 22.0 * 72.0 / 25.4;
const EDGE: f64 = 10.0 * 72.0 / 25.4;

/// A file as Chromium prints it.
fn printed(file: &Path) -> PathBuf {
    let pdf = file.with_extension("pdf");
    let profile = tempfile::tempdir().unwrap();
    let output = Command::new("chromium")
        .args([
            "--headless",
            "--no-sandbox",
            "--disable-gpu",
            "--disable-dev-shm-usage",
            "--no-pdf-header-footer",
            "--window-size=1280,800",
        ])
        .arg(format!("--user-data-dir={}", profile.path().display()))
        .arg(format!("--print-to-pdf={}", pdf.display()))
        .arg(format!("file://{}", file.display()))
        .output()
        .expect("Chromium is there: tests/run installs it");
    assert!(pdf.exists(), "Chromium: {}", String::from_utf8_lossy(&output.stderr));
    pdf
}

/// A file as it is for who has no JavaScript.
fn without_its_script(text: &str) -> String {
    let (before, script) = text.split_once("<script>").unwrap();
    format!("{before}{}", script.split_once("</script>").unwrap().1)
}

/// On paper no word is cut off at the foot of its screen, whatever was typed, with the script that sizes the text or
/// without it.
#[test]
fn no_word_leaves_its_screen_on_paper() {
    let folder = Folder::new();
    for told in cases::all() {
        let deck = told.screens();
        let text = made(&deck);
        let plain = without_its_script(&text);
        for (name, text) in
            [(format!("{}.html", told.name), text), (format!("{}-plain.html", told.name), plain)]
        {
            let file = folder.path().join(&name);
            std::fs::write(&file, text).unwrap();
            let pdf = printed(&file);
            assert_eq!(pages(&pdf), deck.slides.len().div_ceil(2), "{name}: two to a page");
            for (page, words) in (1..).zip(words(&pdf)) {
                for ([left, top, right, bottom], word) in words {
                    let at = format!("{name}, page {page}: {word:?} at {left} {top} {right} {bottom}");
                    assert!(left >= EDGE && right <= 595.3 - EDGE, "{at}");
                    let inside = |start: f64| top >= start && bottom <= start + BOX;
                    let second = EDGE + BOX + GAP;
                    // The line at the foot of the page.
                    let foot = top > second + BOX;
                    assert!(inside(EDGE) || inside(second) || foot, "{at}");
                }
            }
        }
    }
}

/// Goes through all screens and tells, in an attribute of the page, how many there were, on which something does not fit,
/// and where words from right to left stand at the left.
const PROBE: &str = r#"<script>
addEventListener("load", async () => {
  await Promise.all([...document.fonts].map((face) => face.load()));
  const screens = [...document.querySelectorAll(".screen")];
  const over = [], left = [];
  let seen = 0, turned = 0;
  for (const screen of screens) {
    seen += screen.matches(".current");
    for (const box of [screen, screen.querySelector(".deck-body")]) {
      if (box.scrollHeight > box.clientHeight + 1 || box.scrollWidth > box.clientWidth + 1) over.push(screen.id);
    }
    for (const text of screen.querySelectorAll("h2, p, li")) {
      if (!/^[^A-Za-z]*[\u0590-\u08ff]/.test(text.textContent)) continue;
      const words = document.createRange();
      words.selectNodeContents(text);
      const end = Math.max(...[...words.getClientRects()].map(({ right }) => right));
      turned += 1;
      // The number of an item stands before its words, so at their right.
      const before = parseFloat(getComputedStyle(text).paddingRight);
      if (text.getBoundingClientRect().right - before - end > 8) left.push(screen.id);
    }
    document.dispatchEvent(new KeyboardEvent("keydown", { key: "ArrowRight", bubbles: true }));
  }
  document.documentElement.dataset.probe = `${seen}|${over}|${left}|${turned > 0}`;
});
</script>"#;

/// On the wall every screen shows all of its words, and those from right to left begin at the right.
#[test]
fn no_word_leaves_its_screen_on_the_wall() {
    let folder = Folder::new();
    for told in cases::all() {
        let deck = told.screens();
        let text = made(&deck);
        // The policy lets no other script run: this one is the test's.
        let (before, policy) = text.split_once("<meta http-equiv=\"Content-Security-Policy\"").unwrap();
        let text = format!("{before}{PROBE}{}", policy.split_once('>').unwrap().1);
        let file = folder.path().join(format!("{}-probed.html", told.name));
        std::fs::write(&file, text).unwrap();
        for size in ["1280,720", "1920,1080"] {
            let profile = tempfile::tempdir().unwrap();
            let output = Command::new("chromium")
                .args(["--headless", "--no-sandbox", "--disable-gpu", "--disable-dev-shm-usage"])
                .args(["--virtual-time-budget=60000", "--dump-dom"])
                .arg(format!("--window-size={size}"))
                .arg(format!("--user-data-dir={}", profile.path().display()))
                .arg(format!("file://{}", file.display()))
                .output()
                .expect("Chromium is there: tests/run installs it");
            let page = Html::parse_document(&String::from_utf8_lossy(&output.stdout));
            let said = page.root_element().value().attr("data-probe").unwrap_or_default();
            let expected = format!("{}|||{}", deck.slides.len(), told.name == "arabic");
            assert_eq!(said, expected, "{} at {size}", told.name);
        }
    }
}
