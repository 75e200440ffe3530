//! Signals: a ring around each dot, and one number.

use super::plot::{SIZE, halo_text};
use crate::figure::place::{Area, Room};
use crate::figure::svg::{self, Element, INK};

/// The dots that a signal is about.
pub(super) struct Ringed {
    pub(super) number: u32,
    /// Their coordinates; the number stands beside the last where there is room.
    pub(super) spots: Vec<(f64, f64)>,
}

/// How much wider than its dot a ring is.
const AROUND: f64 = 3.5;

/// The ring around a dot.
pub(super) fn ring(x: f64, y: f64, dot_radius: f64) -> Element {
    let ring = Element::new("circle").class("signal-ring").num("cx", x).num("cy", y);
    ring.num("r", dot_radius + AROUND).set("fill", "none").stroke(INK, 2.0)
}

/// Draws the rings and finds room for their numbers. Numbers without room are left to the list
/// beneath the plot.
pub(super) fn draw(into: &mut Element, signals: &[Ringed], dot_radius: f64, room: &mut Room) {
    let mut rings: Vec<(f64, f64)> = Vec::new();
    for spot in signals.iter().flat_map(|signal| &signal.spots) {
        if !rings.contains(spot) {
            rings.push(*spot);
        }
    }
    for (x, y) in rings {
        into.add(ring(x, y, dot_radius));
        room.taken.push(Area::of_dot(x, y));
    }
    for (numbers, spots) in numbered(signals) {
        // A little air between a number and its ring.
        let width = svg::text_width(&numbers, SIZE) + 5.0;
        let place = spots.iter().rev().find_map(|(x, y)| room.take(*x, *y, width));
        if let Some((x, y)) = place {
            into.add(halo_text(x, y, &numbers, "signal-number middle").set("font-weight", "600"));
        }
    }
}

/// The numbers with the dots beside which they may stand; signals that end at the same dot share
/// their text.
fn numbered(signals: &[Ringed]) -> Vec<(String, &[(f64, f64)])> {
    let mut texts: Vec<(String, &[(f64, f64)])> = Vec::new();
    for signal in signals.iter().filter(|signal| !signal.spots.is_empty()) {
        match texts.iter_mut().find(|(_, spots)| spots.last() == signal.spots.last()) {
            Some((text, _)) => {
                text.push_str(", ");
                text.push_str(&signal.number.to_string());
            }
            None => texts.push((signal.number.to_string(), &signal.spots)),
        }
    }
    texts
}
