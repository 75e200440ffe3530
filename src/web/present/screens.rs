//! Screens as HTML.

use askama::Template;

use crate::document::{Block, Inline, Picture};
use crate::export::html::{blocks_to_html, escape};
use crate::review::deck::Seat;

/// Screens one after the other.
#[derive(Template)]
#[template(path = "present/screens.html")]
pub(super) struct Screens {
    pub(super) screens: Vec<ScreenView>,
}

/// A screen as a template shows it.
pub(super) struct ScreenView {
    pub(super) key: String,
    pub(super) part: &'static str,
    pub(super) purpose: &'static str,
    pub(super) decision: String,
    /// The options of a stop point as JSON; empty elsewhere.
    pub(super) options: String,
    /// Whether the room's answers are shown.
    pub(super) answers: bool,
    /// The number of the option that was chosen; empty where it is not told.
    pub(super) chosen: String,
    pub(super) title: String,
    pub(super) body: String,
    pub(super) notes: String,
}

impl ScreenView {
    pub(super) fn of(seat: &Seat) -> Self {
        let screen = &seat.screen;
        let stop = screen.purpose.stop();
        let json = |options: &Vec<String>| serde_json::to_string(options).unwrap_or_default();
        Self {
            key: screen.key.to_string(),
            part: screen.part,
            purpose: screen.purpose.word(),
            decision: stop.map(|stop| stop.decision.to_string()).unwrap_or_default(),
            options: stop.map(|stop| json(&stop.options)).unwrap_or_default(),
            chosen: stop.and_then(|stop| stop.chosen).map(|n| n.to_string()).unwrap_or_default(),
            answers: screen.purpose.shows_answers(),
            title: screen.title.clone(),
            body: body(&screen.body),
            notes: seat.notes().to_owned(),
        }
    }
}

/// A still, as large as the screen lets it be, with its moment and view. The caption is the screen's title.
fn still(picture: &Picture) -> String {
    let about = picture.caption.inlines().iter().filter(|inline| matches!(inline, Inline::Quiet(_)));
    let about: String = about.map(Inline::as_text).collect();
    let (address, alternative, about) =
        (escape(&picture.address), escape(&picture.alternative), escape(&about));
    let (width, height) = (picture.width, picture.height);
    format!(
        "<figure class=\"still\"><img src=\"{address}\" width=\"{width}\" height=\"{height}\" alt=\"{alternative}\"><figcaption>{about}</figcaption></figure>\n"
    )
}

/// The blocks of a screen. A drawing is as large as the screen lets it be, and needs no caption: the
/// screen's title says what it shows.
fn body(blocks: &[Block]) -> String {
    let mut html = String::new();
    for block in blocks {
        match block {
            Block::Figure(figure) => {
                html.push_str("<div class=\"drawing\">");
                html.push_str(figure.svg.as_str());
                html.push_str("</div>\n");
            }
            Block::Picture(picture) => html.push_str(&still(picture)),
            other => html.push_str(&blocks_to_html(std::slice::from_ref(other))),
        }
    }
    html
}
