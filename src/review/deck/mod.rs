//! Presenting: a case as a sequence of screens, derived from its record.
//!
//! Background, the timeline growing step by step, a stop point for each decision that has options,
//! what was chosen and what followed, what it was, why, the department's rate, lessons, actions.
//! A screen shows one idea, and no screen shows what came after a stop point that has not been
//! passed: each says how many have to be ([`Screen::after`]). The title of the case and its
//! situation were written with hindsight; where there is a stop point they come after the last.
//!
//! - [`screen`]: a screen;
//! - [`order`]: the order, visibility and notes that the presenter gave, and the segments between
//!   stop points;
//! - `slides`: the same as a [`Deck`](crate::document::Deck), for a file;
//! - [`store`]: what the presenter gave, kept.

mod closing;
mod course;
mod fit;
mod meaning;
mod opening;
pub mod order;
pub mod screen;
mod slides;
mod step;
mod still;
pub mod store;
mod why;

use crate::case::reading::Reading;
use crate::case::reading::words::sentence;
use crate::case::{Decision, StoredCase};
use crate::document::{Block, Phrase};
use crate::figure::Figure;
use crate::review::findings::Findings;
use crate::vocabulary::Vocabulary;

pub use order::{Arranged, Notes, OrderError, Seat, arrange, check, segments};
pub use screen::{Purpose, Screen, ScreenKey, ScreenKeyError, StopPoint};
pub use slides::{screens_as_slides, slides};

/// The department's rate as a deck shows it.
#[derive(Debug, Clone)]
pub struct RateShown {
    /// The finding.
    pub title: String,
    /// The rate with its interval, and what has to be known to read it, in sentences.
    pub sentences: Vec<String>,
    /// The same drawn for a room.
    pub figure: Option<Figure>,
}

/// What a deck is made from.
#[derive(Debug)]
pub struct Material<'a> {
    /// The case.
    pub case: &'a StoredCase,
    /// What its mechanisms and causes are called.
    pub vocabulary: &'a Vocabulary,
    /// Its times, read.
    pub reading: &'a Reading,
    /// What the trade's definitions say of it.
    pub findings: &'a Findings,
    /// The department's rate for its mechanism, when there is one.
    pub rate: Option<&'a RateShown>,
    /// The confidentiality line.
    pub confidential: &'a str,
}

/// The screens of a case in the order that its record gives.
#[must_use]
pub fn screens(material: &Material<'_>) -> Vec<Screen> {
    let mut deck = Making { material, screens: Vec::new(), after: 0 };
    deck.opening();
    deck.course();
    deck.meaning();
    deck.why();
    deck.closing();
    deck.screens
}

/// The decisions at which the room has to decide, in order of time: those with at least two options.
fn stops(case: &StoredCase) -> impl Iterator<Item = &Decision> {
    case.decisions.iter().map(|row| &row.value).filter(|decision| decision.options.len() > 1)
}

/// A deck in the making.
struct Making<'a> {
    material: &'a Material<'a>,
    screens: Vec<Screen>,
    /// How many stop points what comes next lies behind.
    after: usize,
}

/// What one or more screens of one key share.
struct Head {
    key: ScreenKey,
    part: &'static str,
    title: String,
    notes: String,
}

impl Head {
    fn new(key: impl Into<String>, part: &'static str, title: impl Into<String>) -> Self {
        Self { key: ScreenKey::of(key), part, title: title.into(), notes: String::new() }
    }

    fn saying(self, notes: impl Into<String>) -> Self {
        Self { notes: notes.into(), ..self }
    }
}

impl Making<'_> {
    fn add(&mut self, head: Head, purpose: Purpose, body: Vec<Block>) {
        let Head { key, part, title, notes } = head;
        self.screens.push(Screen { key, purpose, part, title, body, notes, after: self.after });
    }

    /// Adds a screen for each body; the second and further ones say that they go on, and have
    /// nothing new to be said.
    fn add_all(&mut self, head: Head, purpose: &Purpose, bodies: Vec<Vec<Block>>) {
        let Head { key, part, title, notes } = head;
        for (number, body) in (1..).zip(bodies) {
            let head = if number == 1 {
                Head { key: key.clone(), part, title: title.clone(), notes: notes.clone() }
            } else {
                Head { key: key.part(number), part, title: title.clone(), notes: String::new() }
            };
            // A question is asked once; what goes on is what it is about.
            let purpose = match (number, purpose) {
                (2.., Purpose::Question(stop) | Purpose::Answer(stop)) => Purpose::Reasons(stop.clone()),
                (2.., Purpose::Revealed(_)) => Purpose::Tell,
                _ => purpose.clone(),
            };
            self.add(head, purpose, body);
        }
    }

    /// Adds a list over as many screens as it takes.
    fn list(&mut self, head: Head, items: Vec<Phrase>, at_most: usize) {
        let room = fit::room(&head.title, 0.0);
        let bodies = fit::pages(items, room, at_most).into_iter().map(|page| vec![Block::bullets(page)]);
        let bodies = bodies.collect();
        self.add_all(head, &Purpose::Tell, bodies);
    }
}

/// Notes of several lines, empty ones left out.
fn notes(lines: impl IntoIterator<Item = String>) -> String {
    let lines: Vec<String> =
        lines.into_iter().filter(|line| !line.trim().is_empty()).map(|line| sentence(&line)).collect();
    lines.join("\n")
}
