//! Serial laboratory values over time, drawn against the limits that decide.
//!
//! A value is a dot at the time at which it was drawn, with its row of the table in brackets; a
//! short tail runs to the time at which the result came back. A limit is a dashed line for as long
//! as it counts, named at its right end. The picture never squeezes the values to make room for a
//! limit, a result or a window far away from them: what has no place on it is told beneath it.

mod limits;
mod notes;
mod points;
mod spans;
mod time_axis;
mod value_axis;
mod words;

use super::svg::{self, Anchor, INK_SOFT};
use super::{Figure, number, scale::float};
use crate::quantity::Offset;
use limits::Limits;
use spans::Spans;
use time_axis::{TimeAxis, TimeRange};
use value_axis::ValueAxis;

/// Serial values of one laboratory test in one unit.
#[derive(Debug, Clone, PartialEq)]
pub struct SeriesChart {
    /// What it finds, in one line.
    pub title: String,
    /// What was measured, such as `Troponin`.
    pub quantity: String,
    /// The unit of every value and limit, such as `ng/L`; may be empty.
    pub unit: String,
    /// The values, in the order of the table.
    pub points: Vec<SeriesPoint>,
    /// The limits that decide.
    pub limits: Vec<SeriesLimit>,
    /// Stretches of time, such as the procedure, or moments, such as the end of a window.
    pub spans: Vec<SeriesSpan>,
    /// Where the limits come from, one sentence for the summary; may be empty.
    pub source: String,
}

/// One value.
#[derive(Debug, Clone, PartialEq)]
pub struct SeriesPoint {
    /// The number of its row in the table.
    pub number: u32,
    /// When it was drawn.
    pub at: Offset,
    /// When the result came back, if that is recorded.
    pub returned: Option<Offset>,
    /// The value in the unit of the chart. One that is not finite is told and not drawn.
    pub value: f64,
    /// The value as it was recorded, with its own unit.
    pub written: String,
    /// What else the table says of it; may be empty.
    pub note: String,
}

/// A limit that decides.
#[derive(Debug, Clone, PartialEq)]
pub struct SeriesLimit {
    /// What it is, such as `5 × the 99th percentile`.
    pub label: String,
    /// Where it lies, in the unit of the chart.
    pub value: f64,
    /// The same with its unit, such as `70 ng/L`.
    pub written: String,
    /// From when it counts, that moment included; `None`: from the beginning.
    pub from: Option<Offset>,
    /// Until when it counts, that moment included; `None`: to the end.
    pub until: Option<Offset>,
}

/// A stretch of time; a moment when its ends are the same.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SeriesSpan {
    /// What it is, such as `procedure`.
    pub label: String,
    /// Its beginning.
    pub from: Offset,
    /// Its end.
    pub to: Offset,
}

/// The width of the drawing in its own units.
const WIDTH: f64 = 960.0;
/// The height of the plot.
const HEIGHT: f64 = 180.0;
/// The size of every text.
const SIZE: f64 = 12.5;

/// The plot: where a moment and a value stand in it.
struct Plot {
    left: f64,
    right: f64,
    top: f64,
    time: TimeAxis,
    value: ValueAxis,
}

impl Plot {
    const fn bottom(&self) -> f64 {
        self.top + HEIGHT
    }

    /// The height of a value, and whether it has one: below a log scale is no room for 0.
    fn y(&self, value: f64) -> Option<f64> {
        self.value.y(value).map(|y| self.top + y)
    }
}

impl SeriesChart {
    /// Draws it. `prefix` makes its ids unique on the page.
    #[must_use]
    pub fn draw(&self, prefix: &str) -> Figure {
        let range = TimeRange::of(self);
        let value = ValueAxis::fit(&self.values(), &self.limit_values());
        let limits = Limits::choose(&self.limits, &value, range);
        let (left, right) = (value.gutter(), WIDTH - limits.gutter());
        let time = TimeAxis::fit(range, left, right);
        let spans = Spans::place(&self.spans, &time);
        let plot = Plot { left, right, top: 22.0 + spans.height(), time, value };
        let dots = points::place(self, &plot, &limits, &spans);
        let notes = notes::of(self, &plot.value, &limits, &spans);

        let lines = notes.iter().flat_map(|note| svg::wrap(note, SIZE, WIDTH - left, NOTE_LINES));
        let lines: Vec<String> = lines.collect();
        let notes_top = plot.bottom() + 60.0;
        let height = plot.bottom() + 46.0 + float(lines.len()) * NOTE_STEP;
        let summary = words::summary(self);
        let mut root = svg::root(prefix, &self.title, &summary, WIDTH, height);
        spans.draw_bands(&mut root, &plot);
        plot.value.draw(&mut root, &plot, &words::value_title(self, &plot.value));
        plot.time.draw(&mut root, &plot);
        spans.draw_labels(&mut root, &plot);
        limits.draw(&mut root, &plot);
        points::draw(&mut root, &dots, &plot);
        for (index, line) in lines.iter().enumerate() {
            let y = notes_top + float(index) * NOTE_STEP;
            root.add(svg::text(plot.left, y, SIZE, Anchor::Start, line).class("limit-text").fill(INK_SOFT));
        }
        Figure {
            title: self.title.clone(),
            description: words::description(self, &plot.value, &notes),
            svg: root.write(),
            table: words::table(self),
            summary,
        }
    }

    /// The values that have a place on some scale.
    fn values(&self) -> Vec<f64> {
        self.points.iter().filter_map(|point| number::plotted(point.value)).collect()
    }

    fn limit_values(&self) -> Vec<f64> {
        self.limits.iter().filter_map(|limit| number::plotted(limit.value)).collect()
    }
}

impl SeriesLimit {
    /// Whether it counts at a moment; both ends are included.
    fn counts_at(&self, at: Offset) -> bool {
        self.from.is_none_or(|from| from <= at) && self.until.is_none_or(|until| at <= until)
    }
}

/// How many lines a note under the plot may take, and how far apart they stand.
const NOTE_LINES: usize = 4;
const NOTE_STEP: f64 = 17.0;

#[cfg(test)]
mod examples;
#[cfg(test)]
mod tests;
