//! The limits: which are drawn, from when to when, and their names at their right ends.

use super::time_axis::TimeRange;
use super::value_axis::{Place, ValueAxis};
use super::{HEIGHT, Plot, SIZE, SeriesLimit, float, number};
use crate::figure::svg::{self, Anchor, Element, INK_FAINT, INK_SOFT, Path};

/// The distance between two names.
const STEP: f64 = 16.0;
/// How many names there is room for.
const MOST: usize = 11;
/// The room from the plot to a name, in which its leader runs.
const LEADER: f64 = 18.0;
/// The greatest width of a name.
const NAME: f64 = 270.0;

/// Why a limit is not drawn.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Left {
    /// It lies above the scale.
    Above,
    /// It lies below the scale.
    Below,
    /// It counts only before or after the time that is drawn.
    OtherTime,
    /// There is no room for its name.
    NoRoom,
    /// It is no number.
    NoNumber,
}

/// The limits of a chart.
pub(super) struct Limits<'a> {
    drawn: Vec<&'a SeriesLimit>,
    /// Those that are not drawn, and why.
    pub(super) left: Vec<(&'a SeriesLimit, Left)>,
}

/// The name of a limit with where it lies.
pub(super) fn name(limit: &SeriesLimit) -> String {
    match (limit.label.trim(), limit.written.trim()) {
        (label, "") => label.to_owned(),
        ("", written) => written.to_owned(),
        (label, written) => format!("{label}, {written}"),
    }
}

/// The same, shortened to the room beside the plot; where it lies is kept whole if it can be.
fn short_name(limit: &SeriesLimit) -> String {
    let whole = name(limit);
    if svg::text_width(&whole, SIZE) <= NAME {
        return whole;
    }
    let written = svg::fit(&format!(", {}", limit.written.trim()), SIZE, NAME / 2.0);
    let room = NAME - svg::text_width(&written, SIZE);
    format!("{}{written}", svg::fit(limit.label.trim(), SIZE, room))
}

impl<'a> Limits<'a> {
    pub(super) fn choose(limits: &'a [SeriesLimit], axis: &ValueAxis, range: TimeRange) -> Self {
        let mut chosen = Self { drawn: Vec::new(), left: Vec::new() };
        for limit in limits {
            let reason = match number::plotted(limit.value).map(|value| axis.place(value)) {
                None => Left::NoNumber,
                Some(Place::Above) => Left::Above,
                Some(Place::Below) => Left::Below,
                Some(Place::On) if !counts_within(limit, range) => Left::OtherTime,
                Some(Place::On) if chosen.drawn.len() == MOST => Left::NoRoom,
                Some(Place::On) => {
                    chosen.drawn.push(limit);
                    continue;
                }
            };
            chosen.left.push((limit, reason));
        }
        // From the top down, so that their names have the order of their lines.
        chosen.drawn.sort_by(|a, b| b.value.total_cmp(&a.value));
        chosen
    }

    /// The room right of the plot.
    pub(super) fn gutter(&self) -> f64 {
        let names = self.drawn.iter().map(|limit| svg::text_width(&short_name(limit), SIZE));
        names.reduce(f64::max).map_or(10.0, |widest| widest + LEADER + 4.0)
    }

    /// The heights of the lines with their ends.
    fn lines<'s>(&'s self, plot: &'s Plot) -> impl Iterator<Item = (&'a SeriesLimit, Line)> + 's {
        self.drawn.iter().filter_map(|limit| {
            let range = plot.time.range;
            let starts = limit.from.filter(|from| from.seconds() > range.from);
            let stops = limit.until.filter(|until| until.seconds() < range.to);
            let line = Line {
                y: plot.y(number::plotted(limit.value)?)?,
                from: starts.map_or(plot.left, |from| plot.time.x(from)),
                to: stops.map_or(plot.right, |until| plot.time.x(until)),
                starts: starts.is_some(),
                stops: stops.is_some(),
            };
            Some((*limit, line))
        })
    }

    /// Where each line runs: its height, its left and its right end.
    pub(super) fn segments(&self, plot: &Plot) -> Vec<(f64, f64, f64)> {
        self.lines(plot).map(|(_, line)| (line.y, line.from, line.to)).collect()
    }

    pub(super) fn draw(&self, into: &mut Element, plot: &Plot) {
        let lines: Vec<(&SeriesLimit, Line)> = self.lines(plot).collect();
        let heights: Vec<f64> = lines.iter().map(|(_, line)| line.y - plot.top).collect();
        let names = spread(&heights, STEP, 4.0, HEIGHT - 4.0);
        for ((limit, line), name_y) in lines.iter().zip(names) {
            line.draw(into, plot.right, plot.top + name_y);
            let text = short_name(limit);
            into.add(
                svg::text(plot.right + LEADER, plot.top + name_y + 4.0, SIZE, Anchor::Start, &text)
                    .class("limit-text")
                    .fill(INK_SOFT),
            );
        }
    }
}

