//! The room's answer at a stop point: a bar for each option, asked once or before and after.

mod row;
mod words;

use super::scale::Linear;
use super::svg::{self, Anchor, INK_SOFT};
use super::{Figure, rows};
use row::Row;

/// What the room answered.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct VoteChart {
    /// The question as it was asked.
    pub question: String,
    /// The options in the order in which they were shown.
    pub options: Vec<VoteOption>,
    /// Whether it was asked once or twice.
    pub asked: Asked,
    /// The index of the option that was chosen in the case; `None` as long as the room is not to
    /// know it.
    pub chosen: Option<usize>,
}

/// One option.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct VoteOption {
    /// As it was shown.
    pub label: String,
    /// How it goes on after "would", such as `stop here`; without it the label is quoted.
    pub would: Option<String>,
    /// Its votes; when it was asked twice, those of the second time.
    pub votes: u32,
    /// Its votes of the first time, when it was asked twice.
    pub before: u32,
}

/// How often the room was asked.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub enum Asked {
    /// Once.
    #[default]
    Once,
    /// Twice, and what stands between the two, such as `the discussion`.
    BeforeAndAfter(String),
}

/// One of the two times.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Round {
    Before,
    Now,
}

/// With fewer votes than this a share says more than is known, and only counts are given.
const LEAST_FOR_SHARES: u64 = 10;

const WIDTH: f64 = 960.0;
/// Where the bars begin, and the room for what is written after a bar.
const BARS: f64 = 330.0;
const AFTER: f64 = 240.0;
const TOP: f64 = 6.0;
const NOTE_SIZE: f64 = 12.5;

impl VoteChart {
    /// Draws it. `prefix` makes its ids unique on the page.
    #[must_use]
    pub fn draw(&self, prefix: &str) -> Figure {
        let rows: Vec<Row> = (0..self.options.len()).map(|index| Row::of(self, index)).collect();
        let bottom = TOP + rows.iter().map(Row::height).sum::<f64>().max(40.0);
        let (title, summary) = (self.title(), self.summary());
        let mut root = svg::root(prefix, &title, &summary, WIDTH, bottom + 46.0);
        let scale = Linear { from: (0.0, BARS), to: (1.0, WIDTH - AFTER) };
        let ticks = [(0.0, "none"), (0.5, "half"), (1.0, "all")];
        rows::ticks(&mut root, ticks.map(|(at, word)| (scale.at(at), word.to_owned())), TOP - 2.0, bottom);
        let mut top = TOP;
        for row in &rows {
            row.draw(&mut root, &scale, top);
            top += row.height();
        }
        root.add(svg::line(BARS, TOP - 2.0, BARS, bottom).class("axis-line").stroke(INK_SOFT, 1.0));
        let votes = svg::fit(&self.votes_words(), NOTE_SIZE, WIDTH - BARS);
        root.add(
            svg::text(BARS, bottom + 38.0, NOTE_SIZE, Anchor::Start, &votes)
                .class("axis-title")
                .fill(INK_SOFT),
        );
        Figure { title, description: self.description(), svg: root.write(), table: self.table(), summary }
    }

    /// The times that it was asked, in their order.
    const fn rounds(&self) -> &'static [Round] {
        match self.asked {
            Asked::Once => &[Round::Now],
            Asked::BeforeAndAfter(_) => &[Round::Before, Round::Now],
        }
    }

    /// How many voted.
    fn all(&self, round: Round) -> u64 {
        self.options.iter().map(|option| u64::from(option.count(round))).sum()
    }

    /// The share of an option in words; `None` where there are too few votes for one.
    fn share_words(&self, option: &VoteOption, round: Round) -> Option<String> {
        let all = self.all(round);
        (all >= LEAST_FOR_SHARES).then(|| percent(option.count(round), all))
    }

    fn is_chosen(&self, index: usize) -> bool {
        self.chosen == Some(index)
    }
}

impl VoteOption {
    const fn count(&self, round: Round) -> u32 {
        match round {
            Round::Before => self.before,
            Round::Now => self.votes,
        }
    }
}

/// A share to a whole percent, halves upwards; what is not none is not called none, and what is
/// not all is not called all.
fn percent(count: u32, all: u64) -> String {
    let count = u64::from(count);
    match (200 * count + all) / (2 * all) {
        0 if count > 0 => "under 1 %".to_owned(),
        100 if count < all => "over 99 %".to_owned(),
        whole => format!("{whole} %"),
    }
}

/// A share of all, from 0 to 1.
fn share(count: u32, all: u64) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "a length that is drawn")]
    let all = all.max(1) as f64;
    f64::from(count) / all
}

#[cfg(test)]
mod examples;
#[cfg(test)]
mod tests;
