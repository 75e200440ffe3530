//! Rates with their intervals on one scale: a bar for a row of a table, and a chart of all.

use super::scale::{Linear, float, nice_step, nice_ticks};
use super::svg::{self, Anchor, Element, INK, INK_FAINT, INK_SOFT, PAPER, Path};
use super::{Distance, Figure, FigureTable, rows};

/// An estimate with its limits, in any unit; nothing below 0.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Interval {
    /// The lower limit.
    pub low: f64,
    /// The estimate.
    pub estimate: f64,
    /// The upper limit.
    pub high: f64,
}

impl Interval {
    fn words(&self) -> String {
        format!("{} ({} to {})", one_decimal(self.estimate), one_decimal(self.low), one_decimal(self.high))
    }
}

/// A row of the chart.
#[derive(Debug, Clone, PartialEq)]
pub struct RateRow {
    /// The mechanism.
    pub label: String,
    /// The rate in the period; `None` when there is none, such as without procedures at risk.
    pub now: Option<Interval>,
    /// The rate in the period before.
    pub previous: Option<Interval>,
    /// What the rate is made of, such as `3 of 412`, or why there is none.
    pub counts: String,
}

/// Rates by mechanism.
#[derive(Debug, Clone, PartialEq)]
pub struct RateChart {
    /// What it finds, in one line.
    pub title: String,
    /// The unit, such as `per 1,000 procedures at risk`.
    pub unit: String,
    /// The rows, from top to bottom.
    pub rows: Vec<RateRow>,
}

/// The round number up to which a scale must reach to hold these intervals.
#[must_use]
pub fn shared_top<'a>(intervals: impl IntoIterator<Item = &'a Interval>) -> f64 {
    let highest = intervals
        .into_iter()
        .flat_map(|interval| [interval.high, interval.estimate])
        .filter(|value| value.is_finite())
        .fold(0.0, f64::max);
    round_up(highest)
}

/// The least round number that is not below a value; 1 for 0.
fn round_up(value: f64) -> f64 {
    if value <= 0.0 {
        return 1.0;
    }
    let step = nice_step(value, 5.0);
    (value / step - 1e-9).ceil() * step
}

/// How far a scale reaches, in upper limits of the middle interval.
const REACH: f64 = 6.0;

/// The round number up to which a scale reaches so that most intervals can be read on it: to every
/// estimate, and to [`REACH`] times the median upper limit. One interval that is much wider than
/// the others would press them all against 0; it ends in an arrow instead.
#[must_use]
pub fn readable_top<'a>(intervals: impl IntoIterator<Item = &'a Interval>) -> f64 {
    let intervals: Vec<&Interval> = intervals.into_iter().collect();
    let mut highs: Vec<f64> = intervals.iter().map(|i| i.high).filter(|high| high.is_finite()).collect();
    highs.sort_by(f64::total_cmp);
    let median = highs.get(highs.len() / 2).copied().unwrap_or(0.0);
    let estimates = intervals.iter().map(|i| i.estimate).filter(|estimate| estimate.is_finite());
    let reach = estimates.fold(REACH * median, f64::max);
    shared_top(intervals).min(round_up(reach))
}

/// The width of a bar in a row, in its own units.
const ROW_WIDTH: f64 = 240.0;
const ROW_HEIGHT: f64 = 30.0;

/// A bar for a row of a table, on a scale from 0 to `top` that all rows share: the estimate a dot,
/// the interval a line, the period before it a paler line beneath. `words` says the same.
#[must_use]
pub fn inline_bar(
    prefix: &str,
    now: Option<&Interval>,
    previous: Option<&Interval>,
    top: f64,
    words: &str,
) -> String {
    let id: String = prefix.chars().filter(|c| c.is_ascii_alphanumeric() || *c == '-').collect();
    let scale = Linear { from: (0.0, 8.0), to: (top, ROW_WIDTH - 8.0) };
    let mut root = Element::new("svg")
        .set("xmlns", "http://www.w3.org/2000/svg")
        .class("fig fig-row")
        .set("viewBox", format!("0 0 {ROW_WIDTH} {ROW_HEIGHT}"))
        .num("width", ROW_WIDTH)
        .num("height", ROW_HEIGHT)
        .set("role", "img")
        .set("aria-labelledby", format!("{id}-title"))
        .with(Element::new("title").set("id", format!("{id}-title")).text(words));
    for tick in nice_ticks(top, 5.0) {
        let x = scale.at(tick);
        root.add(svg::line(x, 0.0, x, ROW_HEIGHT).class("grid-line").stroke(INK_FAINT, 0.75));
    }
    draw_pair(&mut root, &scale, now, previous, ROW_HEIGHT / 2.0);
    root.write()
}

/// The interval and, beneath it, the one of the period before.
fn draw_pair(
    into: &mut Element,
    scale: &Linear,
    now: Option<&Interval>,
    previous: Option<&Interval>,
    y: f64,
) {
    if let Some(previous) = previous {
        let y = y + 7.0;
        into.add(
            svg::line(scale.at(previous.low), y, scale.at(previous.high), y)
                .class("interval-previous")
                .stroke("#a3a3a3", 5.0),
        );
        let mut marks =
            Path::from(scale.at(previous.estimate), y - 4.0).line(scale.at(previous.estimate), y + 4.0);
        if previous.high > scale.to.0 {
            marks = arrow(marks, scale.to.1, y);
        }
        into.add(marks.element().class("interval-previous-estimate").set("fill", "none").stroke(INK, 1.5));
    }
    if let Some(now) = now {
        let y = y - 4.0;
        let (low, high) = (scale.at(now.low), scale.at(now.high));
        let bar = Path::from(low, y).line(high, y).hop(low, y - 4.0).line(low, y + 4.0);
        let bar = if now.high > scale.to.0 {
            arrow(bar, high, y)
        } else {
            bar.hop(high, y - 4.0).line(high, y + 4.0)
        };
        into.add(bar.element().class("interval-bar").set("fill", "none").stroke(INK, 2.0));
        let none = now.estimate <= 0.0;
        into.add(
            Element::new("circle")
                .class(if none { "interval-dot none" } else { "interval-dot" })
                .num("cx", scale.at(now.estimate))
                .num("cy", y)
                .num("r", 4.5)
                .set("fill", if none { PAPER } else { INK })
                .stroke(if none { INK } else { PAPER }, 1.5),
        );
    }
}