/// Whether a limit counts at some moment that is drawn.
fn counts_within(limit: &SeriesLimit, range: TimeRange) -> bool {
    limit.from.is_none_or(|from| from.seconds() <= range.to)
        && limit.until.is_none_or(|until| until.seconds() >= range.from)
        && !matches!((limit.from, limit.until), (Some(from), Some(until)) if from > until)
}

struct Line {
    y: f64,
    from: f64,
    to: f64,
    starts: bool,
    stops: bool,
}

impl Line {
    /// The dashed line with a bar at an end within the plot, on as a faint line to the right edge,
    /// and from there the leader to its name.
    fn draw(&self, into: &mut Element, right: f64, name_y: f64) {
        let Self { y, from, to, .. } = *self;
        if to < right {
            into.add(svg::line(to, y, right, y).class("grid-line").stroke(INK_FAINT, 0.75));
        }
        into.add(
            svg::line(from, y, to, y)
                .class("limit-line")
                .stroke(INK_SOFT, 1.0)
                .set("stroke-dasharray", "6 4"),
        );
        for (x, _) in [(from, self.starts), (to, self.stops)].into_iter().filter(|(_, has_bar)| *has_bar) {
            into.add(svg::line(x, y - 4.0, x, y + 4.0).class("axis-tick").stroke(INK_SOFT, 1.0));
        }
        let leader = Path::from(right, y).line(right + 4.0, y).line(right + LEADER - 4.0, name_y);
        into.add(leader.element().class("leader").set("fill", "none").stroke(INK_SOFT, 1.0));
    }
}

/// Heights moved apart to at least `step`, each as little as it can be in sum of squares, in the
/// given ascending order, between two ends.
///
/// Less `step` for each one before it, a height may be no lower than the one before: the least
/// squares under that are the means of blocks that are pooled as long as they fall (pool adjacent
/// violators: Ayer and others, Ann Math Stat 1955;26:641, from memory).
fn spread(heights: &[f64], step: f64, least: f64, most: f64) -> Vec<f64> {
    let mut blocks: Vec<(f64, usize)> = Vec::new();
    for (index, height) in heights.iter().enumerate() {
        let mut block = (height - float(index) * step, 1);
        while let Some((mean, count)) = blocks.pop_if(|(mean, _)| *mean > block.0) {
            let total = float(count) + float(block.1);
            block = ((mean * float(count) + block.0 * float(block.1)) / total, count + block.1);
        }
        blocks.push(block);
    }
    let most = (most - float(heights.len().saturating_sub(1)) * step).max(least);
    let means = blocks.into_iter().flat_map(|(mean, count)| std::iter::repeat_n(mean, count));
    means.enumerate().map(|(index, mean)| mean.clamp(least, most) + float(index) * step).collect()
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    #[test]
    fn names_that_have_room_stay_beside_their_lines() {
        assert_eq!(spread(&[10.0, 40.0, 80.0], 16.0, 4.0, 176.0), [10.0, 40.0, 80.0]);
        assert!(spread(&[], 16.0, 4.0, 176.0).is_empty());
    }

    #[test]
    fn names_that_have_no_room_are_moved_apart_to_both_sides() {
        assert_eq!(spread(&[100.0, 100.0], 16.0, 4.0, 176.0), [92.0, 108.0]);
        // Two blocks that meet after the first move become one.
        assert_eq!(
            spread(&[50.0, 50.0, 60.0], 16.0, 4.0, 176.0),
            [37.333_333_333_333_336, 53.333_333_333_333_336, 69.333_333_333_333_34]
        );
    }

    #[test]
    fn names_stay_between_the_ends_in_the_order_of_their_lines() {
        for heights in [vec![0.0; 11], vec![180.0; 11], vec![0.0, 1.0, 2.0, 178.0, 179.0, 180.0]] {
            let found = spread(&heights, 16.0, 4.0, 176.0);
            assert!(found.windows(2).all(|pair| pair[1] - pair[0] >= 16.0 - 1e-9), "{found:?}");
            assert!(found.iter().all(|y| (4.0..=176.0).contains(y)), "{found:?}");
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        /// The least squares, checked against any other heights that keep their distance.
        #[test]
        fn no_other_heights_are_nearer_to_the_lines(
            mut heights in prop::collection::vec(0.0..180.0_f64, 1..8),
            others in prop::collection::vec((0.0..180.0_f64, 0.0..30.0_f64), 7),
        ) {
            heights.sort_by(f64::total_cmp);
            let found = spread(&heights, 16.0, -1e6, 1e6);
            let far = |names: &[f64]| names.iter().zip(&heights).map(|(a, b)| (a - b).powi(2)).sum::<f64>();
            // Other heights far from and, mixed with what was found, near to it.
            let mut other = vec![others[0].0];
            other.extend(others.iter().skip(1).scan(others[0].0, |y, (_, more)| { *y += 16.0 + more; Some(*y) }));
            for share in [1.0, 0.1, 0.01] {
                let mixed: Vec<f64> = found.iter().zip(&other).map(|(a, b)| a + share * (b - a)).collect();
                prop_assert!(far(&found) <= far(&mixed) + 1e-6, "{:?} {:?}", found, mixed);
            }
        }
    }
}
