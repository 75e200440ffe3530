//! One row: the interval as a line with the ratio on it, and its numbers at the right.

use super::words::ratio_words;
use super::{NAMES, NUMBERS, OddsRow, RIGHT, Ratios, WIDTH};
use crate::figure::interval::Interval;
use crate::figure::rows;
use crate::figure::svg::{self, Anchor, Element, INK, INK_SOFT, PAPER, Path};

/// Half of a mark.
const HALF: f64 = 5.5;
/// The length of an arrow to an interval that lies wholly beyond the scale.
const BEYOND: f64 = 22.0;

pub(super) fn draw(into: &mut Element, row: &OddsRow, ratios: &Ratios, y: f64) {
    rows::name(into, &row.label, y, NAMES - 16.0);
    let x = WIDTH - NUMBERS;
    let stands = if row.stands { ": stands" } else { "" };
    let numbers = svg::fit(&format!("{}{stands}", ratio_words(row.ratio())), 13.0, NUMBERS);
    into.add(svg::text(x, y - 3.0, 13.0, Anchor::Start, &numbers).class("ratio-text"));
    let counts = svg::fit(&row.counts, 12.5, NUMBERS);
    into.add(svg::text(x, y + 14.0, 12.5, Anchor::Start, &counts).class("lane-note").fill(INK_SOFT));
    if let Some(ratio) = row.ratio() {
        draw_interval(into, ratio, ratios, y);
        if ratios.holds(ratio.estimate) {
            into.add(mark(ratios.x(ratio.estimate), y, row.stands));
        }
    }
}

/// A line with a bar at each end, or an arrow where it leaves the scale.
fn draw_interval(into: &mut Element, ratio: &Interval, ratios: &Ratios, y: f64) {
    let (mut low, mut high) = (ratios.x(ratio.low), ratios.x(ratio.high));
    // Wholly beyond the scale: a short arrow at its edge.
    if ratio.high < ratios.from {
        high = low + BEYOND;
    } else if ratio.low > ratios.to {
        low = high - BEYOND;
    }
    let mut path = Path::from(low, y).line(high, y);
    for (x, end, back) in [(low, ratio.low, 6.0), (high, ratio.high, -6.0)] {
        let is_edge = (x - NAMES).abs() < 0.01 || (x - RIGHT).abs() < 0.01;
        if ratios.holds(end) {
            path = path.hop(x, y - 4.0).line(x, y + 4.0);
        } else if is_edge {
            path = path.hop(x + back, y - 4.5).line(x, y).line(x + back, y + 4.5);
        }
    }
    into.add(path.element().class("interval-bar").set("fill", "none").stroke(INK, 2.0));
}

/// A full square for a ratio that stands after correction, an open circle for one that does not.
fn mark(x: f64, y: f64, stands: bool) -> Element {
    // At the edge of the scale a mark stays whole.
    let x = x.clamp(NAMES + HALF, RIGHT - HALF);
    if stands {
        let square = svg::rect(x - HALF, y - HALF, 2.0 * HALF, 2.0 * HALF);
        square.class("ratio-stands").fill(INK).stroke(PAPER, 1.5)
    } else {
        Element::new("circle")
            .class("ratio-open")
            .num("cx", x)
            .num("cy", y)
            .num("r", HALF)
            .fill(PAPER)
            .stroke(INK, 1.75)
    }
}
