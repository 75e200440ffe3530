//! The complications under the lanes: from began over recognised to controlled, with the minutes
//! written on them.

use super::axis::TimeAxis;
use super::{Bracket, TimelineDrawing, words};
use crate::figure::svg::{self, Anchor, Element, INK, PAPER, Path};

/// From one row of brackets to the next.
const PITCH: f64 = 38.0;
const SIZE: f64 = 13.0;

/// The brackets with their places.
pub(super) struct Brackets {
    placed: Vec<Placed>,
    /// The height they take together.
    pub(super) height: f64,
}

struct Placed {
    from: f64,
    recognised: Option<f64>,
    /// Where it ends, and whether that is its end or only where the drawing ends.
    to: f64,
    starts: bool,
    ends: bool,
    text: String,
    text_from: f64,
    anchor: Anchor,
    row: usize,
}

/// Finds each bracket its row.
pub(super) fn place(drawing: &TimelineDrawing, axis: &TimeAxis) -> Brackets {
    let mut ends: Vec<f64> = Vec::new();
    let mut placed: Vec<Placed> =
        drawing.brackets.iter().filter_map(|bracket| spot(drawing, bracket, axis)).collect();
    placed.sort_by(|a, b| a.from.total_cmp(&b.from));
    for bracket in &mut placed {
        let from = bracket.from.min(bracket.text_from);
        let to = bracket.to.max(bracket.text_from + svg::text_width(&bracket.text, SIZE));
        bracket.row = ends.iter().position(|end| end + 14.0 <= from).unwrap_or(ends.len());
        if bracket.row == ends.len() {
            ends.push(to);
        } else {
            ends[bracket.row] = to;
        }
    }
    let rows = f64::from(u16::try_from(ends.len()).unwrap_or(u16::MAX));
    Brackets { placed, height: rows * PITCH }
}

fn spot(drawing: &TimelineDrawing, bracket: &Bracket, axis: &TimeAxis) -> Option<Placed> {
    let first = bracket.began.or(bracket.recognised).or(bracket.controlled)?;
    let from = axis.x(first);
    let to = bracket.controlled.map_or(axis.right, |at| axis.x(at));
    let text = svg::fit(&words::bracket(drawing, bracket), SIZE, axis.right - axis.left);
    // A text that would run out of the plot ends where the plot ends.
    let latest = axis.right - svg::text_width(&text, SIZE);
    let (text_from, anchor) = if from > latest { (latest, Anchor::End) } else { (from, Anchor::Start) };
    Some(Placed {
        from,
        recognised: bracket.recognised.map(|at| axis.x(at)),
        to: to.max(from),
        starts: bracket.began.is_some(),
        ends: bracket.controlled.is_some(),
        text,
        text_from,
        anchor,
        row: 0,
    })
}

impl Brackets {
    /// Draws them from `top` down.
    pub(super) fn draw(&self, into: &mut Element, top: f64) {
        for placed in &self.placed {
            let y = top + 6.0 + f64::from(u16::try_from(placed.row).unwrap_or(u16::MAX)) * PITCH;
            placed.draw(into, y);
        }
    }
}

impl Placed {
    fn draw(&self, into: &mut Element, y: f64) {
        const HOOK: f64 = 7.0;
        let mut path = if self.starts {
            Path::from(self.from, y - HOOK + 2.0).line(self.from, y + 2.0)
        } else {
            Path::from(self.from, y + 2.0)
        };
        path = path.line(self.to, y + 2.0);
        path = if self.ends {
            path.line(self.to, y - HOOK + 2.0)
        } else {
            path.hop(self.to - 6.0, y - 2.0).line(self.to, y + 2.0).line(self.to - 6.0, y + 6.0)
        };
        into.add(path.element().class("bracket").set("fill", "none").stroke(INK, 1.5));
        if let Some(x) = self.recognised {
            into.add(
                Element::new("circle")
                    .class("bracket-dot")
                    .num("cx", x)
                    .num("cy", y + 2.0)
                    .num("r", 4.0)
                    .fill(PAPER)
                    .stroke(INK, 1.5),
            );
        }
        let x = match self.anchor {
            Anchor::End => self.text_from + svg::text_width(&self.text, SIZE),
            _ => self.text_from,
        };
        into.add(svg::text(x, y + 20.0, SIZE, self.anchor, &self.text).class("bracket-text"));
    }
}
