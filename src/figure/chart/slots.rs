//! The axis of time: one step for each slot, named as densely as there is room.

use super::SlotName;
use super::plot::{Plot, SIZE, WIDTH, axis_title};
use crate::figure::scale::float;
use crate::figure::svg::{self, Anchor, Element, INK_FAINT, INK_SOFT};

/// The least distance between two names.
const GAP: f64 = 6.0;
/// The least width of a step that has a tick of its own.
const TICK_FROM: f64 = 5.0;
/// The greatest width of a name.
const WIDEST: f64 = 130.0;
/// From one row of names to the next.
const ROW: f64 = 18.0;

/// The slots from left to right.
pub(super) struct SlotAxis<'a> {
    names: Vec<&'a SlotName>,
    left: f64,
    step: f64,
    /// One slot in so many has its name; `None`: there is room for the groups alone.
    every: Option<usize>,
    groups: Vec<Group<'a>>,
}

struct Group<'a> {
    name: &'a str,
    first: usize,
    after: usize,
}

fn width(text: &str) -> f64 {
    svg::mono_width(text).max(svg::text_width(text, SIZE))
}

impl<'a> SlotAxis<'a> {
    pub(super) fn new(names: impl IntoIterator<Item = &'a SlotName>, left: f64, right: f64) -> Self {
        let names: Vec<&SlotName> = names.into_iter().collect();
        let step = (right - left) / float(names.len().max(1));
        let groups = groups(&names);
        let every = every(&names, step);
        Self { names, left, step, every, groups }
    }

    /// The coordinate of a place counted in slots, in which 0 is the middle of the first.
    pub(super) fn x(&self, place: f64) -> f64 {
        self.left + (place + 0.5) * self.step
    }

    /// Whether a place is on the axis.
    pub(super) fn holds(&self, place: f64) -> bool {
        place.is_finite() && place >= -0.5 && place <= float(self.names.len()) - 0.5 && !self.names.is_empty()
    }

    /// Where the slots from `first` to before `after` begin and end.
    pub(super) fn ends(&self, first: usize, after: usize) -> (f64, f64) {
        (self.x(float(first) - 0.5), self.x(float(after) - 0.5))
    }

    /// The radius of a dot that leaves room for its neighbours.
    pub(super) const fn dot_radius(&self) -> f64 {
        match self.names.len() {
            0..=60 => 4.5,
            61..=120 => 3.0,
            _ => 2.2,
        }
    }

    /// The room that it takes beneath the plot.
    pub(super) fn height(&self) -> f64 {
        self.title_down() + 6.0
    }

    fn group_down(&self) -> f64 {
        if self.every.is_some() { 20.0 + ROW } else { 20.0 }
    }

    fn title_down(&self) -> f64 {
        if self.groups.is_empty() { 20.0 + ROW } else { self.group_down() + ROW + 2.0 }
    }

    /// Ticks, names, groups, and what the slots are.
    pub(super) fn draw(&self, into: &mut Element, plot: &Plot, title: &str) {
        let bottom = plot.bottom();
        into.add(svg::line(plot.left, bottom, plot.right, bottom).class("axis-line").stroke(INK_SOFT, 1.0));
        for (index, name) in self.names.iter().enumerate() {
            let x = self.x(float(index));
            let is_named = self.every.is_some_and(|every| index.is_multiple_of(every));
            if self.step >= TICK_FROM || is_named {
                let length = if is_named { 6.0 } else { 3.0 };
                into.add(svg::line(x, bottom, x, bottom + length).class("axis-tick").stroke(INK_SOFT, 1.0));
            }
            if is_named {
                add_name(into, x, bottom + 20.0, &svg::fit(&name.short, SIZE, WIDEST));
            }
        }
        self.draw_groups(into, plot);
        into.add(axis_title(plot.left, bottom + self.title_down(), title, WIDTH - plot.left));
    }

