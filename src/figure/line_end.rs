//! Names at the right ends of lines, moved apart so that none stands on another.

use super::scale::float;
use super::svg::{self, Anchor, Element, INK_SOFT, Path};

/// The distance between two names.
pub(super) const STEP: f64 = 16.0;
/// The room from the plot to a name, in which its leader runs.
pub(super) const LEADER: f64 = 18.0;
/// The size of a name.
pub(super) const SIZE: f64 = 12.5;

/// The leader from the end of a line at the right edge of the plot to its name.
pub(super) fn leader(right: f64, line_y: f64, name_y: f64) -> Element {
    let leader = Path::from(right, line_y).line(right + 4.0, line_y).line(right + LEADER - 4.0, name_y);
    leader.element().class("leader").set("fill", "none").stroke(INK_SOFT, 1.0)
}

/// A name right of the plot.
pub(super) fn name(right: f64, name_y: f64, text: &str) -> Element {
    svg::text(right + LEADER, name_y + 4.0, SIZE, Anchor::Start, text).class("limit-text").fill(INK_SOFT)
}

/// Heights moved apart to at least `step`, each as little as it can be in sum of squares, in the
/// given ascending order, between two ends.
///
/// Less `step` for each one before it, a height may be no lower than the one before: the least
/// squares under that are the means of blocks that are pooled as long as they fall (pool adjacent
/// violators: Ayer and others, Ann Math Stat 1955;26:641, from memory).
pub(super) fn spread(heights: &[f64], step: f64, least: f64, most: f64) -> Vec<f64> {
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
