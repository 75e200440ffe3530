//! The scale of time, with ticks that people read off a clock.

use super::{Plot, SIZE, SeriesChart};
use crate::figure::scale::{Linear, time_step};
use crate::figure::svg::{self, Anchor, Element, INK, INK_FAINT, INK_SOFT};
use crate::quantity::Offset;

/// Room between the ends of the plot and the first and last moment, for half the words of a dot.
const PAD: f64 = 36.0;
/// How much longer than the time of the values the axis may become, to either side, to hold a
/// result that came back later or the end of a window.
const STRETCH: f64 = 0.6;
/// The least distance between two ticks.
const TICK_ROOM: f64 = 52.0;

const HOUR: i64 = 3600;
const DAY: i64 = 24 * HOUR;

/// The first and the last moment of the axis, in seconds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct TimeRange {
    pub(super) from: i64,
    pub(super) to: i64,
}

impl TimeRange {
    /// Holds time zero and every value, and of the other moments those that lie near them.
    pub(super) fn of(chart: &SeriesChart) -> Self {
        let drawn = chart.points.iter().map(|point| point.at.seconds()).chain([0]);
        let (from, to) = drawn.fold((0, 0), |(from, to), at| (from.min(at), to.max(at)));
        let returned = chart.points.iter().filter_map(|point| point.returned);
        let spans = chart.spans.iter().flat_map(|span| [span.from, span.to]);
        let stretch = STRETCH * float((to - from).max(HOUR));
        let mut range = Self { from, to };
        for at in returned.chain(spans).map(Offset::seconds) {
            if float(from - at) <= stretch && float(at - to) <= stretch {
                range = Self { from: range.from.min(at), to: range.to.max(at) };
            }
        }
        if range.from == range.to {
            return Self { from: -HOUR / 2, to: HOUR / 2 };
        }
        range
    }

    /// Whether a moment is on the axis.
    pub(super) const fn holds(self, at: Offset) -> bool {
        self.from <= at.seconds() && at.seconds() <= self.to
    }
}

/// What the ticks count.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Unit {
    Minutes,
    Hours,
    Days,
}

impl Unit {
    /// The unit in which these times are short numbers.
    fn of(range: TimeRange) -> Self {
        let furthest = range.to.max(-range.from);
        if furthest <= 4 * HOUR {
            Self::Minutes
        } else if furthest <= 4 * DAY {
            Self::Hours
        } else {
            Self::Days
        }
    }

    const fn seconds(self) -> i64 {
        match self {
            Self::Minutes => 60,
            Self::Hours => HOUR,
            Self::Days => DAY,
        }
    }

    const fn title(self) -> &'static str {
        match self {
            Self::Minutes => "minutes from time zero",
            Self::Hours => "hours from time zero",
            Self::Days => "days from time zero",
        }
    }
}

/// Where a moment stands on the drawing.
#[derive(Debug, Clone)]
pub(super) struct TimeAxis {
    pub(super) range: TimeRange,
    unit: Unit,
    scale: Linear,
    pub(super) left: f64,
    pub(super) right: f64,
}

impl TimeAxis {
    pub(super) fn fit(range: TimeRange, left: f64, right: f64) -> Self {
        let scale = Linear { from: (float(range.from), left + PAD), to: (float(range.to), right - PAD) };
        Self { range, unit: Unit::of(range), scale, left, right }
    }

    /// The coordinate of a moment, kept within the plot.
    pub(super) fn x(&self, at: Offset) -> f64 {
        self.scale.beyond(float(at.seconds())).clamp(self.left, self.right)
    }

    /// The ticks with their labels.
    fn ticks(&self) -> Vec<(f64, String)> {
        let per_second = (self.scale.to.1 - self.scale.from.1) / float(self.range.to - self.range.from);
        let step = time_step(TICK_ROOM / per_second).max(self.unit.seconds());
        let (first, last) = (self.range.from.div_euclid(step), self.range.to.div_euclid(step) + 1);
        (first..=last)
            .map(|count| count * step)
            .map(|seconds| (self.scale.beyond(float(seconds)), self.label(seconds)))
            .filter(|(x, _)| *x >= self.left && *x <= self.right)
            .collect()
    }

    /// `−6`, `0`, `+12`, in the unit of the axis.
    fn label(&self, seconds: i64) -> String {
        match (seconds / self.unit.seconds(), seconds.signum()) {
            (_, 0) => "0".to_owned(),
            (count, -1) => format!("−{}", count.abs()),
            (count, _) => format!("+{count}"),
        }
    }