    /// The groups, each beneath its slots, with thin lines between them.
    fn draw_groups(&self, into: &mut Element, plot: &Plot) {
        let y = plot.bottom() + self.group_down();
        let mut free_from = f64::MIN;
        for (index, group) in self.groups.iter().enumerate() {
            let (from, to) = self.ends(group.first, group.after);
            if index > 0 {
                let (top, bottom) = (plot.top, plot.bottom());
                into.add(svg::line(from, top, from, bottom).class("grid-line").stroke(INK_FAINT, 0.75));
                into.add(svg::line(from, bottom, from, y + 3.0).class("axis-tick").stroke(INK_SOFT, 1.0));
            }
            let name = svg::fit(group.name, SIZE, WIDEST);
            let half = width(&name) / 2.0;
            // Narrow groups hang together: then only as many are named as have room.
            let x = f64::midpoint(from, to).min(WIDTH - half).max(half);
            if x - half >= free_from {
                add_name(into, x, y, &name);
                free_from = x + half + GAP;
            }
        }
    }
}

fn add_name(into: &mut Element, x: f64, y: f64, name: &str) {
    let half = width(name) / 2.0;
    if !name.is_empty() && x - half >= 0.0 && x + half <= WIDTH {
        into.add(
            svg::text(x, y, SIZE, Anchor::Middle, name)
                .class("axis-text")
                .fill(INK_SOFT)
                .set("font-family", svg::MONO),
        );
    }
}

/// The runs of slots that share a group; none when no slot has one.
fn groups<'a>(names: &[&'a SlotName]) -> Vec<Group<'a>> {
    let mut groups: Vec<Group<'a>> = Vec::new();
    for (index, name) in names.iter().enumerate() {
        match groups.last_mut() {
            Some(last) if last.name == name.group => last.after = index + 1,
            _ => groups.push(Group { name: &name.group, first: index, after: index + 1 }),
        }
    }
    if groups.iter().all(|group| group.name.is_empty()) { Vec::new() } else { groups }
}

/// One slot in how many can have its name.
fn every(names: &[&SlotName], step: f64) -> Option<usize> {
    let widest = names.iter().map(|name| width(&svg::fit(&name.short, SIZE, WIDEST))).fold(0.0, f64::max);
    let fits = |every: &usize| widest + GAP <= float(*every) * step || names.len() == 1;
    [1, 2, 3, 6].into_iter().find(fits)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn months(count: u8) -> Vec<SlotName> {
        (0..count).map(|index| SlotName::month(2020 + i32::from(index / 12), index % 12 + 1)).collect()
    }

    #[test]
    fn months_are_named_as_densely_as_there_is_room() {
        for (count, every) in
            [(1, Some(1)), (24, Some(1)), (36, Some(2)), (60, Some(3)), (120, Some(6)), (240, None)]
        {
            let months = months(count);
            assert_eq!(SlotAxis::new(&months, 40.0, 780.0).every, every, "{count}");
        }
    }

    #[test]
    fn slots_without_a_group_take_no_room_for_one() {
        let months = months(12);
        let alone: Vec<SlotName> =
            months.iter().map(|name| SlotName { group: String::new(), ..name.clone() }).collect();
        let axis = SlotAxis::new(&alone, 40.0, 780.0);
        assert!(axis.groups.is_empty() && axis.every == Some(1));
        assert!(axis.height() < SlotAxis::new(&months, 40.0, 780.0).height());
    }

    #[test]
    fn a_place_is_the_middle_of_its_slot() {
        let months = months(10);
        let axis = SlotAxis::new(&months, 100.0, 200.0);
        assert!((axis.x(0.0) - 105.0).abs() < 1e-9 && (axis.x(9.5) - 200.0).abs() < 1e-9);
        assert!(axis.holds(-0.5) && axis.holds(9.5) && !axis.holds(9.6) && !axis.holds(f64::NAN));
        assert!(!SlotAxis::new([], 100.0, 200.0).holds(0.0));
    }
}
