//! Judgements of several reviewers on an ordered scale: a dot for each, and where the middle is.

mod median;
mod words;

use super::count_word::quoted;
use super::scale::float;
use super::svg::{self, Anchor, Element, INK, INK_SOFT, PAPER, Path};
use super::{Figure, number};
pub use median::Median;

/// The judgements on one scale. Who gave which is not known here.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct RatingChart {
    /// What is judged, such as `Avoidability`.
    pub scale: String,
    /// The steps from the least to the most.
    pub steps: Vec<RatingStep>,
}

/// One step of a scale.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct RatingStep {
    /// Its words.
    pub label: String,
    /// How many judged so.
    pub count: u32,
}

const WIDTH: f64 = 960.0;
/// The room left of the steps.
const GUTTER: f64 = 112.0;
/// The greatest width of a step.
const WIDEST: f64 = 190.0;
/// The size of a step's words and from one line to the next.
const SIZE: f64 = 14.0;
const LINE: f64 = 17.0;
const MOST_LINES: usize = 5;
const NOTE_SIZE: f64 = 12.5;
/// Where the range is drawn, and the highest dot.
const RANGE: f64 = 30.0;
const DOTS: f64 = 48.0;
/// From one dot to the next, and its radius.
const PITCH: f64 = 22.0;
const RADIUS: f64 = 8.5;
/// With more judgements than this on one step they are drawn as a column.
const MOST_DOTS: u32 = 14;
/// The height of the tallest column, and its width.
const COLUMN: (f64, f64) = (MOST_DOTS as f64 * PITCH, 34.0);

impl RatingChart {
    /// Draws it. `prefix` makes its ids unique on the page.
    #[must_use]
    pub fn draw(&self, prefix: &str) -> Figure {
        let plot = Plot::of(self);
        let (title, summary) = (self.title(), self.summary());
        let mut root = svg::root(prefix, &title, &summary, WIDTH, plot.height());
        root.add(
            svg::line(GUTTER, plot.base, plot.right(), plot.base).class("axis-line").stroke(INK_SOFT, 1.0),
        );
        let n = svg::fit(&format!("n = {}", self.n_words()), SIZE, GUTTER - 8.0);
        root.add(svg::text(0.0, plot.base - 4.0, SIZE, Anchor::Start, &n).class("rating-n"));
        for (index, step) in self.steps.iter().enumerate() {
            plot.draw_step(&mut root, step, index);
        }
        if let Some(median) = self.median() {
            self.draw_range(&mut root, &plot, median);
        }
        Figure { title, description: self.description(), svg: root.write(), table: self.table(), summary }
    }

    /// How many judgements there are.
    fn n(&self) -> u64 {
        self.steps.iter().map(|step| u64::from(step.count)).sum()
    }

    fn n_words(&self) -> String {
        count_words(self.n())
    }

    /// The middle of the judgements; `None` without one.
    #[must_use]
    pub fn median(&self) -> Option<Median> {
        let counts: Vec<u32> = self.steps.iter().map(|step| step.count).collect();
        Median::of(&counts)
    }

    /// The first and the last step that anybody chose.
    fn range(&self) -> Option<(usize, usize)> {
        let used = |step: &RatingStep| step.count > 0;
        Some((self.steps.iter().position(used)?, self.steps.iter().rposition(used)?))
    }

    /// The bracket from the least to the most, with a diamond at the middle.
    fn draw_range(&self, into: &mut Element, plot: &Plot, median: Median) {
        let Some((first, last)) = self.range() else { return };
        let (from, to) = (plot.middle(first), plot.middle(last));
        if last > first {
            let bracket =
                Path::from(from, RANGE + 8.0).line(from, RANGE).line(to, RANGE).line(to, RANGE + 8.0);
            into.add(bracket.element().class("rating-range").set("fill", "none").stroke(INK, 1.5));
            let range = svg::text(0.0, RANGE + 4.5, NOTE_SIZE, Anchor::Start, "range");
            into.add(range.class("rating-note").fill(INK_SOFT));
        }
        let (low, high) = median.steps();
        let x = f64::midpoint(plot.middle(low), plot.middle(high));
        let reach = 7.0;
        let diamond = Path::from(x - reach, RANGE)
            .line(x, RANGE - reach)
            .line(x + reach, RANGE)
            .line(x, RANGE + reach)
            .close();
        into.add(diamond.element().class("rating-median").fill(INK).stroke(PAPER, 1.5));
        let word = match median {
            Median::At(_) => "median",
            Median::Between(..) => "median, between two steps",
        };
        let x = x.min(WIDTH - svg::text_width(word, SIZE) / 2.0 - 1.0);
        into.add(svg::text(x, RANGE - 14.0, SIZE, Anchor::Middle, word).class("rating-word middle"));
    }
}

