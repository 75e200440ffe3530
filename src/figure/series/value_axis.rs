//! The scale of the values: linear from 0, linear around values that lie close together, or log.

use super::{HEIGHT, Plot, SIZE};
use crate::figure::log::{log_ticks, round_down, round_up};
use crate::figure::number;
use crate::figure::scale::{Linear, nice_step};
use crate::figure::svg::{self, Anchor, Element, INK_FAINT, INK_SOFT};

/// How many times the highest value a limit may be and still be drawn, on a linear and a log scale.
const REACH: f64 = 2.0;
const LOG_REACH: f64 = 10.0;
/// How many times below the lowest value a limit may be and still be drawn on a log scale.
const LOG_DEPTH: f64 = 100.0;
/// From this ratio between the highest and the lowest on, a linear scale hides the low values.
const LOG_FROM: f64 = 30.0;
/// The least share of its height over 0 that an axis shows, so that small changes stay small.
const LEAST_SHARE: f64 = 0.3;
/// The share of the scale that is left free above the highest value, for the words of its dot.
const HEADROOM: f64 = 0.12;
/// The least distance between two ticks.
const TICK_ROOM: f64 = 18.0;

/// Where a value stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Place {
    /// On the scale.
    On,
    /// Above its top.
    Above,
    /// Below its bottom.
    Below,
}

/// Where a value stands over the bottom of the plot.
#[derive(Debug, Clone)]
pub(super) struct ValueAxis {
    /// Whether equal steps are equal factors.
    pub(super) is_log: bool,
    /// The value at the bottom.
    pub(super) from: f64,
    /// The value at the top.
    pub(super) to: f64,
    ticks: Vec<f64>,
}

impl ValueAxis {
    /// The scale for these values, and for the limits that do not lie too far from them.
    pub(super) fn fit(values: &[f64], limits: &[f64]) -> Self {
        let near = within_reach(values, limits, REACH);
        let all: Vec<f64> = values.iter().copied().chain(near).collect();
        let positive = || all.iter().copied().filter(|value| *value > 0.0);
        let (low, high) = (positive().fold(f64::MAX, f64::min), positive().fold(0.0, f64::max));
        // A series that is truly signed has no log scale; a slip below 0 has its mark at the edge.
        let is_signed = all.iter().any(|value| *value < -low);
        if high / low > LOG_FROM && !is_signed {
            let limits = within_reach(values, limits, LOG_REACH);
            let lowest = values.iter().copied().filter(|value| *value > 0.0).fold(high, f64::min);
            let deep = limits.into_iter().filter(|limit| *limit >= lowest / LOG_DEPTH);
            let ends = deep.fold((lowest, high), |(low, high), limit| (low.min(limit), high.max(limit)));
            return Self::log(ends.0, ends.1);
        }
        Self::linear(&all)
    }

    fn log(low: f64, high: f64) -> Self {
        let headroom = (high / low).powf(HEADROOM).max(1.25);
        let (from, to) = (round_down(low * 0.8), round_up(high * headroom));
        Self { is_log: true, from, to, ticks: log_ticks(from, to, HEIGHT, TICK_ROOM) }
    }

    fn linear(all: &[f64]) -> Self {
        let high = all.iter().copied().fold(f64::MIN, f64::max);
        let low = all.iter().copied().fold(f64::MAX, f64::min);
        let (from, to) = if all.is_empty() || (low >= 0.0 && high <= 0.0) {
            (0.0, 1.0)
        } else if low < 0.0 {
            (low * 1.08, (high + HEADROOM * (high - low)).max(0.0))
        } else if low <= high / 2.0 || number::same(low, high) {
            (0.0, high * (1.0 + HEADROOM))
        } else {
            let spare = ((high * LEAST_SHARE - (high - low)) / 2.0).max((high - low) * HEADROOM);
            ((low - spare).max(0.0), high + spare)
        };
        let step = nice_step(to - from, 5.0);
        let (first, last) = ((from / step).floor(), (to / step).ceil());
        let mut ticks = vec![first * step];
        let mut count = first;
        while count < last && ticks.len() < 12 {
            count += 1.0;
            ticks.push(count * step);
        }
        Self { is_log: false, from: first * step, to: count * step, ticks }
    }

    /// Whether a value is on the scale.
    pub(super) fn place(&self, value: f64) -> Place {
        if value > self.to {
            Place::Above
        } else if value < self.from {
            Place::Below
        } else {
            Place::On
        }
    }

    /// How far under the top of the plot a value stands; `None` when it is not on the scale.
    pub(super) fn y(&self, value: f64) -> Option<f64> {
        let scaled = |value: f64| if self.is_log { value.log10() } else { value };
        let scale = Linear { from: (scaled(self.from), HEIGHT), to: (scaled(self.to), 0.0) };
        (self.place(value) == Place::On).then(|| scale.beyond(scaled(value)).clamp(0.0, HEIGHT))
    }

    /// A number as the axis writes it: in groups of three when one has five digits.
    pub(super) fn tick(&self, value: f64) -> String {
        number::tick(value, self.to.max(-self.from) >= 10_000.0)
    }

    /// The room left of the plot.
    pub(super) fn gutter(&self) -> f64 {
        self.ticks.iter().map(|tick| svg::mono_width(&self.tick(*tick))).fold(24.0, f64::max) + 16.0
    }

    /// The grid, the ticks with their labels, and above them what they count.
    pub(super) fn draw(&self, into: &mut Element, plot: &Plot, title: &str) {
        for tick in &self.ticks {
            let Some(y) = plot.y(*tick) else { continue };
            into.add(svg::line(plot.left, y, plot.right, y).class("grid-line").stroke(INK_FAINT, 0.75));
            into.add(
                svg::text(plot.left - 8.0, y + 4.5, SIZE, Anchor::End, &self.tick(*tick))
                    .class("axis-text")
                    .fill(INK_SOFT)
                    .set("font-family", svg::MONO),
            );
        }
        into.add(
            svg::line(plot.left, plot.top, plot.left, plot.bottom()).class("axis-line").stroke(INK_SOFT, 1.0),
        );
        let title = svg::fit(title, SIZE, super::WIDTH);
        into.add(svg::text(0.0, 13.0, SIZE, Anchor::Start, &title).class("axis-title").fill(INK_SOFT));
    }
}

/// The limits at most so many times the highest value; where no value is over 0, the lowest limit.
fn within_reach(values: &[f64], limits: &[f64], times: f64) -> Vec<f64> {
    let highest = values.iter().copied().fold(0.0, f64::max);
    let lowest_limit = limits.iter().copied().filter(|limit| *limit > 0.0).fold(f64::MAX, f64::min);
    let reach = if highest > 0.0 { times * highest } else { lowest_limit };
    let depth = values.iter().copied().fold(0.0, f64::min) * times - reach;
    limits.iter().copied().filter(|limit| *limit <= reach && *limit >= depth).collect()
}

#[cfg(test)]
mod tests;
