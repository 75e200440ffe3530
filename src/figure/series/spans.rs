//! Stretches of time as pale bands, moments as thin lines, each named above the plot.

use std::cmp::{Ordering, Reverse};

use super::time_axis::TimeAxis;
use super::{Plot, SIZE, SeriesSpan, float};
use crate::figure::svg::{self, Anchor, Element, INK_SOFT};

/// The height of a row of names.
const ROW: f64 = 16.0;
/// How many rows of names there may be.
const MOST_ROWS: usize = 3;
/// The least width of a band.
const LEAST: f64 = 3.0;
/// The least distance between two names in a row.
const GAP: f64 = 12.0;

/// A span on the drawing.
#[derive(Debug)]
struct Placed {
    from: f64,
    to: f64,
    is_moment: bool,
    label: String,
    /// Where its name begins and ends.
    ends: (f64, f64),
    row: usize,
}

impl Placed {
    /// The line that leads from the name to what it names.
    const fn leader(&self) -> f64 {
        f64::midpoint(self.from, self.to)
    }

    /// Whether both have room: neither their names nor a name and the other's leader meet.
    fn is_clear_of(&self, other: &Self) -> bool {
        let meets = |x: f64, ends: (f64, f64)| ends.0 <= x && x <= ends.1;
        match self.row.cmp(&other.row) {
            Ordering::Equal => self.ends.1 + GAP <= other.ends.0 || other.ends.1 + GAP <= self.ends.0,
            Ordering::Greater => !meets(self.leader(), other.ends),
            Ordering::Less => !meets(other.leader(), self.ends),
        }
    }
}

/// The spans of a chart.
pub(super) struct Spans<'a> {
    placed: Vec<Placed>,
    /// Those that are not drawn, as they lie outside the time that is drawn or have no room.
    pub(super) left: Vec<&'a SeriesSpan>,
}

impl<'a> Spans<'a> {
    /// Places the names over the middle of their spans in one row; where they would meet there, like
    /// flags in several rows, the last lowest, so that no leader runs through a name.
    pub(super) fn place(spans: &'a [SeriesSpan], time: &TimeAxis) -> Self {
        let is_seen = |span: &&SeriesSpan| {
            let (first, last) = (span.from.min(span.to), span.from.max(span.to));
            first.seconds() <= time.range.to && last.seconds() >= time.range.from
        };
        let (mut seen, left): (Vec<&SeriesSpan>, Vec<&SeriesSpan>) = spans.iter().partition(is_seen);
        let mut found = Self { placed: Vec::new(), left };
        let centred: Vec<Placed> = seen.iter().map(|span| placed(span, time, Alignment::Centre)).collect();
        let collide = |index: usize| centred[..index].iter().any(|other| !centred[index].is_clear_of(other));
        if !(0..centred.len()).any(collide) {
            found.placed = centred;
            return found;
        }
        seen.sort_by_key(|span| Reverse((span.from.seconds() + span.to.seconds(), span.from)));
        for span in seen {
            let flags = (0..MOST_ROWS).map(|row| Placed { row, ..placed(span, time, Alignment::Flag) });
            let clear = |flag: &Placed| found.placed.iter().all(|other| flag.is_clear_of(other));
            match flags.into_iter().find(clear) {
                Some(flag) => found.placed.push(flag),
                None => found.left.push(span),
            }
        }
        found
    }

    /// How many rows of names there are.
    fn rows(&self) -> usize {
        self.placed.iter().map(|span| span.row + 1).max().unwrap_or(0)
    }

    /// The room that the names need above the plot.
    pub(super) fn height(&self) -> f64 {
        float(self.rows()) * ROW + 4.0
    }

