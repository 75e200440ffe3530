//! Slots without values: hatched, so that nothing looks like zero.

use super::plot::{Plot, SIZE, halo_text};
use super::slots::SlotAxis;
use crate::figure::place::{Area, Room, Segment};
use crate::figure::sentence::some_of;
use crate::figure::svg::{self, Element, INK_FAINT, Path};

/// The distance between two lines of a hatch.
const HATCH: f64 = 9.0;
/// How many slots the sentence names.
const NAMED: usize = 4;

/// What a hatch says where there is room.
const WORDS: &str = "not counted";

/// Hatches the stretches without values, and says so where there is room, which it takes.
pub(super) fn draw(into: &mut Element, plot: &Plot, axis: &SlotAxis<'_>, is_gap: &[bool], room: &mut Room) {
    for (first, after) in runs(is_gap) {
        let (from, to) = axis.ends(first, after);
        let lines = hatch(from, to, plot.top, plot.bottom());
        if !lines.is_empty() {
            let path =
                lines.into_iter().fold(Path::default(), |path, (a, b)| path.hop(a.0, a.1).line(b.0, b.1));
            into.add(path.element().class("gap-hatch").set("fill", "none").stroke(INK_FAINT, 1.0));
        }
        let width = svg::text_width(WORDS, SIZE);
        if to - from >= width + 8.0 {
            let (x, y) = (f64::midpoint(from, to), plot.top + plot.height / 2.0);
            into.add(halo_text(x, y, WORDS, "point-text middle"));
            room.taken.push(Area::of_text(x, y, width));
        }
    }
}

/// The runs of gaps, each from its first to before its end.
fn runs(is_gap: &[bool]) -> Vec<(usize, usize)> {
    let mut runs: Vec<(usize, usize)> = Vec::new();
    for (index, _) in is_gap.iter().enumerate().filter(|(_, is_gap)| **is_gap) {
        match runs.last_mut() {
            Some((_, after)) if *after == index => *after = index + 1,
            _ => runs.push((index, index + 1)),
        }
    }
    runs
}

/// Lines that rise to the right at 45° within a rectangle.
fn hatch(left: f64, right: f64, top: f64, bottom: f64) -> Vec<Segment> {
    let mut lines = Vec::new();
    // Each line is where x + y is the same.
    let mut sum = ((left + top) / HATCH).ceil() * HATCH;
    while sum <= right + bottom {
        let (x1, x2) = (left.max(sum - bottom), right.min(sum - top));
        if x2 - x1 > 0.5 {
            lines.push(((x1, sum - x1), (x2, sum - x2)));
        }
        sum += HATCH;
    }
    lines
}

/// Which of so many slots are not counted, after an opening that says so; `gaps` has the name of each
/// with the reason. Nothing for none.
pub(super) fn words<'a>(
    opening: &str,
    gaps: impl Iterator<Item = (&'a str, &'a str)>,
    slots: usize,
) -> String {
    let gaps: Vec<String> = gaps.map(|(name, why)| with_brackets(name, why)).collect();
    if gaps.is_empty() {
        return String::new();
    }
    format!("{opening}, {} of {slots}: {}.", gaps.len(), some_of(&gaps, ", ", NAMED))
}

/// `March 2024 (3 of 152)`.
pub(super) fn with_brackets(name: &str, inside: &str) -> String {
    match inside.trim() {
        "" => name.to_owned(),
        inside => format!("{name} ({inside})"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn gaps_that_touch_are_one() {
        assert_eq!(runs(&[true, true, false, true, false]), [(0, 2), (3, 4)]);
        assert!(runs(&[]).is_empty());
    }

    #[test]
    fn a_hatch_stays_within_its_rectangle() {
        let lines = hatch(60.0, 75.5, 30.0, 270.0);
        assert!(lines.len() > 20);
        for (a, b) in lines {
            for (x, y) in [a, b] {
                assert!((60.0..=75.5).contains(&x) && (30.0 - 1e-9..=270.0 + 1e-9).contains(&y), "{x} {y}");
            }
            assert!(((a.0 - b.0) - (b.1 - a.1)).abs() < 1e-9, "at 45 degrees");
        }
    }
}
