//! What stands beneath a chart: signals, actions, what is cut off, and where it comes from.

use crate::figure::scale::float;
use crate::figure::sentence::full_stop;
use crate::figure::svg::{self, Anchor, Element, INK, INK_SOFT, PAPER};

/// The size of a note.
const SIZE: f64 = 13.0;
/// From one line to the next.
const STEP: f64 = 18.0;
/// More room before another note.
const BETWEEN: f64 = 4.0;
/// How many lines a note may have.
const LINES: usize = 6;
/// The greatest width of a mark.
const WIDEST_MARK: f64 = 80.0;

/// The notes in their order.
#[derive(Debug, Default)]
pub(super) struct Notes {
    list: Vec<Note>,
}

#[derive(Debug)]
struct Note {
    mark: Option<(Shape, String)>,
    text: String,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Shape {
    Ring,
    Flag,
}

impl Notes {
    /// A sentence; nothing for nothing.
    pub(super) fn say(&mut self, text: &str) {
        self.push(None, text);
    }

    /// A sentence beside the number of its ring.
    pub(super) fn ring(&mut self, number: u32, text: &str) {
        self.push(Some((Shape::Ring, number.to_string())), text);
    }

    /// A sentence beside its flag.
    pub(super) fn flag(&mut self, name: String, text: &str) {
        self.push(Some((Shape::Flag, name)), text);
    }

    fn push(&mut self, mark: Option<(Shape, String)>, text: &str) {
        if mark.is_some() || !text.trim().is_empty() {
            self.list.push(Note { mark, text: full_stop(text) });
        }
    }

    /// All of them as one text.
    pub(super) fn words(&self) -> String {
        let texts = self.list.iter().map(|note| match &note.mark {
            None => note.text.clone(),
            Some((Shape::Ring, number)) => format!("Signal {number}: {}", note.text),
            Some((Shape::Flag, name)) => format!("{name}: {}", note.text),
        });
        texts.collect::<Vec<_>>().join(" ")
    }

    fn indent(&self) -> f64 {
        let marks = self.list.iter().filter_map(|note| note.mark.as_ref());
        let widest = marks.map(|(_, name)| mark_width(name)).reduce(f64::max);
        widest.map_or(0.0, |widest| widest + 8.0)
    }

    fn lines(&self, note: &Note, width: f64) -> Vec<String> {
        let indent = if note.mark.is_some() { self.indent() } else { 0.0 };
        let lines = svg::wrap(&note.text, SIZE, width - indent, LINES);
        if lines.is_empty() { vec![String::new()] } else { lines }
    }

    /// The height of all, in a width.
    pub(super) fn height(&self, width: f64) -> f64 {
        let lines = self.list.iter().map(|note| float(self.lines(note, width).len()) * STEP + BETWEEN);
        lines.sum::<f64>() + 8.0
    }

    /// Draws them from `top` down.
    pub(super) fn draw(&self, into: &mut Element, left: f64, top: f64, width: f64) {
        let mut y = top + STEP;
        for note in &self.list {
            let (mut x, mut class, mut ink) = (left, "note-soft", INK_SOFT);
            if let Some((shape, name)) = &note.mark {
                add_mark(into, left, y, *shape, name);
                (x, class, ink) = (left + self.indent(), "note-text", INK);
            }
            for line in self.lines(note, width) {
                into.add(svg::text(x, y, SIZE, Anchor::Start, &line).class(class).fill(ink));
                y += STEP;
            }
            y += BETWEEN;
        }
    }
}

fn mark_width(name: &str) -> f64 {
    (svg::text_width(name, 12.5) + 9.0).clamp(18.0, WIDEST_MARK)
}

/// A small flag or ring with its name.
fn add_mark(into: &mut Element, left: f64, baseline: f64, shape: Shape, name: &str) {
    let width = mark_width(name);
    let frame = svg::rect(left, baseline - 13.0, width, 17.0).fill(PAPER);
    into.add(match shape {
        Shape::Flag => frame.class("flag").stroke(INK, 1.0),
        Shape::Ring => frame.class("signal-ring").num("rx", 8.5).stroke(INK, 2.0).set("fill", "none"),
    });
    let text = svg::text(left + width / 2.0, baseline, 12.5, Anchor::Middle, name);
    into.add(text.class("flag-text middle"));
}
