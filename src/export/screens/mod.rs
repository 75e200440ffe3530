//! A deck as one HTML file: the screens as they are presented in the app, with everything inside. It asks
//! no network for anything, and its content policy would let it ask for nothing.
//!
//! The sheets, fonts and the sizing of text are those that the app serves (`static`), so that a screen looks
//! the same. Without a script the file is one long page; on paper it is a handout, two screens to a page.
//! The notes of the presenter stay behind: the file is also what is handed out.

use std::fmt::Write as _;

use super::format::{ExportError, Format, Options};
use super::html::{escape, screen_to_html};
use super::one_file::{OneFile, Styles, inside, without_links};
use crate::document::{Deck, Slide};

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
    let sheets = SHEETS.join("\n");
    let body = fill(
        FRAME,
        &[
            ("title", &escape(&deck.title)),
            ("standing", &escape(&deck.standing)),
            ("note", &escape(NOTE)),
            ("screens", &screens(&deck.slides)),
        ],
    );
    OneFile {
        title: &deck.title,
        root: " data-room=\"dark\"",
        class: "audience",
        sheets: &sheets,
        // The script sizes text.
        styles: Styles::Script,
        script: Some(&script),
        body: &body,
    }
    .write()
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
            without_links(&screen_to_html(blocks, inside), |address| address.starts_with(['/', '#'])),
        );
    }
    html
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_filled_in_is_not_filled_again() {
        assert_eq!(fill("<{a}>{b}", &[("a", "{b}"), ("b", "x")]), "<{b}>x");
    }

    #[test]
    fn the_scripts_and_sheets_cannot_end_their_element() {
        for text in SHEETS.iter().chain([&FIT, &SCRIPT]) {
            assert!(!text.contains("</"), "{text}");
        }
        assert!(FIT.contains("export function fit"));
    }
}
