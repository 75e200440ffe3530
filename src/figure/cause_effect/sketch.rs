//! A cause broken into lines for a width.

use super::{Cause, CauseWeight, words};
use crate::figure::scale::float;
use crate::figure::svg;

/// The size of a cause and from one of its lines to the next.
pub(super) const SIZE: f64 = 14.0;
pub(super) const LINE: f64 = 17.0;
/// The same for its note.
pub(super) const NOTE_SIZE: f64 = 12.5;
pub(super) const NOTE_LINE: f64 = 16.0;
/// The most lines of a cause and of its note.
const MOST_LINES: usize = 4;
/// From the last line of text to the twig beneath it.
const ABOVE_TWIG: f64 = 9.0;

/// The greatest height of a sketch.
pub(super) const TALLEST: f64 = 4.0 * (LINE + NOTE_LINE) + ABOVE_TWIG;

/// What stands on a twig.
#[derive(Debug, Clone)]
pub(super) struct Sketch {
    pub(super) weight: CauseWeight,
    pub(super) lines: Vec<String>,
    pub(super) notes: Vec<String>,
    /// From the top of the text to the twig.
    pub(super) height: f64,
}

impl Sketch {
    pub(super) fn of(cause: &Cause, width: f64) -> Self {
        let lines = svg::wrap(&cause.label, SIZE, width, MOST_LINES);
        let notes = notes(cause, width);
        let height = float(lines.len()) * LINE + float(notes.len()) * NOTE_LINE + ABOVE_TWIG;
        Self { weight: cause.weight, lines, notes, height }
    }

    /// The weight of its letters.
    pub(super) const fn bold(&self) -> &'static str {
        match self.weight {
            CauseWeight::Root => "600",
            CauseWeight::Contributing | CauseWeight::Incidental => "400",
        }
    }
}

/// Its weight and its events: on one line if that fits, else the events on lines of their own.
fn notes(cause: &Cause, width: f64) -> Vec<String> {
    let (weight, events) = (cause.weight.word(), words::events(cause));
    let whole = format!("{weight}, {events}");
    if svg::text_width(&whole, NOTE_SIZE) <= width {
        return vec![whole];
    }
    let mut lines = vec![svg::fit(&format!("{weight},"), NOTE_SIZE, width)];
    lines.extend(svg::wrap(&events, NOTE_SIZE, width, MOST_LINES - 1));
    lines
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_events_stand_together() {
        let cause =
            Cause { label: "Fatigue".to_owned(), weight: CauseWeight::Contributing, events: vec![3, 7] };
        assert_eq!(Sketch::of(&cause, 200.0).notes, ["contributing, events 3 and 7"]);
        assert_eq!(Sketch::of(&cause, 110.0).notes, ["contributing,", "events 3 and 7"]);
        assert!(Sketch::of(&cause, 110.0).height < TALLEST);
    }
}
