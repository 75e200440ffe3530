//! A cause beside its mark.

use super::{ChainCause, NOTE_SIZE, SIZE};
use crate::figure::cause::CauseWeight;
use crate::figure::scale::float;
use crate::figure::svg::{self, Anchor, Element, INK_SOFT};

const LINE: f64 = 17.0;
const NOTE_LINE: f64 = 16.0;
const MOST_LINES: usize = 3;
/// Between two causes, and from the last to the harm.
const GAP: f64 = 9.0;
/// From the top of a cause to the middle of its mark.
pub(super) const MARK: f64 = 9.5;
/// The room of a mark with what keeps its text away from it.
pub(super) const MARK_ROOM: f64 = 26.0;

/// What is written of a cause.
pub(super) struct Entry {
    weight: CauseWeight,
    lines: Vec<String>,
    pub(super) height: f64,
}

impl Entry {
    pub(super) fn of(cause: &ChainCause, width: f64) -> Self {
        let lines = svg::wrap(&cause.label, SIZE, width, MOST_LINES);
        let height = float(lines.len()) * LINE + NOTE_LINE + GAP;
        Self { weight: cause.weight, lines, height }
    }

    /// Draws it with its mark on a line at `x`, and its text to the right of it from its start, or
    /// to the left up to its end.
    pub(super) fn draw(&self, into: &mut Element, x: f64, top: f64, anchor: Anchor) {
        let (at, end) = match anchor {
            Anchor::End => (x - MARK_ROOM / 2.0, " end"),
            Anchor::Start | Anchor::Middle => (x + MARK_ROOM / 2.0, ""),
        };
        into.add(self.weight.mark(x, top + MARK));
        let bold = if self.weight == CauseWeight::Root { "600" } else { "400" };
        let mut y = top + 14.0;
        for line in &self.lines {
            let class = format!("{}{end}", self.weight.class("cause-text"));
            into.add(svg::text(at, y, SIZE, anchor, line).class(&class).set("font-weight", bold));
            y += LINE;
        }
        let word = svg::text(at, y - 1.0, NOTE_SIZE, anchor, self.weight.word());
        into.add(word.class(&format!("cause-note{end}")).fill(INK_SOFT));
    }
}

/// The height of several, one beneath the other.
pub(super) fn height(entries: &[Entry]) -> f64 {
    entries.iter().map(|entry| entry.height).sum()
}
