//! Odds ratios with their intervals on a log scale, on both sides of no association.

mod row;
mod words;

use super::plot::{SIZE, WIDTH, axis_title};
use super::sheet::{self, Told};
use crate::figure::interval::Interval;
use crate::figure::log::{log_ticks, round_down, round_up};
use crate::figure::scale::{Linear, float};
use crate::figure::svg::{self, Anchor, Element, INK, INK_SOFT};
use crate::figure::{Figure, number, rows};

/// How much more often something is found with each of several features.
#[derive(Debug, Clone, PartialEq)]
pub struct OddsChart {
    /// What it finds, in one line.
    pub title: String,
    /// What the intervals are, such as `odds ratio, exact 95 % interval`.
    pub unit: String,
    /// What one row is, such as `Feature`; the first column of the table.
    pub what: String,
    /// What it is made of, such as `41 events in 5,230 procedures`; may be empty.
    pub counted: String,
    /// What a ratio below 1 means, such as `less often with it`.
    pub less: String,
    /// What a ratio above 1 means, such as `more often with it`.
    pub more: String,
    /// What the mark of a row that stands means, such as `stands after correction for 6 features`.
    pub stands_label: String,
    /// The rows, from top to bottom.
    pub rows: Vec<OddsRow>,
    /// How the ratios and the correction are made, where that is published, and what to beware of.
    pub source_rule: String,
}

/// One feature.
#[derive(Debug, Clone, PartialEq)]
pub struct OddsRow {
    /// What it is.
    pub label: String,
    /// The ratio with its limits: 0 or more, infinite where a cell is empty; `None`: no ratio.
    pub ratio: Option<Interval>,
    /// What it is made of, such as `9 of 31 with, 12 of 210 without`, or why there is no ratio.
    pub counts: String,
    /// What the table says of chance, such as `p 0.003, corrected 0.018`; may be empty.
    pub chance: String,
    /// Whether it stands after correction for how many were looked at.
    pub stands: bool,
}

/// The room left of the plot for names, and right of it for numbers.
const NAMES: f64 = 236.0;
const NUMBERS: f64 = 270.0;
const RIGHT: f64 = WIDTH - NUMBERS - 16.0;
/// The top of the plot, and from one row to the next.
const TOP: f64 = 26.0;
const ROW: f64 = 48.0;
/// The least distance between two ticks.
const TICK_ROOM: f64 = 44.0;
/// A ratio further than this from 1, as a factor, does not stretch the scale.
const FURTHEST: f64 = 50.0;
/// How many times beyond the ratios an end of an interval may lie and still stretch the scale.
const REACH: f64 = 6.0;

/// A log scale of ratios.
struct Ratios {
    from: f64,
    to: f64,
}

impl Ratios {
    /// Holds 1, the ratios and most of their intervals.
    fn of(rows: &[OddsRow]) -> Self {
        let ratios = || rows.iter().filter_map(OddsRow::ratio);
        let usable = |value: &f64| *value >= 1.0 / FURTHEST && *value <= FURTHEST;
        let (low, high) = ratios()
            .map(|ratio| ratio.estimate)
            .filter(usable)
            .fold((1.0, 1.0), |(low, high): (f64, f64), ratio| (low.min(ratio), high.max(ratio)));
        let ends = ratios().flat_map(|ratio| [ratio.low, ratio.high]);
        let near = ends.filter(|end| *end >= low / REACH && *end <= high * REACH);
        let (from, to) = near.fold((low, high), |(from, to): (f64, f64), end| (from.min(end), to.max(end)));
        Self { from: round_down((from / 1.1).min(0.5)), to: round_up((to * 1.1).max(2.0)) }
    }

    fn scale(&self) -> Linear {
        Linear { from: (self.from.log10(), NAMES), to: (self.to.log10(), RIGHT) }
    }

    /// The coordinate of a ratio, kept within the plot.
    fn x(&self, ratio: f64) -> f64 {
        if ratio <= self.from {
            NAMES
        } else if ratio >= self.to {
            RIGHT
        } else {
            self.scale().at(ratio.log10())
        }
    }

    fn holds(&self, ratio: f64) -> bool {
        ratio >= self.from && ratio <= self.to
    }
}

impl OddsRow {
    /// The ratio, unless it is no number.
    fn ratio(&self) -> Option<&Interval> {
        let is_number =
            |ratio: &&Interval| [ratio.low, ratio.estimate, ratio.high].iter().all(|end| !end.is_nan());
        self.ratio.as_ref().filter(is_number)
    }
}

impl OddsChart {
    /// Draws it. `prefix` makes its ids unique on the page.
    #[must_use]
    pub fn draw(&self, prefix: &str) -> Figure {
        let ratios = Ratios::of(&self.rows);
        let bottom = TOP + float(self.rows.len().max(1)) * ROW;
        let notes = words::notes(self, &ratios);
        let mut drawn = Element::new("g");
        self.draw_axis(&mut drawn, &ratios, bottom);
        for (index, row) in self.rows.iter().enumerate() {
            row::draw(&mut drawn, row, &ratios, TOP + (float(index) + 0.5) * ROW);
        }
        if self.rows.is_empty() {
            let y = TOP + ROW / 2.0 + 4.5;
            let words = "none looked at yet";
            drawn.add(svg::text(ratios.x(1.0) + 10.0, y, SIZE, Anchor::Start, words).class("point-text"));
        }
        let told = Told {
            description: words::description(self, &notes),
            table: words::table(self),
            summary: words::summary(self),
        };
        sheet::figure((prefix, &self.title), drawn, (0.0, bottom + 46.0), &notes, told)
    }

    /// The grid, the line of no association, and what lies on either side of it.
    fn draw_axis(&self, root: &mut Element, ratios: &Ratios, bottom: f64) {
        let ticks = log_ticks(ratios.from, ratios.to, RIGHT - NAMES, TICK_ROOM);
        let ticks = ticks.into_iter().map(|tick| (ratios.x(tick), number::tick(tick, true)));
        rows::ticks(root, ticks, TOP, bottom);
        root.add(svg::line(NAMES, bottom, RIGHT, bottom).class("axis-line").stroke(INK_SOFT, 1.0));
        let one = ratios.x(1.0);
        root.add(svg::line(one, TOP - 6.0, one, bottom).class("one-line").stroke(INK, 1.25));
        let less = svg::fit(&format!("← {}", self.less.trim()), SIZE, one - 10.0);
        root.add(svg::text(one - 8.0, 15.0, SIZE, Anchor::End, &less).class("axis-title end").fill(INK_SOFT));
        let more = svg::fit(self.more.trim(), SIZE, WIDTH - one - 40.0);
        root.add(axis_title(one + 8.0, 15.0, &format!("{more} →"), WIDTH - one - 8.0));
        let title = format!("{} (log scale; 1: no association)", self.unit.trim());
        root.add(axis_title(NAMES, bottom + 38.0, title.trim(), WIDTH - NAMES));
    }
}

#[cfg(test)]
mod examples;
#[cfg(test)]
mod tests;
