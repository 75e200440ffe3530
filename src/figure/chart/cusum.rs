//! Two sums of evidence: that the rate is worse, drawn upwards, and that it is better, drawn
//! downwards, each against its limit.

mod words;

use super::ends::End;
use super::flags::Flags;
use super::notes::Notes;
use super::plot::{Plot, Range, Spot, WIDTH};
use super::reach::reach;
use super::sheet::{self, Told};
use super::slots::SlotAxis;
use super::values::{self, Dot};
use super::{Marker, SlotName, ends, gaps, rings};
use crate::figure::svg::{self, Element, INK_SOFT};
use crate::figure::{Figure, number};

/// A one- or two-sided CUSUM.
#[derive(Debug, Clone, PartialEq)]
pub struct CusumChart {
    /// What it finds, in one line.
    pub title: String,
    /// What the sums are, such as `sum of log-likelihood ratios (no unit)`.
    pub unit: String,
    /// What the slots are, such as `month of the procedure`.
    pub x_title: String,
    /// What it is made of, such as `41 events in 5,230 procedures`; may be empty.
    pub counted: String,
    /// The sums in order of time.
    pub points: Vec<CusumPoint>,
    /// The limit of the sum for worse.
    pub worse: Option<CusumLimit>,
    /// The limit of the sum for better; `None` together with no values: a one-sided chart.
    pub better: Option<CusumLimit>,
    /// What was done, in order of time.
    pub actions: Vec<Marker>,
    /// Where a sum crossed its limit.
    pub signals: Vec<CusumSignal>,
    /// What it looks for, how its limits are made and where that is published.
    pub source_rule: String,
}

/// The sums after one slot.
#[derive(Debug, Clone, PartialEq)]
pub struct CusumPoint {
    /// How the slot is called.
    pub name: SlotName,
    /// The sum for worse, 0 or more, as it stood before any restart; `None`: not counted.
    pub worse: Option<f64>,
    /// The sum for better, 0 or more: it is drawn downwards; `None`: not counted, or one-sided.
    pub better: Option<f64>,
    /// What was counted, such as `3 of 152`, or why nothing was.
    pub counts: String,
}

/// A limit that a sum is held against.
#[derive(Debug, Clone, PartialEq)]
pub struct CusumLimit {
    /// Where it lies, 0 or more.
    pub value: f64,
    /// Its name, such as `limit for a doubling, 3.9`. Written at the right end of its line.
    pub label: String,
}

/// Which of the two sums.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// The upper one.
    Worse,
    /// The lower one.
    Better,
}

/// A sum that crossed its limit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CusumSignal {
    /// Which sum.
    pub side: Side,
    /// The index of the slot.
    pub slot: usize,
    /// Its number beside the ring and in the list beneath.
    pub number: u32,
    /// What that means, in a sentence.
    pub words: String,
}

/// The height of a one-sided and of a two-sided plot.
const HEIGHT: f64 = 200.0;
const HEIGHT_OF_BOTH: f64 = 280.0;

impl Side {
    /// The way in which its sum is drawn.
    const fn sign(self) -> f64 {
        match self {
            Self::Worse => 1.0,
            Self::Better => -1.0,
        }
    }

    /// Its name beside the plot.
    const fn label(self) -> &'static str {
        match self {
            Self::Worse => "worse, upwards",
            Self::Better => "better, downwards",
        }
    }

    const fn of(self, point: &CusumPoint) -> Option<f64> {
        match self {
            Self::Worse => point.worse,
            Self::Better => point.better,
        }
    }
}

impl CusumPoint {
    fn is_gap(&self) -> bool {
        [self.worse, self.better].into_iter().flatten().all(|sum| number::plotted(sum).is_none())
    }
}

impl CusumChart {
    /// Draws it. `prefix` makes its ids unique on the page.
    #[must_use]
    pub fn draw(&self, prefix: &str) -> Figure {
        let range = Range::new(-self.reach(Side::Better), self.reach(Side::Worse));
        let left = range.gutter();
        let limits = self.limits().map(|(_, limit)| limit.label.as_str());
        let right = WIDTH - ends::gutter(limits.chain(self.side_names().map(|(_, name)| name)));
        let axis = SlotAxis::new(self.points.iter().map(|point| &point.name), left, right);
        let flags = Flags::place(&self.actions, &axis, left, right);
        let height = if self.sides().len() == 2 { HEIGHT_OF_BOTH } else { HEIGHT };
        let plot = Plot { left, right, top: 26.0 + flags.height(), height, range };
        let dots: Vec<(Side, Vec<Dot>)> =
            self.sides().iter().map(|side| (*side, self.dots(*side, &plot, &axis))).collect();
        let notes = self.notes(&flags, &dots);

        let mut drawn = Element::new("g");
        self.draw_plot(&mut drawn, &plot, &axis, &flags, &dots);
        let bottom = plot.bottom() + axis.height();
        let told = Told {
            description: words::description(self, &notes),
            table: words::table(self),
            summary: words::summary(self),
        };
        sheet::figure((prefix, &self.title), drawn, (left, bottom), &notes, told)
    }

