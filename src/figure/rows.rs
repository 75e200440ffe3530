//! Rows of a chart with an axis to the right: their names, and the ticks beneath them.

use super::scale::float;
use super::svg::{self, Anchor, Element, INK_FAINT, INK_SOFT};

/// The size of a row's name.
const NAME: f64 = 14.0;
/// The size of a tick.
const TICK: f64 = 12.5;

/// The name of a row in at most two lines around its middle.
pub(super) fn name(into: &mut Element, text: &str, middle: f64, width: f64) {
    let lines = svg::wrap(text, NAME, width, 2);
    let first = middle + 5.0 - float(lines.len().saturating_sub(1)) * 8.5;
    for (index, line) in lines.iter().enumerate() {
        let y = first + float(index) * 17.0;
        into.add(svg::text(0.0, y, NAME, Anchor::Start, line).class("lane-label branch"));
    }
}

/// A grid line from `top` to `bottom` at each tick, with its number beneath.
pub(super) fn ticks(
    into: &mut Element,
    ticks: impl IntoIterator<Item = (f64, String)>,
    top: f64,
    bottom: f64,
) {
    for (x, words) in ticks {
        into.add(svg::line(x, top, x, bottom).class("grid-line").stroke(INK_FAINT, 0.75));
        into.add(
            svg::text(x, bottom + 18.0, TICK, Anchor::Middle, &words)
                .class("axis-text")
                .fill(INK_SOFT)
                .set("font-family", svg::MONO),
        );
    }
}
