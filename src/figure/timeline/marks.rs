//! The events over the lanes: a shape each, stacked where they are close, with a stem down to the
//! moment that is meant.

use super::axis::TimeAxis;
use super::{Mark, range, shapes, words};
use crate::figure::Distance;
use crate::figure::pack::{self, Place, Wish};
use crate::figure::svg::{self, Element, INK_SOFT, Path};

/// Room between the marks and the lanes, in which stems lead from a mark to its moment.
pub(super) const STEM: f64 = 18.0;
/// From one row of marks to the next.
const PITCH: f64 = shapes::HEIGHT + 3.0;
/// From one row of range bars to the next.
const RANGE_PITCH: f64 = 10.0;
/// At most so many rows before marks are pushed aside instead.
const MOST_ROWS: usize = 6;
/// The same on a wall, where there is no height to spare.
const MOST_ROWS_IN_ROOM: usize = 1;

/// The marks with their places.
pub(super) struct Marks<'a> {
    placed: Vec<Placed<'a>>,
    rows: f64,
    range_rows: f64,
    /// The height they take together, stems included.
    pub(super) height: f64,
}

struct Placed<'a> {
    mark: &'a Mark,
    /// Where its moment is.
    moment: f64,
    place: Place,
    range: Option<Range>,
}

struct Range {
    from: f64,
    to: f64,
    row: usize,
}

/// Finds each mark its place; marks come in order of time.
pub(super) fn place<'a>(marks: &'a [Mark], axis: &TimeAxis, distance: Distance) -> Marks<'a> {
    let rows = match distance {
        Distance::Desk => MOST_ROWS,
        Distance::Room => MOST_ROWS_IN_ROOM,
    };
    let moments: Vec<f64> = marks.iter().map(|mark| axis.x(mark.at)).collect();
    let wishes: Vec<Wish> =
        marks.iter().zip(&moments).map(|(mark, &x)| Wish { x, width: mark.family.width() }).collect();
    let places = pack::pack(&wishes, axis.left, axis.right, rows);
    let ranges = ranges(marks, axis);
    let count =
        |rows: Option<usize>| f64::from(u16::try_from(rows.map_or(0, |row| row + 1)).unwrap_or(u16::MAX));
    let rows = count(places.iter().map(|place| place.row).max());
    let range_rows = count(ranges.iter().flatten().map(|range| range.row).max());
    let placed = marks
        .iter()
        .zip(moments)
        .zip(places)
        .zip(ranges)
        .map(|(((mark, moment), place), range)| Placed { mark, moment, place, range })
        .collect();
    Marks { placed, rows, range_rows, height: rows * PITCH + range_rows * RANGE_PITCH + STEM }
}

/// The ranges of uncertain times, in rows so that none overlaps another.
fn ranges(marks: &[Mark], axis: &TimeAxis) -> Vec<Option<Range>> {
    let mut ends: Vec<f64> = Vec::new();
    let mut order: Vec<(usize, f64, f64)> = marks
        .iter()
        .enumerate()
        .filter(|(_, mark)| mark.is_uncertain())
        .filter_map(|(index, mark)| mark.bounds.map(|(a, b)| (index, axis.x(a), axis.x(b))))
        .collect();
    order.sort_by(|a, b| a.1.total_cmp(&b.1));
    let mut found: Vec<Option<Range>> = marks.iter().map(|_| None).collect();
    for (index, from, to) in order {
        let row = ends.iter().position(|end| end + 6.0 <= from).unwrap_or(ends.len());
        if row == ends.len() {
            ends.push(to);
        } else {
            ends[row] = to;
        }
        found[index] = Some(Range { from, to, row });
    }
    found
}

impl Marks<'_> {
    /// Draws them from `top` down to the lanes, whose upper walls are given.
    pub(super) fn draw(&self, into: &mut Element, top: f64, lane_tops: &[f64]) {
        let row_y = |row: usize| {
            let above = self.rows - 1.0 - f64::from(u16::try_from(row).unwrap_or(u16::MAX));
            top + above * PITCH + shapes::HEIGHT / 2.0
        };
        let ranges_top = top + self.rows * PITCH + 4.0;
        let elbow = ranges_top + self.range_rows * RANGE_PITCH;
        let bottom = top + self.height;
        let mut stems = Element::new("g");
        let mut shapes = Element::new("g");
        for placed in &self.placed {
            let y = row_y(placed.place.row);
            placed.draw_stem(&mut stems, y, ranges_top - 4.0, bottom, lane_tops);
            shapes.add(placed.mark.family.draw(
                placed.place.x,
                y,
                &placed.mark.number.to_string(),
                placed.mark.is_uncertain(),
                &words::mark_title(placed.mark),
            ));
            if let Some(range) = &placed.range {
                let row = f64::from(u16::try_from(range.row).unwrap_or(u16::MAX));
                let y = elbow - 4.0 - row * RANGE_PITCH;
                range::draw(&mut shapes, range.from, range.to, y, placed.mark.order_only);
                shapes.add(
                    Element::new("circle")
                        .class("range-dot")
                        .num("cx", placed.moment)
                        .num("cy", y)
                        .num("r", 3.0)
                        .fill(svg::INK),
                );
            }
        }
        into.add(stems);
        into.add(shapes);
    }
}

impl Placed<'_> {
    /// From the mark straight down past the rows, then over to its moment and down to the lanes; a
    /// dot on the wall of its own lane.
    fn draw_stem(&self, into: &mut Element, y: f64, elbow: f64, bottom: f64, lane_tops: &[f64]) {
        let x = self.place.x;
        let mut path = Path::from(x, y);
        if (x - self.moment).abs() > 0.5 {
            path = path.line(x, elbow - 2.0).line(self.moment, elbow + 8.0);
        }
        into.add(
            path.line(self.moment, bottom)
                .element()
                .class("leader")
                .set("fill", "none")
                .stroke(INK_SOFT, 1.0),
        );
        if let Some(&wall) = self.mark.lane.and_then(|lane| lane_tops.get(lane)) {
            into.add(
                Element::new("circle")
                    .class("mark-foot")
                    .num("cx", self.moment)
                    .num("cy", wall)
                    .num("r", 2.75)
                    .fill(svg::INK),
            );
        }
    }
}