/// Where the steps stand.
struct Plot {
    step: f64,
    count: usize,
    base: f64,
    labels: Vec<Vec<String>>,
    /// The most judgements on one step.
    most: u32,
}

impl Plot {
    fn of(chart: &RatingChart) -> Self {
        let count = chart.steps.len();
        let step = ((WIDTH - GUTTER) / float(count.max(1))).min(WIDEST);
        let most = chart.steps.iter().map(|step| step.count).max().unwrap_or(0);
        let stack = if most > MOST_DOTS { COLUMN.0 } else { f64::from(most.max(2)) * PITCH };
        // Above a stack stands its count.
        let base = DOTS + 20.0 + stack;
        let labels = chart.steps.iter().map(|s| svg::wrap(&s.label, SIZE, step - 14.0, MOST_LINES)).collect();
        Self { step, count, base, labels, most }
    }

    fn right(&self) -> f64 {
        GUTTER + float(self.count.max(1)) * self.step
    }

    fn middle(&self, index: usize) -> f64 {
        GUTTER + (float(index) + 0.5) * self.step
    }

    fn height(&self) -> f64 {
        let lines = self.labels.iter().map(Vec::len).max().unwrap_or(0);
        self.base + 14.0 + float(lines) * LINE
    }

    fn draw_step(&self, into: &mut Element, step: &RatingStep, index: usize) {
        let x = self.middle(index);
        into.add(svg::line(x, self.base, x, self.base + 5.0).class("axis-tick").stroke(INK_SOFT, 1.0));
        for (index, line) in self.labels[index].iter().enumerate() {
            let y = self.base + 22.0 + float(index) * LINE;
            into.add(svg::text(x, y, SIZE, Anchor::Middle, line).class("rating-label middle"));
        }
        if step.count == 0 {
            return;
        }
        let top = if self.most > MOST_DOTS {
            self.draw_column(into, x, step.count)
        } else {
            self.draw_dots(into, x, step.count)
        };
        let count = svg::fit(&count_words(u64::from(step.count)), NOTE_SIZE, self.step - 8.0);
        into.add(
            svg::text(x, top - 6.0, NOTE_SIZE, Anchor::Middle, &count)
                .class("rating-count middle")
                .fill(INK_SOFT),
        );
    }

    /// A dot for each; gives the top of the stack.
    fn draw_dots(&self, into: &mut Element, x: f64, count: u32) -> f64 {
        for place in 0..count {
            let y = self.base - (f64::from(place) + 0.5) * PITCH;
            let dot = Element::new("circle").num("cx", x).num("cy", y).num("r", RADIUS);
            into.add(dot.class("rating-dot").fill(INK));
        }
        self.base - f64::from(count) * PITCH
    }

    /// A column for very many; gives its top.
    fn draw_column(&self, into: &mut Element, x: f64, count: u32) -> f64 {
        let height = (COLUMN.0 * f64::from(count) / f64::from(self.most)).max(1.0);
        let width = COLUMN.1.min(self.step - 4.0);
        into.add(
            svg::rect(x - width / 2.0, self.base - height, width, height).class("rating-column").fill(INK),
        );
        self.base - height
    }
}

fn count_words(count: u64) -> String {
    #[expect(clippy::cast_precision_loss, reason = "counts of people")]
    number::read(count as f64)
}

#[cfg(test)]
mod examples;
#[cfg(test)]
mod tests;
