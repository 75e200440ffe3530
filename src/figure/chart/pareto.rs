//! What was found how often: bars ranked by their counts, on an axis of the share of cases.
//!
//! A case can have several causes, so the shares may add up to more than 100 %, and there is no
//! line that adds them up.

use super::notes::Notes;
use super::parts::head;
use super::plot::{SIZE, WIDTH, axis_title};
use super::reach::round_ends;
use super::sheet::{self, Told};
use crate::figure::scale::{Linear, float};
use crate::figure::sentence::{full_stop, sentences};
use crate::figure::svg::{self, Anchor, Element, INK_SOFT};
use crate::figure::{Figure, FigureTable, number, rows};

/// Findings ranked by how many cases have them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ParetoChart {
    /// What it finds, in one line.
    pub title: String,
    /// What one bar is, such as `Cause`; the first column of the table.
    pub what: String,
    /// What is counted, in the plural, such as `cases`.
    pub unit: String,
    /// How many there are in all: what the shares are shares of.
    pub all: u32,
    /// The bars, in any order; equal counts keep their order.
    pub bars: Vec<Bar>,
    /// How it is counted and what is left out. May be several sentences.
    pub source_rule: String,
}

/// One finding.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Bar {
    /// What was found.
    pub label: String,
    /// In how many; `None`: not shown, such as a count too small to leave the department.
    pub count: Option<u32>,
    /// What else the table says of it, such as why the count is not shown; may be empty.
    pub note: String,
}

/// The room left of the bars, and right of the scale for what is written after a bar.
const NAMES: f64 = 310.0;
const AFTER: f64 = 130.0;
/// From one bar to the next.
const ROW: f64 = 40.0;
/// The thickness of a bar.
const THICK: f64 = 18.0;
/// What is written instead of a count that is not shown.
const HIDDEN: &str = "not shown";

impl ParetoChart {
    /// Draws it. `prefix` makes its ids unique on the page.
    #[must_use]
    pub fn draw(&self, prefix: &str) -> Figure {
        let bars = self.ranked();
        let highest = bars.iter().filter_map(|bar| self.share(bar)).fold(0.0, f64::max);
        let (_, top, ticks) = round_ends(0.0, if highest > 0.0 { highest } else { 100.0 }, 5.0);
        let scale = Linear { from: (0.0, NAMES), to: (top, WIDTH - AFTER) };
        let bottom = 8.0 + float(bars.len().max(1)) * ROW;
        let mut notes = Notes::default();
        notes.say(&self.source_rule);

        let mut drawn = Element::new("g");
        let ticks = ticks.into_iter().map(|tick| (scale.at(tick), format!("{} %", number::tick(tick, true))));
        rows::ticks(&mut drawn, ticks, 4.0, bottom);
        for (index, bar) in bars.iter().enumerate() {
            self.draw_bar(&mut drawn, bar, &scale, 8.0 + (float(index) + 0.5) * ROW);
        }
        drawn.add(svg::line(NAMES, 4.0, NAMES, bottom).class("axis-line").stroke(INK_SOFT, 1.0));
        if bars.is_empty() {
            drawn.add(
                svg::text(NAMES + 10.0, 8.0 + ROW / 2.0 + 4.5, SIZE, Anchor::Start, "none yet")
                    .class("point-text"),
            );
        }
        drawn.add(axis_title(NAMES, bottom + 38.0, &self.axis_words(), WIDTH - NAMES));
        let description =
            format!("One bar for each, the most frequent first; its length is the {}.", self.axis_words());
        let told = Told { description, table: self.table(&bars), summary: self.summary(&bars) };
        sheet::figure((prefix, &self.title), drawn, (0.0, bottom + 46.0), &notes, told)
    }

    /// The most frequent first; those whose counts are not shown last.
    fn ranked(&self) -> Vec<&Bar> {
        let mut bars: Vec<&Bar> = self.bars.iter().collect();
        bars.sort_by_key(|bar| std::cmp::Reverse(bar.count));
        bars
    }

    /// The share of all that have it, in percent; `None` when it is not shown, or of nothing.
    fn share(&self, bar: &Bar) -> Option<f64> {
        let count = bar.count?;
        (self.all > 0).then(|| 100.0 * f64::from(count) / f64::from(self.all))
    }

    /// `cases (n = 41)`.
    fn n(&self) -> String {
        format!("{} (n = {})", self.unit.trim(), number::read(f64::from(self.all)))
    }

    fn axis_words(&self) -> String {
        format!("share of {}; as one can have several, the shares can add up to more than 100 %", self.n())
    }

    fn count_words(bar: &Bar) -> String {
        bar.count.map_or_else(|| HIDDEN.to_owned(), |count| number::read(f64::from(count)))
    }

    fn share_words(&self, bar: &Bar) -> String {
        match self.share(bar) {
            None => HIDDEN.to_owned(),
            // One of a great many is not none.
            Some(share) if share > 0.0 && share < 1.0 => format!("{share:.1} %"),
            Some(share) => format!("{} %", number::read(share.round())),
        }
    }

    fn draw_bar(&self, into: &mut Element, bar: &Bar, scale: &Linear, y: f64) {
        rows::name(into, &bar.label, y, NAMES - 16.0);
        let end = scale.at(self.share(bar).unwrap_or(0.0));
        if end > NAMES {
            let rect = svg::rect(NAMES, y - THICK / 2.0, end - NAMES, THICK);
            into.add(rect.class("bar").fill("#7c7c7c"));
        }
        let words = match self.share(bar) {
            Some(_) => format!("{}, {}", Self::count_words(bar), self.share_words(bar)),
            None => Self::count_words(bar),
        };
        into.add(svg::text(end + 8.0, y + 5.0, 14.0, Anchor::Start, &words).class("bar-text"));
    }

    fn table(&self, bars: &[&Bar]) -> FigureTable {
        let (what, unit, share) =
            (head(&self.what, "What"), head(&self.unit, "Count"), format!("Share of {}", self.n()));
        let mut columns = vec![what.as_str(), unit.as_str(), share.as_str()];
        let has_notes = bars.iter().any(|bar| !bar.note.trim().is_empty());
        if has_notes {
            columns.push("Note");
        }
        let mut table = FigureTable::with_columns(&columns);
        for bar in bars {
            let mut row = vec![bar.label.clone(), Self::count_words(bar), self.share_words(bar)];
            if has_notes {
                row.push(bar.note.clone());
            }
            table.rows.push(row);
        }
        table
    }

    fn summary(&self, bars: &[&Bar]) -> String {
        let mut parts = vec![format!("Of {}:", self.n())];
        let told = bars.iter().map(|bar| match self.share(bar) {
            Some(_) => format!("{} {} ({})", bar.label.trim(), Self::count_words(bar), self.share_words(bar)),
            None => format!("{} {}", bar.label.trim(), Self::count_words(bar)),
        });
        let told = told.collect::<Vec<_>>().join("; ");
        parts.push(if told.is_empty() { "none yet.".to_owned() } else { full_stop(&told) });
        parts.push("One can have several, so the shares can add up to more than 100 %.".to_owned());
        parts.push(full_stop(&self.source_rule));
        sentences(&parts)
    }
}

#[cfg(test)]
mod examples;
#[cfg(test)]
mod tests;
