//! A document as one HTML file: what it may load, that all of the document is in it, and how it is read.

use std::sync::Arc;

use data_encoding::BASE64;
use relook::document::{Block, Column, Document, Fact, Figure, Phrase, Picture, Svg, Table};
use relook::export::format::{DOCUMENTS, Options};
use relook::export::page::FORMAT;
use scraper::{ElementRef, Html, Selector};
use sha2::{Digest, Sha256};

use super::cases;

fn made(document: &Document) -> String {
    let bytes = (FORMAT.render)(document, &Options::default()).unwrap();
    assert!((FORMAT.render)(document, &Options::default()).unwrap() == bytes, "the same each time");
    String::from_utf8(bytes).unwrap()
}

fn select(what: &str) -> Selector {
    Selector::parse(what).unwrap()
}

fn plain(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// All words of a page, with what is said of pictures.
fn said(page: &Html) -> String {
    let body = page.select(&select("body")).next().unwrap();
    let alternatives: Vec<&str> =
        page.select(&select("img")).filter_map(|img| img.value().attr("alt")).collect();
    plain(&format!("{} {}", body.text().collect::<String>(), alternatives.join(" ")))
}

fn attributes(page: &Html) -> Vec<(ElementRef<'_>, String, String)> {
    let star = select("*");
    let elements: Vec<ElementRef> = page.select(&star).collect();
    elements
        .into_iter()
        .flat_map(|element| {
            let attributes: Vec<(String, String)> =
                element.value().attrs().map(|(name, value)| (name.to_owned(), value.to_owned())).collect();
            attributes.into_iter().map(move |(name, value)| (element, name, value))
        })
        .collect()
}

#[test]
fn all_text_of_a_document_is_in_it_in_every_script() {
    for told in cases::all() {
        let document = told.summary();
        let page = Html::parse_document(&made(&document));
        let text = said(&page);
        // What a drawing says to who does not see it is in the drawing. A text in Markdown loses its signs.
        let drawn: Vec<&str> = document
            .blocks()
            .iter()
            .filter_map(|block| match block {
                Block::Figure(figure) => Some(figure.description.as_str()),
                _ => None,
            })
            .collect();
        let typed: Vec<&str> = document
            .blocks()
            .iter()
            .filter_map(|block| match block {
                Block::Markdown(text) => Some(text.as_str()),
                _ => None,
            })
            .collect();
        for words in document.words() {
            if drawn.contains(&words.as_str()) || typed.contains(&words.as_str()) {
                continue;
            }
            assert!(text.contains(&plain(&words)), "{}: {words:?} is not in it", told.name);
        }
        assert_eq!(
            page.select(&select("h1")).map(|found| found.text().collect::<String>()).collect::<Vec<_>>(),
            [document.title()],
            "{}",
            told.name
        );
        assert!(text.contains(&plain(document.standing().unwrap())), "{}", told.name);
    }
}

#[test]
fn it_asks_for_nothing_and_allows_nothing() {
    for told in cases::all() {
        let text = made(&told.summary());
        let page = Html::parse_document(&text);
        assert_eq!(page.select(&select("script, link, iframe, object, embed, base, form")).count(), 0);
        let sheet: String = page.select(&select("style")).flat_map(|style| style.text()).collect();
        assert_eq!(page.select(&select("style")).count(), 1);
        let policy = page
            .select(&select("meta[http-equiv='Content-Security-Policy']"))
            .next()
            .and_then(|meta| meta.value().attr("content"))
            .unwrap();
        let digest = BASE64.encode(&Sha256::digest(sheet.as_bytes()));
        assert_eq!(
            policy,
            format!(
                "default-src 'none'; style-src 'sha256-{digest}'; img-src data:; font-src data:; base-uri 'none'; form-action 'none'"
            )
        );
        for (element, name, value) in attributes(&page) {
            let tag = element.value().name();
            assert!(!name.starts_with("on") && name != "style", "{}: <{tag} {name}>", told.name);
            let loads = matches!(name.as_str(), "src" | "srcset" | "data" | "poster" | "background")
                || (name.ends_with("href") && tag != "a");
            let inside = value.starts_with("data:") || value.starts_with('#');
            assert!(!loads || inside, "{}: <{tag} {name}={value:.60}>", told.name);
            let leads = tag != "a" || name != "href";
            let to = value.starts_with("https://") || value.starts_with('#');
            assert!(leads || to, "{}: a link leads to {value:?}, which is not there", told.name);
        }
        assert!(!sheet.contains("@import"));
        for (_, address) in sheet.match_indices("url(").map(|(at, _)| sheet[at..].split_at(4)) {
            assert!(address.trim_start_matches('"').starts_with("data:font/woff2"), "{address:.60}");
        }
        // Light and dark, and what stands under each printed page.
        assert!(
            sheet.contains("prefers-color-scheme: dark")
                && sheet.contains("@bottom-left { content: \"Confidential")
        );
        assert!(sheet.contains("thead { display: table-header-group; }"));
    }
}

#[test]
fn what_is_written_from_right_to_left_is_read_so() {
    let page = Html::parse_document(&made(&cases::arabic().summary()));
    let right: Vec<String> =
        page.select(&select("[dir=rtl]")).map(|found| found.text().collect::<String>()).collect();
    assert!(right.iter().any(|text| text.contains("انسداد الشريان بعد تسلخ جداره")), "{right:?}");
    assert_eq!(page.select(&select("h1[dir=rtl]")).count(), 1);
    for told in [cases::greek(), cases::chinese(), cases::emoji(), cases::ordinary()] {
        let page = Html::parse_document(&made(&told.summary()));
        assert_eq!(page.select(&select("[dir]")).count(), 0, "{}", told.name);
    }
}

/// A document with this text in every place that a text can have.
fn with_everywhere(text: &str) -> Document {
    let mut document = Document::new(text);
    document.stands_as(text).paragraph(Phrase::new().text(text).strong(text).emphasis(text).mono(text));
    document.section(text).part(text).bullets([text]).numbered([text]).missing(text).markdown(text);
    document.note(Phrase::new().quiet(text).mark(text).signed(text).missing(text));
    document.facts([Fact::new(text, text)]).caution(text);
    document.table(Table::of(text, [Column::text(text)]).rows([[Phrase::from(text)]]));
    document.details(text, [Block::paragraph(text)]);
    document.figure(Figure {
        title: text.to_owned(),
        description: text.to_owned(),
        svg: Svg::trusted("<svg class=\"fig\"></svg>"),
        values: None,
        summary: text.to_owned(),
        source: text.to_owned(),
    });
    document.picture(still(text, Some(b"png")));
    document
}

fn still(text: &str, png: Option<&[u8]>) -> Picture {
    Picture {
        address: "/cases/2025-001/pictures/1/still.png".to_owned(),
        png: png.map(Arc::from),
        width: 4,
        height: 3,
        alternative: text.to_owned(),
        caption: Phrase::from(text),
    }
}

#[test]
fn hostile_words_stay_words() {
    for hostile in [
        "</style></title><script>alert(1)</script><img src=x onerror=alert(1)>",
        "\" onmouseover=\"alert(1)",
        "*/ } body { background: url(https://evil.example/x.png) }",
        "\\\"; } @import \"https://evil.example/x.css\"; {",
        "<a href=\"javascript:alert(1)\">x</a> <a href=\"/cases\">y</a>",
        "{title} {sheets} %s",
    ] {
        let page = Html::parse_document(&made(&with_everywhere(hostile)));
        assert_eq!(
            page.select(&select("script, iframe, object, embed, meta[http-equiv=refresh]")).count(),
            0
        );
        assert_eq!(page.select(&select("style")).count(), 1, "{hostile}");
        assert_eq!(page.select(&select("img")).count(), 1, "the still alone: {hostile}");
        for (element, name, value) in attributes(&page) {
            assert!(!name.starts_with("on"), "{hostile}: {name}={value}");
            assert!(name != "href" || element.value().name() != "a", "{hostile} became a link to {value}");
        }
        let titles: Vec<String> =
            page.select(&select("title, h1")).map(|found| found.text().collect()).collect();
        assert_eq!(titles, [hostile, hostile]);
        // In the sheet it stands in one string, on one line, that nothing in it ends.
        let sheet: String = page.select(&select("style")).flat_map(|style| style.text()).collect();
        let foot =
            sheet.split_once("@bottom-left { content: \"").map(|_| ()).and(sheet.lines().last()).unwrap();
        let inside = foot.split_once("content: \"").unwrap().1.rsplit_once("\"; } }").unwrap().0;
        assert!(!inside.contains(['"', '{', '}', '<', '>']), "{inside}");
    }
}

#[test]
fn stills_are_inside_and_one_without_pixels_is_told_in_words() {
    let mut document = Document::new("t");
    document.picture(still("The branch is closed", Some(b"png"))).picture(still("Flow is back", None));
    let page = Html::parse_document(&made(&document));
    let sources: Vec<&str> = page.select(&select("img")).filter_map(|img| img.value().attr("src")).collect();
    assert_eq!(sources, [format!("data:image/png;base64,{}", BASE64.encode(b"png"))]);
    assert!(said(&page).contains("Flow is back"));
}

#[test]
fn links_out_of_it_and_inside_it_stay_and_links_into_the_app_keep_their_words() {
    let mut document = Document::new("t");
    document.section("Index").paragraph(
        Phrase::new()
            .link("Case 1", "/cases/2025-001")
            .text(", ")
            .link("a paper", "https://doi.org/10.1000/182")
            .text(", ")
            .link("the index", "#index"),
    );
    let page = Html::parse_document(&made(&document));
    let links: Vec<&str> = page.select(&select("a")).filter_map(|link| link.value().attr("href")).collect();
    assert_eq!(links, ["https://doi.org/10.1000/182", "#index"]);
    assert_eq!(page.select(&select("#index")).count(), 1);
    assert!(said(&page).contains("Case 1, a paper, the index"));
}

#[test]
fn every_format_of_a_document_has_a_name_of_its_own() {
    let mut names: Vec<&str> = DOCUMENTS.iter().map(|format| format.slug).collect();
    assert!(names.contains(&"page") && names.contains(&"word") && names.contains(&"markdown"));
    names.sort_unstable();
    names.dedup();
    assert_eq!(names.len(), DOCUMENTS.len());
}
