//! Bars over the ranges of uncertain times.

use crate::figure::svg::{self, Element, INK, INK_SOFT, Path};

/// A bar over the range of an uncertain time: solid for an estimate, dashed where only the order is
/// known.
pub(super) fn draw(into: &mut Element, from: f64, to: f64, y: f64, order_only: bool) {
    into.add(if order_only {
        svg::line(from, y, to, y).class("range-order").stroke(INK_SOFT, 1.5).set("stroke-dasharray", "3 3")
    } else {
        svg::rect(from, y - 1.5, to - from, 3.0).class("range-bar").fill(INK_SOFT)
    });
    let ends = Path::from(from, y - 4.0).line(from, y + 4.0).hop(to, y - 4.0).line(to, y + 4.0);
    into.add(ends.element().class("range-end").set("fill", "none").stroke(INK, 1.0));
}