    /// Where lines run down the plot.
    pub(super) fn moments(&self) -> impl Iterator<Item = f64> + '_ {
        self.placed.iter().filter(|span| span.is_moment).map(|span| span.from)
    }

    pub(super) fn draw_bands(&self, into: &mut Element, plot: &Plot) {
        for span in self.placed.iter().filter(|span| !span.is_moment) {
            let width = (span.to - span.from).max(LEAST);
            let left = span.from.min(plot.right - width);
            into.add(
                svg::rect(left, plot.top, width, plot.bottom() - plot.top).class("span-band").fill("#e4e4e4"),
            );
        }
    }

    pub(super) fn draw_labels(&self, into: &mut Element, plot: &Plot) {
        for span in &self.placed {
            let y = baseline(span.row, plot);
            if span.is_moment {
                into.add(
                    svg::line(span.from, plot.top, span.from, plot.bottom())
                        .class("leader")
                        .stroke(INK_SOFT, 1.0),
                );
            }
            if self.rows() > 1 {
                let x = span.leader();
                // Beside the name like the pole of a flag; from under it at the edge of the plot.
                let is_beside = x < span.ends.0 || x > span.ends.1;
                let from = if is_beside { y - 9.0 } else { y + 3.0 };
                into.add(svg::line(x, from, x, plot.top).class("leader").stroke(INK_SOFT, 1.0));
            }
            into.add(
                svg::text(span.ends.0, y, SIZE, Anchor::Start, &span.label)
                    .class("axis-title")
                    .fill(INK_SOFT),
            );
        }
    }
}

/// Where the names of a row stand; the first is the one next to the plot.
fn baseline(row: usize, plot: &Plot) -> f64 {
    plot.top - 5.0 - float(row) * ROW
}

#[derive(Debug, Clone, Copy)]
enum Alignment {
    /// Over the middle of the span.
    Centre,
    /// From the middle of the span on to the right.
    Flag,
}

/// A span with its name in the first row, kept within the plot.
fn placed(span: &SeriesSpan, time: &TimeAxis, alignment: Alignment) -> Placed {
    let label = svg::fit(&span.label, SIZE, (time.right - time.left) / 2.0);
    let width = svg::text_width(&label, SIZE);
    let (from, to) = (time.x(span.from.min(span.to)), time.x(span.from.max(span.to)));
    let start = match alignment {
        Alignment::Centre => f64::midpoint(from, to) - width / 2.0,
        Alignment::Flag => f64::midpoint(from, to) + 4.0,
    };
    let start = start.max(time.left).min(time.right - width);
    Placed { from, to, is_moment: span.from == span.to, label, ends: (start, start + width), row: 0 }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::figure::series::examples::span;
    use crate::figure::series::time_axis::TimeRange;

    fn axis() -> TimeAxis {
        TimeAxis::fit(TimeRange { from: 0, to: 48 * 3600 }, 50.0, 700.0)
    }

    fn rows(spans: &[SeriesSpan]) -> (Vec<(String, usize)>, usize) {
        let found = Spans::place(spans, &axis());
        for (index, one) in found.placed.iter().enumerate() {
            assert!(found.placed[..index].iter().all(|other| one.is_clear_of(other)), "{:?}", found.placed);
            assert!(one.ends.0 >= 50.0 && one.ends.1 <= 700.0, "{one:?}");
        }
        (found.placed.iter().map(|span| (span.label.clone(), span.row)).collect(), found.left.len())
    }

    #[test]
    fn names_that_have_room_stand_in_one_row() {
        let (placed, left) = rows(&[span("procedure", 0.0, 1.0), span("end", 48.0, 48.0)]);
        assert_eq!(placed, [("procedure".to_owned(), 0), ("end".to_owned(), 0)]);
        assert_eq!(left, 0);
    }

    #[test]
    fn names_that_would_meet_stand_like_flags_in_several_rows() {
        let spans = [span("procedure", 0.0, 1.0), span("second look", 0.5, 1.5), span("transfer", 2.0, 2.0)];
        let (placed, left) = rows(&spans);
        let named = |label: &str, row| (label.to_owned(), row);
        assert_eq!(placed, [named("transfer", 0), named("second look", 1), named("procedure", 2)]);
        assert_eq!(left, 0);
    }

    #[test]
    fn what_has_no_room_or_is_not_within_the_time_drawn_is_left_to_be_told() {
        let mut spans: Vec<SeriesSpan> = (0..9).map(|_| span("one and the same", 4.0, 5.0)).collect();
        spans.push(span("later", 60.0, 61.0));
        let (placed, left) = rows(&spans);
        assert_eq!((placed.len(), left), (3, 7));
    }
}