    fn draw_plot(
        &self,
        root: &mut Element,
        plot: &Plot,
        axis: &SlotAxis<'_>,
        flags: &Flags<'_>,
        dots: &[(Side, Vec<Dot>)],
    ) {
        plot.draw_values(root, &self.unit);
        let is_gap: Vec<bool> = self.points.iter().map(CusumPoint::is_gap).collect();
        let mut room = flags.room(plot);
        gaps::draw(root, plot, axis, &is_gap, &mut room);
        axis.draw(root, plot, &self.x_title);
        let zero = plot.held(0.0);
        root.add(svg::line(plot.left, zero, plot.right, zero).class("centre-line").stroke(INK_SOFT, 1.25));
        let level = |y: f64| ((plot.left, y), (plot.right, y));
        let mut lines = vec![level(zero)];
        for y in self.limits().filter_map(|(side, limit)| plot.spot(side.sign() * limit.value)?.on()) {
            let line = svg::line(plot.left, y, plot.right, y).class("limit-line");
            root.add(line.stroke(INK_SOFT, 1.0).set("stroke-dasharray", "6 4"));
            lines.push(level(y));
        }
        room.lines.extend(lines.into_iter().map(|line| (line, 2)));
        let lines =
            self.limits().map(|(side, limit)| (side.sign() * limit.value, limit.label.as_str(), true));
        let sides = self.side_names().map(|(value, name)| (value, name, false));
        let names =
            lines.chain(sides).map(|(value, text, has_leader)| End { y: plot.held(value), text, has_leader });
        let names: Vec<End<'_>> = names.collect();
        ends::draw(root, plot, &names);
        flags.draw(root, plot);
        let radius = axis.dot_radius().min(3.0);
        for (_, dots) in dots {
            values::draw(root, dots, radius, &mut room);
        }
        for (_, dots) in dots {
            values::name_cut(root, dots, &mut room);
        }
        let ringed = self.signals.iter().filter_map(|signal| {
            let (_, dots) = dots.iter().find(|(side, _)| *side == signal.side)?;
            Some(values::ringed(dots, signal.number, &[signal.slot]))
        });
        rings::draw(root, &ringed.collect::<Vec<_>>(), radius, &mut room);
        if self.points.is_empty() {
            plot.draw_nothing(root, "no values yet");
        }
    }

    /// The sums that there are.
    fn sides(&self) -> &'static [Side] {
        let has_better = self.better.is_some() || self.points.iter().any(|point| point.better.is_some());
        if has_better { &[Side::Worse, Side::Better] } else { &[Side::Worse] }
    }

    fn limits(&self) -> impl Iterator<Item = (Side, &CusumLimit)> {
        let worse = self.worse.iter().map(|limit| (Side::Worse, limit));
        worse.chain(self.better.iter().map(|limit| (Side::Better, limit)))
    }

    /// How far the plot reaches for a sum; 0 when there is none.
    fn reach(&self, side: Side) -> f64 {
        if !self.sides().contains(&side) {
            return 0.0;
        }
        let sums: Vec<f64> = self.points.iter().filter_map(|point| side.of(point)).collect();
        let limits: Vec<f64> =
            self.limits().filter(|(of, _)| *of == side).map(|(_, limit)| limit.value).collect();
        reach(&sums, &limits, &limits)
    }

    /// Which sum lies where, with the value at which that is written.
    fn side_names(&self) -> impl Iterator<Item = (f64, &'static str)> {
        let both = self.sides().iter().filter(|_| self.sides().len() == 2);
        both.map(|side| (side.sign() * 0.3 * self.reach(*side), side.label()))
    }

    fn dots(&self, side: Side, plot: &Plot, axis: &SlotAxis<'_>) -> Vec<Dot> {
        values::dots(self.points.iter().map(|point| side.of(point)), side.sign(), plot, axis)
    }

    fn notes(&self, flags: &Flags<'_>, dots: &[(Side, Vec<Dot>)]) -> Notes {
        let mut notes = Notes::default();
        for signal in &self.signals {
            notes.ring(signal.number, &signal.words);
        }
        flags.tell(&mut notes);
        let off = dots.iter().flat_map(|(side, dots)| dots.iter().map(|dot| (*side, dot)));
        let off = off.filter(|(_, dot)| !matches!(dot.spot, Spot::On(_)));
        notes.say(&words::cut(self, off.map(|(side, dot)| (side, dot.slot))));
        notes.say(&words::gaps(self, "Hatched: not counted"));
        notes.say(&self.counted);
        notes.say(&self.source_rule);
        notes
    }
}

#[cfg(test)]
mod examples;
#[cfg(test)]
mod tests;