/// The end of a line that goes on beyond the scale.
fn arrow(path: Path, x: f64, y: f64) -> Path {
    path.hop(x - 5.0, y - 4.0).line(x, y).line(x - 5.0, y + 4.0)
}

const ROW: f64 = 40.0;
const COUNTS: f64 = 150.0;

/// Where the parts of a chart stand.
#[derive(Clone, Copy)]
struct Layout {
    /// Room for the names.
    labels: f64,
    /// Where the counts begin.
    counts: f64,
}

impl Layout {
    const fn of(distance: Distance) -> Self {
        let labels = match distance {
            Distance::Desk => 290.0,
            Distance::Room => 170.0,
        };
        Self { labels, counts: distance.width() - COUNTS }
    }
}

impl RateChart {
    /// Draws it. `prefix` makes its ids unique on the page.
    #[must_use]
    pub fn draw(&self, prefix: &str) -> Figure {
        self.draw_for(Distance::Desk, prefix)
    }

    /// Draws it to be looked at from this far.
    #[must_use]
    pub fn draw_for(&self, distance: Distance, prefix: &str) -> Figure {
        let layout = Layout::of(distance);
        let all = || self.rows.iter().flat_map(|row| row.now.iter().chain(&row.previous));
        let top = readable_top(all());
        let beyond = all().any(|interval| interval.high > top);
        let scale = Linear { from: (0.0, layout.labels), to: (top, layout.counts - 16.0) };
        let bottom = 8.0 + float(self.rows.len()) * ROW;
        let summary = self.summary();
        let mut root = svg::root(prefix, &self.title, &summary, distance.width(), bottom + 46.0);
        let ticks = nice_ticks(top, 5.0).into_iter().map(|tick| (scale.at(tick), tick_words(tick)));
        rows::ticks(&mut root, ticks, 4.0, bottom);
        root.add(
            svg::line(layout.labels, bottom, scale.to.1, bottom).class("axis-line").stroke(INK_SOFT, 1.0),
        );
        let unit = svg::fit(&self.unit, 12.5, distance.width() - layout.labels);
        root.add(
            svg::text(layout.labels, bottom + 38.0, 12.5, Anchor::Start, &unit)
                .class("axis-title")
                .fill(INK_SOFT),
        );
        for (index, row) in self.rows.iter().enumerate() {
            let y = 8.0 + (float(index) + 0.5) * ROW;
            draw_row(&mut root, row, (&scale, layout), y);
        }
        Figure {
            title: self.title.clone(),
            description: format!(
                "A dot is the rate, the line through it its interval, the paler line beneath the period before, {}.{}",
                self.unit,
                if beyond {
                    " An arrow: the interval goes on beyond the scale; the table has its limits."
                } else {
                    ""
                }
            ),
            svg: root.write(),
            table: self.table(),
            summary,
        }
    }

    fn table(&self) -> FigureTable {
        let mut table =
            FigureTable::with_columns(&["Mechanism", "Counts", "Rate (interval)", "Period before"]);
        for row in &self.rows {
            let words =
                |interval: Option<Interval>| interval.map_or_else(|| "no rate".to_owned(), |i| i.words());
            table.rows.push(vec![row.label.clone(), row.counts.clone(), words(row.now), words(row.previous)]);
        }
        table
    }

    fn summary(&self) -> String {
        let sentences: Vec<String> = self
            .rows
            .iter()
            .map(|row| match (&row.now, &row.previous) {
                (None, _) => format!("{}: no rate, {}.", row.label, row.counts),
                (Some(now), None) => format!("{}: {}, {}.", row.label, now.words(), row.counts),
                (Some(now), Some(before)) => {
                    format!("{}: {}, {}; before it {}.", row.label, now.words(), row.counts, before.words())
                }
            })
            .collect();
        format!("Rates {}. {}", self.unit, sentences.join(" "))
    }
}

fn draw_row(into: &mut Element, row: &RateRow, (scale, layout): (&Linear, Layout), y: f64) {
    rows::name(into, &row.label, y, layout.labels - 20.0);
    let counts = svg::fit(&row.counts, 12.5, COUNTS);
    into.add(
        svg::text(layout.counts, y + 4.5, 12.5, Anchor::Start, &counts).class("lane-note").fill(INK_SOFT),
    );
    draw_pair(into, scale, row.now.as_ref(), row.previous.as_ref(), y);
    if row.now.is_none() {
        into.add(
            svg::text(scale.from.1 + 10.0, y + 1.0, 12.5, Anchor::Start, "no rate")
                .class("lane-note")
                .fill(INK_SOFT),
        );
    }
}

/// A rate to one decimal; a text for what is no number.
fn one_decimal(value: f64) -> String {
    if value.is_finite() { format!("{value:.1}") } else { "unknown".to_owned() }
}

/// A tick without needless zeros; in powers of ten beyond what a rate can be.
fn tick_words(value: f64) -> String {
    if value != 0.0 && !(0.001..1e6).contains(&value.abs()) {
        return format!("{value:.0e}");
    }
    let text = format!("{value:.3}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

#[cfg(test)]
mod tests;
