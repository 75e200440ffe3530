//! A deck as data: slides that each hold one idea, and what may be said to them.
//!
//! A slide here has no size: an exporter lays it out over as many pages as it takes.

use std::sync::Arc;

use super::block::{Block, fill_pictures};

/// A deck of slides.
#[derive(Debug, Clone, PartialEq)]
pub struct Deck {
    /// What it is called.
    pub title: String,
    /// Who may see it, and for what: stands on every slide.
    pub standing: String,
    /// The slides, in the order in which they are shown.
    pub slides: Vec<Slide>,
}

impl Deck {
    /// Gives each still its PNG, for a file that holds them. One that is not found keeps none.
    pub fn fill_pictures(&mut self, find: impl Fn(&str) -> Option<Arc<[u8]>>) {
        for slide in &mut self.slides {
            fill_pictures(&mut slide.blocks, &find);
        }
    }
}

/// A slide.
#[derive(Debug, Clone, PartialEq)]
pub struct Slide {
    /// Its name, which stays while what it shows stays.
    pub name: String,
    /// What it is for.
    pub kind: SlideKind,
    /// The part of the deck that it belongs to, in a word or two: `Timeline`, `Why`.
    pub part: String,
    /// What it shows, said as the finding.
    pub title: String,
    /// What stands under the title.
    pub blocks: Vec<Block>,
    /// How many stop points have to be passed before it may be shown.
    pub segment: usize,
    /// What may be said to it, a line a thought; may be empty.
    pub notes: String,
}

/// What a slide is for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum SlideKind {
    /// It opens the deck.
    Opening,
    /// It tells something.
    Telling,
    /// It asks the room, and tells nothing of what was done. The name is that of the decision, which
    /// the slide that answers has as well.
    Question(String),
    /// It tells what was chosen at a decision.
    Answer(String),
}
