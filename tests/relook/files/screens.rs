//! The screens in one HTML file: what it may load, and that it says what is presented.

use std::sync::Arc;

use data_encoding::BASE64;
use relook::document::{Block, Deck, Href, Inline, Phrase, Picture, SlideKind};
use relook::export::format::Options;
use relook::export::screens::FORMAT;
use scraper::{Html, Selector};
use sha2::{Digest, Sha256};

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
