//! The limits: which are drawn, from when to when, and their names at their right ends.

use super::time_axis::TimeRange;
use super::value_axis::{Place, ValueAxis};
use super::{HEIGHT, Plot, SIZE, SeriesLimit};
use crate::figure::line_end::{self, LEADER, STEP, spread};
use crate::figure::number;
use crate::figure::svg::{self, Element, INK_FAINT, INK_SOFT};

/// How many names there is room for.
const MOST: usize = 11;
/// The greatest width of a name.
const NAME: f64 = 270.0;

/// Why a limit is not drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Left {
    /// It lies above the scale.
    Above,
    /// It lies below the scale.
    Below,
    /// It counts only before or after the time that is drawn.
    OtherTime,
    /// There is no room for its name.
    NoRoom,
    /// It is no number.
    NoNumber,
}

/// The limits of a chart.
pub(super) struct Limits<'a> {
    drawn: Vec<&'a SeriesLimit>,
    /// Those that are not drawn, and why.
    pub(super) left: Vec<(&'a SeriesLimit, Left)>,
}

/// The name of a limit with where it lies.
pub(super) fn name(limit: &SeriesLimit) -> String {
    match (limit.label.trim(), limit.written.trim()) {
        (label, "") => label.to_owned(),
        ("", written) => written.to_owned(),
        (label, written) => format!("{label}, {written}"),
    }
}

/// The same, shortened to the room beside the plot; where it lies is kept whole if it can be.
fn short_name(limit: &SeriesLimit) -> String {
    let whole = name(limit);
    if svg::text_width(&whole, SIZE) <= NAME {
        return whole;
    }
    let written = svg::fit(&format!(", {}", limit.written.trim()), SIZE, NAME / 2.0);
    let room = NAME - svg::text_width(&written, SIZE);
    format!("{}{written}", svg::fit(limit.label.trim(), SIZE, room))
}

impl<'a> Limits<'a> {
    pub(super) fn choose(limits: &'a [SeriesLimit], axis: &ValueAxis, range: TimeRange) -> Self {
        let mut chosen = Self { drawn: Vec::new(), left: Vec::new() };
        for limit in limits {
            let reason = match number::plotted(limit.value).map(|value| axis.place(value)) {
                None => Left::NoNumber,
                Some(Place::Above) => Left::Above,
                Some(Place::Below) => Left::Below,
                Some(Place::On) if !counts_within(limit, range) => Left::OtherTime,
                Some(Place::On) if chosen.drawn.len() == MOST => Left::NoRoom,
                Some(Place::On) => {
                    chosen.drawn.push(limit);
                    continue;
                }
            };
            chosen.left.push((limit, reason));
        }
        // From the top down, so that their names have the order of their lines.
        chosen.drawn.sort_by(|a, b| b.value.total_cmp(&a.value));
        chosen
    }

    /// The room right of the plot.
    pub(super) fn gutter(&self) -> f64 {
        let names = self.drawn.iter().map(|limit| svg::text_width(&short_name(limit), SIZE));
        names.reduce(f64::max).map_or(10.0, |widest| widest + LEADER + 4.0)
    }

    /// The heights of the lines with their ends.
    fn lines<'s>(&'s self, plot: &'s Plot) -> impl Iterator<Item = (&'a SeriesLimit, Line)> + 's {
        self.drawn.iter().filter_map(|limit| {
            let range = plot.time.range;
            let starts = limit.from.filter(|from| from.seconds() > range.from);
            let stops = limit.until.filter(|until| until.seconds() < range.to);
            let line = Line {
                y: plot.y(number::plotted(limit.value)?)?,
                from: starts.map_or(plot.left, |from| plot.time.x(from)),
                to: stops.map_or(plot.right, |until| plot.time.x(until)),
                starts: starts.is_some(),
                stops: stops.is_some(),
            };
            Some((*limit, line))
        })
    }

    /// Where each line runs: its height, its left and its right end.
    pub(super) fn segments(&self, plot: &Plot) -> Vec<(f64, f64, f64)> {
        self.lines(plot).map(|(_, line)| (line.y, line.from, line.to)).collect()
    }

    pub(super) fn draw(&self, into: &mut Element, plot: &Plot) {
        let lines: Vec<(&SeriesLimit, Line)> = self.lines(plot).collect();
        let heights: Vec<f64> = lines.iter().map(|(_, line)| line.y - plot.top).collect();
        let names = spread(&heights, STEP, 4.0, HEIGHT - 4.0);
        for ((limit, line), name_y) in lines.iter().zip(names) {
            line.draw(into, plot.right, plot.top + name_y);
            into.add(line_end::name(plot.right, plot.top + name_y, &short_name(limit)));
        }
    }
}

/// Whether a limit counts at some moment that is drawn.
fn counts_within(limit: &SeriesLimit, range: TimeRange) -> bool {
    limit.from.is_none_or(|from| from.seconds() <= range.to)
        && limit.until.is_none_or(|until| until.seconds() >= range.from)
        && !matches!((limit.from, limit.until), (Some(from), Some(until)) if from > until)
}

struct Line {
    y: f64,
    from: f64,
    to: f64,
    starts: bool,
    stops: bool,
}

impl Line {
    /// The dashed line with a bar at an end within the plot, on as a faint line to the right edge,
    /// and from there the leader to its name.
    fn draw(&self, into: &mut Element, right: f64, name_y: f64) {
        let Self { y, from, to, .. } = *self;
        if to < right {
            into.add(svg::line(to, y, right, y).class("grid-line").stroke(INK_FAINT, 0.75));
        }
        into.add(
            svg::line(from, y, to, y)
                .class("limit-line")
                .stroke(INK_SOFT, 1.0)
                .set("stroke-dasharray", "6 4"),
        );
        for (x, _) in [(from, self.starts), (to, self.stops)].into_iter().filter(|(_, has_bar)| *has_bar) {
            into.add(svg::line(x, y - 4.0, x, y + 4.0).class("axis-tick").stroke(INK_SOFT, 1.0));
        }
        into.add(line_end::leader(right, y, name_y));
    }
}
