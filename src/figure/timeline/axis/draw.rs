//! Drawing the axis: its ticks and labels, its grid and its breaks.

use super::words::tick_label;
use super::{Piece, TimeAxis};
use crate::figure::scale::time_step;
use crate::figure::svg::{self, Anchor, Element, INK, INK_FAINT, INK_SOFT, PAPER, Path};
use crate::quantity::Offset;

/// How far from the moments of a piece a tick may stand.
const SPILL: f64 = 4.0;
/// The least distance between two ticks.
const TICK_ROOM: f64 = 58.0;

/// A mark on the axis.
struct Tick {
    x: f64,
    /// Empty when there is no room for it.
    label: String,
    /// Whether it is the only one of its piece.
    is_needed: bool,
}

impl Piece {
    fn ticks(&self) -> Vec<Tick> {
        let at = |seconds: i64, is_needed: bool| Tick {
            x: self.x(seconds),
            label: tick_label(seconds),
            is_needed,
        };
        if self.per_second <= 0.0 {
            return vec![at(self.from, true)];
        }
        let every = |room: f64| {
            let step = time_step(room / self.per_second);
            let first = self.from.div_euclid(step);
            let last = self.to.div_euclid(step) + 1;
            (first..=last)
                .map(|n| at(n * step, false))
                .filter(|tick| tick.x >= self.left - SPILL && tick.x <= self.right + SPILL)
                .collect::<Vec<Tick>>()
        };
        let widest = |ticks: &[Tick]| {
            let widths = ticks.iter().map(|tick| svg::mono_width(&tick.label));
            widths.fold(0.0, f64::max) + 8.0
        };
        let mut ticks = every(TICK_ROOM);
        if widest(&ticks) > TICK_ROOM {
            ticks = every(widest(&ticks));
        }
        if ticks.is_empty() {
            ticks.push(at(self.from, true));
        }
        ticks
    }
}

impl TimeAxis {
    /// The ticks: at round times of each piece, or, where it has none, at its first moment. A label
    /// for which there is no room is left out.
    fn ticks(&self) -> Vec<Tick> {
        let mut ticks: Vec<Tick> = Vec::new();
        // The word left of the axis ends here.
        let mut free_from = self.left - 10.0;
        for piece in &self.pieces {
            for mut tick in piece.ticks() {
                let half = svg::mono_width(&tick.label) / 2.0;
                if tick.is_needed
                    && tick.x - half < free_from
                    && let Some(last) = ticks.last_mut()
                {
                    last.label.clear();
                    free_from = f64::NEG_INFINITY;
                }
                if tick.x - half < free_from || tick.x + half > self.right + 6.0 {
                    tick.label.clear();
                } else {
                    free_from = tick.x + half + 6.0;
                }
                ticks.push(tick);
            }
        }
        ticks
    }

    /// Faint lines behind everything, and the line of time zero.
    pub(in crate::figure::timeline) fn draw_grid(&self, into: &mut Element, top: f64, bottom: f64) {
        for Tick { x, .. } in self.ticks() {
            into.add(svg::line(x, top, x, bottom).class("grid-line").stroke(INK_FAINT, 0.75));
        }
        let zero = self.x(Offset::ZERO);
        into.add(
            svg::line(zero, top, zero, bottom)
                .class("zero-line")
                .stroke(INK, 1.0)
                .set("stroke-dasharray", "2 3"),
        );
    }

    /// The axis with its ticks and labels, at `y`; it takes [`HEIGHT`] below that.
    pub(in crate::figure::timeline) fn draw(&self, into: &mut Element, y: f64) {
        let axis_line = |from, to| svg::line(from, y, to, y).class("axis-line").stroke(INK_SOFT, 1.0);
        let mut from = self.left;
        for gap in self.breaks() {
            into.add(axis_line(from, gap.from));
            from = gap.to;
        }
        into.add(axis_line(from, self.right));
        for Tick { x, label, .. } in self.ticks() {
            into.add(svg::line(x, y, x, y + 6.0).class("axis-tick").stroke(INK_SOFT, 1.0));
            into.add(
                svg::text(x, y + 20.0, 12.5, Anchor::Middle, &label)
                    .class("axis-text")
                    .set("font-family", svg::MONO),
            );
        }
        into.add(svg::text(self.left - 12.0, y + 20.0, 12.5, Anchor::End, "minutes").class("axis-title"));
    }

    /// The breaks: paper over what is between `top` and `bottom`, two slanted strokes, and beneath
    /// the axis labels the length of the time that is cut out.
    pub(in crate::figure::timeline) fn draw_breaks(&self, into: &mut Element, top: f64, bottom: f64) {
        const SLANT: f64 = 5.0;
        for gap in self.breaks() {
            let middle = f64::midpoint(gap.from, gap.to);
            let (left, right) = (middle - 5.0, middle + 5.0);
            into.add(
                Path::from(left + SLANT, top)
                    .line(right + SLANT, top)
                    .line(right - SLANT, bottom)
                    .line(left - SLANT, bottom)
                    .close()
                    .element()
                    .class("axis-break-gap")
                    .fill(PAPER),
            );
            for x in [left, right] {
                into.add(
                    Path::from(x + SLANT, top)
                        .line(x - SLANT, bottom)
                        .element()
                        .class("axis-break")
                        .set("fill", "none")
                        .stroke(INK_SOFT, 1.0),
                );
            }
        }
    }

    /// The lengths of the breaks, centred beneath them at `y`.
    pub(in crate::figure::timeline) fn draw_break_lengths(&self, into: &mut Element, y: f64) {
        for gap in self.breaks() {
            let middle = f64::midpoint(gap.from, gap.to);
            into.add(svg::text(middle, y, 12.5, Anchor::Middle, &gap.label).class("axis-title"));
        }
    }
}
