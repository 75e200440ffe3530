//! A deck as one HTML file: the screens as they are presented in the app, with everything inside. It asks
//! no network for anything, and its content policy would let it ask for nothing.
//!
//! The sheets, fonts and the sizing of text are those that the app serves (`static`), so that a screen looks
//! the same. Without a script the file is one long page; on paper it is a handout, two screens to a page.
//! The notes of the presenter stay behind: the file is also what is handed out.

mod fonts;

use std::fmt::Write as _;

use data_encoding::BASE64;
use sha2::{Digest, Sha256};

use super::format::{ExportError, Format, LANGUAGE, Options};
use super::html::{escape, screen_to_html};
use crate::document::{Deck, Picture, Slide};

/// The format. Its deck has a slide for each screen.
pub const FORMAT: Format<Deck> = Format {
    slug: "html",
    name: "Screens in one file (HTML)",
    extension: "html",
    media_type: "text/html; charset=utf-8",
    use_for: "The screens as here, in a browser without a network, and printed as a handout of two to a page; without your notes. Each stop point waits until you go on, but the answers are in the file: whoever looks into it, or opens it without JavaScript, sees them.",
    render: |deck, _: &Options| -> Result<Vec<u8>, ExportError> { Ok(page(deck).into_bytes()) },
};

/// What the file says of itself.
const NOTE: &str = "This file holds all screens of the case, also what was chosen at each stop point and what followed. While it is presented they wait until somebody goes on; whoever looks into the file, prints it, or opens it without JavaScript, sees them.";

const SHEETS: [&str; 4] = [
    include_str!("../../../static/css/base.css"),
    include_str!("../../../static/css/figure.css"),
    include_str!("../../../static/css/present.css"),
    include_str!("screens.css"),
];
const FIT: &str = include_str!("../../../static/js/present/fit.js");
const SCRIPT: &str = include_str!("screens.js");
const FRAME: &str = include_str!("frame.html");

fn page(deck: &Deck) -> String {
    // A module of the app becomes a part of the one script.
    let script = format!("{}\n{SCRIPT}", FIT.replace("export function", "function"));
    let digest = BASE64.encode(&Sha256::digest(script.as_bytes()));
    let sheets = format!("{}\n{}", fonts::sheet(), SHEETS.join("\n"));
    let body = fill(
        FRAME,
        &[
            ("title", &escape(&deck.title)),
            ("standing", &escape(&deck.standing)),
            ("note", &escape(NOTE)),
            ("screens", &screens(&deck.slides)),
        ],
    );
    format!(
        "<!doctype html>\n<html lang=\"{LANGUAGE}\" data-room=\"dark\">\n<head>\n<meta charset=\"utf-8\">\n\
         <meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'; \
         img-src data:; font-src data:; script-src 'sha256-{digest}'; base-uri 'none'; form-action 'none'\">\n\
         <meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n\
         <meta name=\"referrer\" content=\"no-referrer\">\n<title>{title}</title>\n<style>\n{sheets}</style>\n\
         <script>{script}</script>\n</head>\n<body class=\"audience\">\n{body}</body>\n</html>\n",
        title = escape(&deck.title),
    )
}

/// A text with its `{name}`s filled in, in one go: what is filled in is not looked through again.
fn fill(text: &str, values: &[(&str, &str)]) -> String {
    let mut filled = String::new();
    let mut rest = text;
    while let Some((before, after)) = rest.split_once('{') {
        filled.push_str(before);
        let (name, behind) = after.split_once('}').unwrap_or((after, ""));
        filled.push_str(values.iter().find(|(own, _)| *own == name).map_or("", |(_, value)| value));
        rest = behind;
    }
    filled + rest
}

fn screens(slides: &[Slide]) -> String {
    let mut html = String::new();
    for (number, slide) in (1..).zip(slides) {
        let Slide { part, title, blocks, segment, .. } = slide;
        // Writing to a string cannot fail.
        let _ = write!(
            html,
            "<section class=\"screen\" id=\"screen-{number}\" aria-labelledby=\"title-{number}\" data-segment=\"{segment}\">\n\
             <p class=\"deck-part\">{}</p>\n<h2 id=\"title-{number}\">{}</h2>\n<div class=\"deck-body\">\n{}</div>\n</section>\n",
            escape(part),
            escape(title),
            without_own_links(&screen_to_html(blocks, inside)),
        );
    }
    html
}

/// A still as an address that holds it.
fn inside(picture: &Picture) -> Option<String> {
    let png = picture.png.as_deref()?;
    Some(format!("data:image/png;base64,{}", BASE64.encode(png)))
}

/// Links into the app lead nowhere from a file: their words stay.
fn without_own_links(html: &str) -> String {
    let mut kept = String::new();
    let mut rest = html;
    while let Some((before, link)) = rest.split_once("<a href=\"") {
        kept.push_str(before);
        let own = link.starts_with(['/', '#']);
        match link.split_once('>').and_then(|(_, inner)| inner.split_once("</a>")) {
            Some((words, behind)) if own => {
                kept.push_str(words);
                rest = behind;
            }
            _ => {
                kept.push_str("<a href=\"");
                rest = link;
            }
        }
    }
    kept + rest
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_filled_in_is_not_filled_again() {
        assert_eq!(fill("<{a}>{b}", &[("a", "{b}"), ("b", "x")]), "<{b}>x");
    }

    #[test]
    fn a_link_into_the_app_keeps_its_words_and_one_out_of_it_stays() {
        let html = "<p><a href=\"/cases/2025-001\">Case <em>1</em></a>, <a href=\"https://doi.org/10.1/x\" rel=\"noopener\">paper</a>, <a href=\"#x\">there</a></p>";
        assert_eq!(
            without_own_links(html),
            "<p>Case <em>1</em>, <a href=\"https://doi.org/10.1/x\" rel=\"noopener\">paper</a>, there</p>"
        );
    }

    #[test]
    fn the_scripts_and_sheets_cannot_end_their_element() {
        for text in SHEETS.iter().chain([&FIT, &SCRIPT]) {
            assert!(!text.contains("</"), "{text}");
        }
        assert!(FIT.contains("export function fit"));
        assert!(fonts::sheet().matches("data:font/woff2;base64,").count() >= 7);
    }
}
