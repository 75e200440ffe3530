//! What a screen of a presentation shows, as HTML.

use super::{blocks_to_html, escape};
use crate::document::{Block, Inline, Picture};

/// The blocks of a screen. A drawing is as large as the screen lets it be, and needs no caption: the
/// screen's title says what it shows. `source` gives the address of a still; without one its words stand
/// in its place.
#[must_use]
pub fn screen_to_html(blocks: &[Block], source: impl Fn(&Picture) -> Option<String>) -> String {
    let mut html = String::new();
    for block in blocks {
        match block {
            Block::Figure(figure) => {
                html.push_str("<div class=\"drawing\">");
                html.push_str(figure.svg.as_str());
                html.push_str("</div>\n");
            }
            Block::Picture(picture) => html.push_str(&still(picture, source(picture))),
            other => html.push_str(&blocks_to_html(std::slice::from_ref(other))),
        }
    }
    html
}

/// A still, as large as the screen lets it be, with its moment and view. The caption is the screen's title.
fn still(picture: &Picture, address: Option<String>) -> String {
    let about = picture.caption.inlines().iter().filter(|inline| matches!(inline, Inline::Quiet(_)));
    let about: String = about.map(Inline::as_text).collect();
    let (alternative, about) = (escape(&picture.alternative), escape(&about));
    let (width, height) = (picture.width, picture.height);
    match address.as_deref().map(escape) {
        Some(address) => format!(
            "<figure class=\"still\"><img src=\"{address}\" width=\"{width}\" height=\"{height}\" alt=\"{alternative}\"><figcaption>{about}</figcaption></figure>\n"
        ),
        None => format!("<p class=\"still-missing\">{alternative} {about}</p>\n"),
    }
}