    /// Ticks beneath the plot, the line of time zero, and what the ticks count.
    pub(super) fn draw(&self, into: &mut Element, plot: &Plot) {
        let bottom = plot.bottom();
        for (x, label) in self.ticks() {
            into.add(svg::line(x, plot.top, x, bottom).class("grid-line").stroke(INK_FAINT, 0.75));
            into.add(svg::line(x, bottom, x, bottom + 6.0).class("axis-tick").stroke(INK_SOFT, 1.0));
            // A label that would reach over the end of the plot is left out.
            if x + svg::mono_width(&label) / 2.0 <= self.right + 8.0 {
                into.add(
                    svg::text(x, bottom + 20.0, SIZE, Anchor::Middle, &label)
                        .class("axis-text")
                        .fill(INK_SOFT)
                        .set("font-family", svg::MONO),
                );
            }
        }
        into.add(svg::line(self.left, bottom, self.right, bottom).class("axis-line").stroke(INK_SOFT, 1.0));
        let zero = self.x(Offset::ZERO);
        into.add(
            svg::line(zero, plot.top, zero, bottom)
                .class("zero-line")
                .stroke(INK, 1.0)
                .set("stroke-dasharray", "2 3"),
        );
        into.add(
            svg::text(self.left, bottom + 38.0, SIZE, Anchor::Start, self.unit.title())
                .class("axis-title")
                .fill(INK_SOFT),
        );
    }
}

#[expect(clippy::cast_precision_loss, reason = "a few million seconds at most")]
const fn float(seconds: i64) -> f64 {
    seconds as f64
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::figure::series::examples::{at, chart, span};

    fn range(values: &[(f64, f64)], spans: &[(f64, f64)]) -> (i64, i64) {
        let mut chart = chart("Lactate", "mmol/L", values);
        chart.spans = spans.iter().map(|(from, to)| span("window", *from, *to)).collect();
        let range = TimeRange::of(&chart);
        (range.from, range.to)
    }

    fn labels(from: i64, to: i64) -> Vec<String> {
        let axis = TimeAxis::fit(TimeRange { from, to }, 60.0, 700.0);
        axis.ticks().into_iter().map(|(_, label)| label).collect()
    }

    #[test]
    fn the_axis_holds_time_zero_and_every_value() {
        assert_eq!(range(&[(2.0, 1.0), (6.0, 2.0)], &[]), (0, 6 * HOUR));
        assert_eq!(range(&[(-9.0, 1.0), (-2.0, 2.0)], &[]), (-9 * HOUR, 0));
        assert_eq!(range(&[(0.0, 1.0)], &[]), (-HOUR / 2, HOUR / 2));
        assert_eq!(range(&[], &[]), (-HOUR / 2, HOUR / 2));
    }

    #[test]
    fn the_axis_reaches_to_a_window_that_ends_soon_after_but_not_to_one_far_away() {
        assert_eq!(range(&[(-2.0, 1.0), (36.0, 2.0)], &[(48.0, 48.0)]), (-2 * HOUR, 48 * HOUR));
        assert_eq!(range(&[(-2.0, 1.0), (36.0, 2.0)], &[(168.0, 168.0)]), (-2 * HOUR, 36 * HOUR));
        // The part of a band that is near is drawn.
        assert_eq!(range(&[(0.0, 1.0), (10.0, 2.0)], &[(-1.0, 300.0)]), (-HOUR, 10 * HOUR));
    }

    #[test]
    fn ticks_are_those_of_a_clock_in_one_unit() {
        assert_eq!(labels(-1800, 5400), ["−30", "−15", "0", "+15", "+30", "+45", "+60", "+75", "+90"]);
        assert_eq!(
            labels(-2 * HOUR, 48 * HOUR),
            ["0", "+6", "+12", "+18", "+24", "+30", "+36", "+42", "+48"]
        );
        assert_eq!(labels(-DAY, 7 * DAY), ["−1", "0", "+1", "+2", "+3", "+4", "+5", "+6", "+7"]);
    }

    #[test]
    fn equal_times_are_equally_far_apart() {
        let axis = TimeAxis::fit(TimeRange { from: -HOUR, to: 9 * HOUR }, 60.0, 700.0);
        let steps = [axis.x(at(1.0)) - axis.x(at(0.0)), axis.x(at(9.0)) - axis.x(at(8.0))];
        assert!((steps[0] - steps[1]).abs() < 1e-9 && steps[0] > 50.0);
    }
}
