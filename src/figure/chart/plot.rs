//! The area in which values stand, with the axis upwards.

use super::reach::round_ends;
use crate::figure::number;
use crate::figure::place::Area;
use crate::figure::scale::Linear;
use crate::figure::svg::{self, Anchor, Element, INK, INK_FAINT, INK_SOFT, PAPER, Path};

/// The width of every chart in its own units.
pub(super) const WIDTH: f64 = 960.0;
/// The size of text on the axes.
pub(super) const SIZE: f64 = 12.5;
/// How far an arrow reaches that says that something goes on.
const ARROW: f64 = 9.0;

/// The range of values that an axis shows.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Range {
    from: f64,
    to: f64,
    ticks: Vec<f64>,
}

/// Where a value stands.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Spot {
    /// On the scale at this height.
    On(f64),
    /// Beyond its top; the height of the top.
    Above(f64),
    /// Below its bottom; the height of the bottom.
    Below(f64),
}

impl Spot {
    /// The height at which it is marked.
    pub(super) const fn y(self) -> f64 {
        match self {
            Self::On(y) => y,
            Self::Above(top) => top + ARROW,
            Self::Below(bottom) => bottom - ARROW,
        }
    }

    /// The height of what is on the scale.
    pub(super) const fn on(self) -> Option<f64> {
        match self {
            Self::On(y) => Some(y),
            Self::Above(_) | Self::Below(_) => None,
        }
    }
}

impl Range {
    pub(super) fn new(from: f64, to: f64) -> Self {
        let (from, to, ticks) = round_ends(from, to, 6.0);
        Self { from, to, ticks }
    }

    fn words(&self, tick: f64) -> String {
        number::tick(tick, self.to.max(-self.from) >= 10_000.0)
    }

    /// The room left of the plot.
    pub(super) fn gutter(&self) -> f64 {
        self.ticks.iter().map(|tick| svg::mono_width(&self.words(*tick))).fold(24.0, f64::max) + 16.0
    }
}

/// The area of the values.
#[derive(Debug, Clone)]
pub(super) struct Plot {
    pub(super) left: f64,
    pub(super) right: f64,
    pub(super) top: f64,
    pub(super) height: f64,
    pub(super) range: Range,
}

impl Plot {
    pub(super) fn bottom(&self) -> f64 {
        self.top + self.height
    }

    pub(super) fn width(&self) -> f64 {
        self.right - self.left
    }

    /// Where words may stand.
    pub(super) fn area(&self) -> Area {
        Area(self.left + 1.0, self.top, self.right - 1.0, self.bottom() - 1.0)
    }

    fn scale(&self) -> Linear {
        Linear { from: (self.range.from, self.bottom()), to: (self.range.to, self.top) }
    }

    /// Where a value stands; `None` when it is no number that a scale can hold.
    pub(super) fn spot(&self, value: f64) -> Option<Spot> {
        let value = number::plotted(value)?;
        Some(if value > self.range.to {
            Spot::Above(self.top)
        } else if value < self.range.from {
            Spot::Below(self.bottom())
        } else {
            Spot::On(self.scale().at(value))
        })
    }

    /// The height of a value, kept within the plot.
    pub(super) fn held(&self, value: f64) -> f64 {
        self.scale().at(value)
    }

    /// The height of a value, also beyond the plot.
    pub(super) fn beyond(&self, value: f64) -> f64 {
        self.scale().beyond(value)
    }

    /// The grid, the ticks with their labels, and above all else what they count.
    pub(super) fn draw_values(&self, into: &mut Element, title: &str) {
        for tick in &self.range.ticks {
            let y = self.held(*tick);
            into.add(svg::line(self.left, y, self.right, y).class("grid-line").stroke(INK_FAINT, 0.75));
            // What falls below the line in the middle is counted from there too.
            into.add(
                svg::text(self.left - 8.0, y + 4.5, SIZE, Anchor::End, &self.range.words(tick.abs()))
                    .class("axis-text")
                    .fill(INK_SOFT)
                    .set("font-family", svg::MONO),
            );
        }
        into.add(
            svg::line(self.left, self.top, self.left, self.bottom()).class("axis-line").stroke(INK_SOFT, 1.0),
        );
        into.add(axis_title(0.0, 13.0, title, WIDTH));
    }

    /// What stands in an empty plot.
    pub(super) fn draw_nothing(&self, into: &mut Element, words: &str) {
        let (x, y) = (f64::midpoint(self.left, self.right), self.top + self.height / 2.0);
        into.add(halo_text(x, y, words, "point-text middle"));
    }
}

/// What an axis counts, shortened to a width.
pub(super) fn axis_title(x: f64, y: f64, title: &str, width: f64) -> Element {
    let title = svg::fit(title, SIZE, width);
    svg::text(x, y, SIZE, Anchor::Start, &title).class("axis-title").fill(INK_SOFT)
}

/// A text by its middle, with paper around its letters where it stands on lines.
pub(super) fn halo_text(x: f64, y: f64, words: &str, class: &str) -> Element {
    svg::text(x, y, SIZE, Anchor::Middle, words).class(class).stroke(PAPER, 4.0).set("paint-order", "stroke")
}

/// A full dot.
pub(super) fn dot(x: f64, y: f64, radius: f64) -> Element {
    Element::new("circle")
        .class("chart-dot")
        .num("cx", x)
        .num("cy", y)
        .num("r", radius)
        .fill(INK)
        .stroke(PAPER, if radius < 3.0 { 0.5 } else { 1.5 })
}

/// An open arrow at the edge of the plot: the value lies beyond it.
pub(super) fn edge_arrow(x: f64, spot: Spot) -> Element {
    let y = spot.y();
    let tip = if matches!(spot, Spot::Above(_)) { -ARROW } else { ARROW };
    let arrow = Path::from(x - 5.0, y).line(x + 5.0, y).line(x, y + tip).close();
    arrow.element().class("mark").fill(PAPER).stroke(INK, 1.5)
}
