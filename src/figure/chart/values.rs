//! Values over time: dots joined to their neighbours.

use super::plot::{Plot, SIZE, Spot, dot as dot_mark, edge_arrow, halo_text};
use super::rings::Ringed;
use super::slots::SlotAxis;
use crate::figure::number;
use crate::figure::place::{Area, Room};
use crate::figure::scale::float;
use crate::figure::svg::{self, Element, INK, Path};

/// A value on the drawing.
pub(super) struct Dot {
    /// The index of its slot.
    pub(super) slot: usize,
    value: f64,
    x: f64,
    pub(super) spot: Spot,
}

impl Dot {
    /// What it keeps others off.
    fn area(&self, radius: f64) -> Area {
        let y = self.spot.y();
        Area(self.x - radius, y - radius, self.x + radius, y + radius)
    }
}

/// The values of the slots, drawn upwards, or downwards when `sign` is −1; a slot without one that
/// a scale can hold has no dot.
pub(super) fn dots(
    values: impl Iterator<Item = Option<f64>>,
    sign: f64,
    plot: &Plot,
    axis: &SlotAxis<'_>,
) -> Vec<Dot> {
    let dots = values.enumerate().filter_map(|(slot, value)| {
        let value = value?;
        Some(Dot { slot, value, x: axis.x(float(slot)), spot: plot.spot(sign * value)? })
    });
    dots.collect()
}

/// The rings of a signal around those of the dots that it is about.
pub(super) fn ringed(dots: &[Dot], number: u32, slots: &[usize]) -> Ringed {
    let about = dots.iter().filter(|dot| slots.contains(&dot.slot));
    Ringed { number, spots: about.map(|dot| (dot.x, dot.spot.y())).collect() }
}

/// The line that joins neighbours, and the dots; values beyond the scale are arrows at its edge.
pub(super) fn draw(into: &mut Element, dots: &[Dot], radius: f64, room: &mut Room) {
    let mut path = Path::default();
    for (index, dot) in dots.iter().enumerate() {
        let before = index.checked_sub(1).map(|before| &dots[before]);
        let joined = before.filter(|before| before.slot + 1 == dot.slot);
        let (x, y) = (dot.x, dot.spot.y());
        path = match joined {
            None => path.hop(x, y),
            Some(before) => {
                room.lines.push((((before.x, before.spot.y()), (x, y)), 3));
                path.line(x, y)
            }
        };
        room.taken.push(dot.area(radius + 1.0));
    }
    if dots.len() > 1 {
        let width = if radius < 3.0 { 1.0 } else { 1.75 };
        into.add(path.element().class("value-line").set("fill", "none").stroke(INK, width));
    }
    for dot in dots {
        into.add(match dot.spot {
            Spot::On(y) => dot_mark(dot.x, y, radius),
            off => edge_arrow(dot.x, off),
        });
    }
}

/// The values of the arrows at the edge, where there is room.
pub(super) fn name_cut(into: &mut Element, dots: &[Dot], room: &mut Room) {
    for dot in dots.iter().filter(|dot| dot.spot.on().is_none()) {
        let words = number::read(dot.value);
        if let Some((x, y)) = room.take(dot.x, dot.spot.y(), svg::text_width(&words, SIZE)) {
            into.add(halo_text(x, y, &words, "point-text middle"));
            // The number of a signal beside it would read on as a digit.
            room.taken.push(Area::of_text(x, y, svg::text_width(&words, SIZE) + 24.0));
        }
    }
}
