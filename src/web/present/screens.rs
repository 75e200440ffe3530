//! Screens as HTML.

use askama::Template;

use crate::export::html::screen_to_html;
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
            body: screen_to_html(&screen.body, |picture| Some(picture.address.clone())),
            notes: seat.notes().to_owned(),
        }
    }
}
