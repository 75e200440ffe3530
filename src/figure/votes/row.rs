//! One option: its name, whether it was chosen, and its bars.

use super::{BARS, NOTE_SIZE, Round, VoteChart, share};
use crate::figure::number;
use crate::figure::scale::{Linear, float};
use crate::figure::svg::{self, Anchor, Element, INK, INK_SOFT, PAPER, Path};

/// The size of a name and from one of its lines to the next.
const NAME: f64 = 15.0;
const NAME_LINE: f64 = 19.0;
const MOST_LINES: usize = 4;
/// The room of the line that says that it was chosen.
const CHOSEN_LINE: f64 = 20.0;
/// The thickness of a bar, and from one to the next.
const THICK: f64 = 22.0;
const STEP: f64 = 27.0;
/// Between two options.
const BETWEEN: f64 = 22.0;
/// The size of what is written after a bar.
const SIZE: f64 = 15.0;
/// What is said of the option that was chosen.
pub(super) const CHOSEN: &str = "chosen in the case";

/// What is drawn of an option.
pub(super) struct Row {
    name: Vec<String>,
    chosen: bool,
    bars: Vec<Bar>,
}

struct Bar {
    round: Round,
    share: f64,
    words: String,
}

impl Row {
    pub(super) fn of(chart: &VoteChart, index: usize) -> Self {
        let option = &chart.options[index];
        let twice = chart.rounds().len() > 1;
        let bar = |&round: &Round| {
            let count = number::read(f64::from(option.count(round)));
            let words = match chart.share_words(option, round) {
                Some(share) => format!("{count}, {share}"),
                None => count,
            };
            let words = match (twice, round) {
                (false, _) => words,
                (true, Round::Before) => format!("before: {words}"),
                (true, Round::Now) => format!("after: {words}"),
            };
            Bar { round, share: share(option.count(round), chart.all(round)), words }
        };
        Self {
            name: svg::wrap(&option.label, NAME, BARS - 20.0, MOST_LINES),
            chosen: chart.is_chosen(index),
            bars: chart.rounds().iter().map(bar).collect(),
        }
    }

    fn name_height(&self) -> f64 {
        float(self.name.len()) * NAME_LINE + if self.chosen { CHOSEN_LINE } else { 0.0 }
    }

    pub(super) fn height(&self) -> f64 {
        self.name_height().max(float(self.bars.len()) * STEP) + BETWEEN
    }

    pub(super) fn draw(&self, into: &mut Element, scale: &Linear, top: f64) {
        let middle = top + self.height() / 2.0;
        let mut y = middle - self.name_height() / 2.0 + 14.0;
        for line in &self.name {
            let class = if self.chosen { "vote-name chosen" } else { "vote-name" };
            let weight = if self.chosen { "600" } else { "400" };
            into.add(svg::text(0.0, y, NAME, Anchor::Start, line).class(class).set("font-weight", weight));
            y += NAME_LINE;
        }
        if self.chosen {
            draw_chosen(into, y);
        }
        let mut y = middle - float(self.bars.len()) * STEP / 2.0 + (STEP - THICK) / 2.0;
        for bar in &self.bars {
            bar.draw(into, scale, y);
            y += STEP;
        }
    }
}

/// A diamond and the word.
fn draw_chosen(into: &mut Element, baseline: f64) {
    let (x, y, reach) = (6.0, baseline - 4.5, 5.5);
    let diamond = Path::from(x - reach, y).line(x, y - reach).line(x + reach, y).line(x, y + reach).close();
    into.add(diamond.element().class("vote-chosen").fill(INK));
    into.add(svg::text(18.0, baseline, NOTE_SIZE, Anchor::Start, CHOSEN).class("vote-note").fill(INK_SOFT));
}

impl Bar {
    fn draw(&self, into: &mut Element, scale: &Linear, top: f64) {
        let (from, end) = (scale.from.1, scale.at(self.share));
        if end > from {
            // What was thought before is an outline, what is thought now is full.
            let rect = match self.round {
                Round::Before => {
                    let inset = svg::rect(from, top + 0.75, end - from, THICK - 1.5);
                    inset.class("vote-bar before").fill(PAPER).stroke(INK_SOFT, 1.5)
                }
                Round::Now => svg::rect(from, top, end - from, THICK).class("vote-bar").fill(INK),
            };
            into.add(rect);
        }
        let words = svg::text(end + 9.0, top + THICK / 2.0 + 5.0, SIZE, Anchor::Start, &self.words);
        into.add(words.class("vote-text").stroke(PAPER, 4.0).set("paint-order", "stroke"));
    }
}
