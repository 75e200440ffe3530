//! Finding room for a small text beside its dot.

/// Left, top, right and bottom.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Area(pub(super) f64, pub(super) f64, pub(super) f64, pub(super) f64);

/// From one point to another.
pub(super) type Segment = ((f64, f64), (f64, f64));

impl Area {
    /// The area of a text by its middle and its baseline.
    pub(super) fn of_text(middle: f64, baseline: f64, width: f64) -> Self {
        Self(middle - width / 2.0 - 1.0, baseline - 10.0, middle + width / 2.0 + 1.0, baseline + 2.5)
    }

    /// The area of a dot.
    pub(super) fn of_dot(x: f64, y: f64) -> Self {
        Self(x - 6.0, y - 6.0, x + 6.0, y + 6.0)
    }

    /// With a margin all around.
    fn wider(self, by: f64) -> Self {
        Self(self.0 - by, self.1 - by, self.2 + by, self.3 + by)
    }

    fn overlaps(&self, other: &Self) -> bool {
        self.0 < other.2 && other.0 < self.2 && self.1 < other.3 && other.1 < self.3
    }

    fn is_within(&self, other: &Self) -> bool {
        self.0 >= other.0 && self.1 >= other.1 && self.2 <= other.2 && self.3 <= other.3
    }

    /// Whether a straight line runs through it.
    fn is_crossed(&self, line: Segment) -> bool {
        self.shares(line).is_some()
    }

    /// The part of a straight line within it.
    pub(super) fn clip(&self, (from, to): Segment) -> Option<Segment> {
        let (start, end) = self.shares((from, to))?;
        let at = |share: f64| (from.0 + share * (to.0 - from.0), from.1 + share * (to.1 - from.1));
        Some((at(start), at(end)))
    }

    /// From which to which share of its length a straight line is within (clipped to the sides in
    /// turn).
    fn shares(&self, (from, to): Segment) -> Option<(f64, f64)> {
        let (mut start, mut end) = (0.0_f64, 1.0_f64);
        for (at, along, low, high) in
            [(from.0, to.0 - from.0, self.0, self.2), (from.1, to.1 - from.1, self.1, self.3)]
        {
            if along.abs() < 1e-9 {
                if at <= low || at >= high {
                    return None;
                }
            } else {
                let (a, b) = ((low - at) / along, (high - at) / along);
                start = start.max(a.min(b));
                end = end.min(a.max(b));
            }
        }
        (start < end).then_some((start, end))
    }
}

/// Room that is taken.
#[derive(Debug, Clone)]
pub(super) struct Room {
    /// Texts stay within this.
    pub(super) plot: Area,
    /// No text overlaps these.
    pub(super) taken: Vec<Area>,
    /// A text keeps off these if it can, and the more so the more they weigh.
    pub(super) lines: Vec<(Segment, u32)>,
}

impl Room {
    /// The middle and the baseline of a text of this width beside a dot, where it crosses the
    /// least of the lines; takes the room. `None` when there is none.
    pub(super) fn take(&mut self, x: f64, y: f64, width: f64) -> Option<(f64, f64)> {
        let (side, corner) = (width / 2.0 + 9.0, width / 2.0 + 3.0);
        let places = [
            (0.0, -9.5),
            (0.0, 18.0),
            (corner, -9.0),
            (-corner, -9.0),
            (corner, 17.0),
            (-corner, 17.0),
            (side, 4.0),
            (-side, 4.0),
        ];
        let free =
            places.into_iter().map(|(right, down)| (x + right, y + down)).filter(|(middle, baseline)| {
                let area = Area::of_text(*middle, *baseline, width);
                area.is_within(&self.plot) && !self.taken.iter().any(|taken| taken.overlaps(&area))
            });
        let crossed = |(middle, baseline): &(f64, f64)| {
            let area = Area::of_text(*middle, *baseline, width).wider(1.5);
            let crossed = self.lines.iter().filter(|(line, _)| area.is_crossed(*line));
            crossed.map(|(_, weight)| weight).sum::<u32>()
        };
        let best = free.min_by_key(crossed)?;
        self.taken.push(Area::of_text(best.0, best.1, width));
        Some(best)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn room() -> Room {
        Room { plot: Area(0.0, 0.0, 100.0, 100.0), taken: Vec::new(), lines: Vec::new() }
    }

    #[test]
    fn a_text_stands_above_its_dot_where_nothing_is_in_the_way() {
        assert_eq!(room().take(50.0, 50.0, 20.0), Some((50.0, 40.5)));
    }

    #[test]
    fn a_text_goes_where_it_crosses_the_fewest_lines_and_never_over_another() {
        let mut found = room();
        found.lines.push((((30.0, 35.0), (70.0, 35.0)), 1));
        assert_eq!(found.take(50.0, 50.0, 20.0), Some((50.0, 68.0)));
        // Below is taken now, and each place above crosses the line: a side is free.
        assert_eq!(found.take(50.0, 50.0, 20.0), Some((69.0, 54.0)));
    }

    #[test]
    fn a_line_is_cut_at_the_sides_of_an_area() {
        let area = Area(0.0, 0.0, 10.0, 10.0);
        assert_eq!(area.clip(((-5.0, 5.0), (5.0, 5.0))), Some(((0.0, 5.0), (5.0, 5.0))));
        assert_eq!(area.clip(((5.0, 5.0), (15.0, 15.0))), Some(((5.0, 5.0), (10.0, 10.0))));
        assert_eq!(area.clip(((-5.0, 5.0), (-1.0, 5.0))), None);
    }

    #[test]
    fn a_text_without_room_has_no_place() {
        let mut full = room();
        full.taken.push(full.plot);
        assert_eq!(full.take(50.0, 50.0, 20.0), None);
        assert_eq!(room().take(50.0, 50.0, 300.0), None);
    }

    #[test]
    fn a_line_crosses_an_area_when_it_runs_through_its_inside() {
        let area = Area(10.0, 10.0, 20.0, 20.0);
        for (line, crosses) in [
            (((0.0, 0.0), (30.0, 30.0)), true),
            (((0.0, 15.0), (30.0, 15.0)), true),
            (((15.0, 12.0), (15.0, 13.0)), true),
            (((0.0, 25.0), (30.0, 25.0)), false),
            (((0.0, 30.0), (12.0, 22.0)), false),
            (((0.0, 10.0), (30.0, 10.0)), false),
        ] {
            assert_eq!(area.is_crossed(line), crosses, "{line:?}");
        }
    }
}
