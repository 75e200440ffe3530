//! The complications under the lanes: from began over recognised and the first response to
//! controlled, with the minutes written on them.

use super::axis::TimeAxis;
use super::{Bracket, TimelineDrawing, words};
use crate::figure::svg::{self, Anchor, Element, INK, PAPER, Path};

/// From one row of brackets to the next, when each has one line of text.
const PITCH: f64 = 38.0;
/// Above the first row, and what of its pitch the last one does not need.
const ABOVE: f64 = 8.0;
const SPARE: f64 = 6.0;
const SIZE: f64 = 13.0;
const LINE: f64 = 16.0;
/// Words that are too long for the plot go on in a second line.
const MOST_LINES: usize = 2;
/// Half the width of the marks on a bracket.
const MARK: f64 = 5.0;

/// The brackets with their places.
pub(super) struct Brackets {
    placed: Vec<Placed>,
    /// How far below the top each row stands.
    rows: Vec<f64>,
    /// The height they take together.
    pub(super) height: f64,
}

struct Placed {
    from: f64,
    recognised: Option<f64>,
    responded: Option<f64>,
    /// Where it ends, and whether that is its end or only where the drawing ends.
    to: f64,
    starts: bool,
    ends: bool,
    lines: Vec<String>,
    text_from: f64,
    anchor: Anchor,
    row: usize,
}

/// A row: where its last bracket ends, and how many lines of text it has.
struct Row {
    end: f64,
    lines: usize,
}

/// Finds each bracket its row.
pub(super) fn place(drawing: &TimelineDrawing, axis: &TimeAxis) -> Brackets {
    let mut rows: Vec<Row> = Vec::new();
    let mut placed: Vec<Placed> =
        drawing.brackets.iter().filter_map(|bracket| spot(drawing, bracket, axis)).collect();
    placed.sort_by(|a, b| a.from.total_cmp(&b.from));
    for bracket in &mut placed {
        let (from, to) = bracket.reach();
        bracket.row = rows.iter().position(|row| row.end + 14.0 <= from).unwrap_or(rows.len());
        if bracket.row == rows.len() {
            rows.push(Row { end: to, lines: 1 });
        }
        let row = &mut rows[bracket.row];
        row.end = to;
        row.lines = row.lines.max(bracket.lines.len());
    }
    let mut height = ABOVE;
    let mut tops = Vec::new();
    for row in &rows {
        tops.push(height);
        height += PITCH + LINE * f64::from(u16::try_from(row.lines.saturating_sub(1)).unwrap_or(u16::MAX));
    }
    Brackets { placed, rows: tops, height: if rows.is_empty() { 0.0 } else { height - SPARE } }
}

fn spot(drawing: &TimelineDrawing, bracket: &Bracket, axis: &TimeAxis) -> Option<Placed> {
    let first = bracket.began.or_else(|| bracket.moments().min())?;
    let from = axis.x(first);
    let to = bracket.controlled.map_or(axis.right, |at| axis.x(at));
    let lines = svg::wrap(&words::bracket(drawing, bracket), SIZE, axis.right - axis.left, MOST_LINES);
    // A text that would run out of the plot ends where the plot ends.
    let latest = axis.right - text_width(&lines);
    let anchor = if from > latest && lines.len() == 1 { Anchor::End } else { Anchor::Start };
    let text_from = from.min(latest);
    Some(Placed {
        from,
        recognised: bracket.recognised.map(|at| axis.x(at)),
        responded: bracket.responded.map(|at| axis.x(at)),
        to: to.max(from),
        starts: bracket.began.is_some(),
        ends: bracket.controlled.is_some(),
        lines,
        text_from,
        anchor,
        row: 0,
    })
}

fn text_width(lines: &[String]) -> f64 {
    lines.iter().map(|line| svg::text_width(line, SIZE)).fold(0.0, f64::max)
}

impl Brackets {
    /// Draws them from `top` down.
    pub(super) fn draw(&self, into: &mut Element, top: f64) {
        for placed in &self.placed {
            placed.draw(into, top + self.rows.get(placed.row).copied().unwrap_or(ABOVE));
        }
    }
}

impl Placed {
    /// Its left and right end, with its words and its marks, which may lie beyond its control.
    fn reach(&self) -> (f64, f64) {
        let marks = || [self.recognised, self.responded].into_iter().flatten();
        let from = marks().map(|x| x - MARK).fold(self.from.min(self.text_from), f64::min);
        let to = self.to.max(self.text_from + text_width(&self.lines));
        (from, marks().map(|x| x + MARK).fold(to, f64::max))
    }

    fn draw(&self, into: &mut Element, y: f64) {
        self.draw_line(into, y);
        if let Some(x) = self.responded {
            // Beside a ring it stands on the line, over a ring on the ring.
            let over_ring = self.recognised.is_some_and(|ring| (ring - x).abs() < 2.0 * MARK);
            into.add(response(x, if over_ring { y - 3.5 } else { y + 1.5 }));
        }
        if let Some(x) = self.recognised {
            into.add(ring(x, y + 2.0));
        }
        let x = match self.anchor {
            Anchor::End => self.text_from + text_width(&self.lines),
            _ => self.text_from,
        };
        let mut baseline = y + 20.0;
        for line in &self.lines {
            into.add(svg::text(x, baseline, SIZE, self.anchor, line).class("bracket-text"));
            baseline += LINE;
        }
    }

    fn draw_line(&self, into: &mut Element, y: f64) {
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
    }
}

/// Where it was recognised: an open ring centred on the line.
pub(super) fn ring(x: f64, y: f64) -> Element {
    Element::new("circle")
        .class("bracket-dot")
        .num("cx", x)
        .num("cy", y)
        .num("r", 4.0)
        .fill(PAPER)
        .stroke(INK, 1.5)
}

/// Where the first thing was done about it: a solid triangle whose tip points down to `y`.
pub(super) fn response(x: f64, y: f64) -> Element {
    Path::from(x, y)
        .line(x - MARK, y - 7.0)
        .line(x + MARK, y - 7.0)
        .close()
        .element()
        .class("bracket-response")
        .fill(INK)
}

#[cfg(test)]
mod tests;
