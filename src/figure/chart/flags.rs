//! What was done: a dashed line down the plot, with a flag above it.

use super::Marker;
use super::notes::Notes;
use super::plot::{Plot, SIZE};
use super::slots::SlotAxis;
use crate::figure::pack::{Place, Wish, pack};
use crate::figure::place::Room;
use crate::figure::scale::float;
use crate::figure::svg::{self, Anchor, Element, INK, PAPER, Path};

/// The height of a flag.
const FLAG: f64 = 18.0;
/// From one row of flags to the next.
const ROW: f64 = 21.0;
/// Room between the flags and the plot, in which a line leads from a flag to its time.
const POLE: f64 = 8.0;

/// The flags of a chart.
pub(super) struct Flags<'a> {
    drawn: Vec<(&'a Marker, f64, Place)>,
    /// Those outside the time that is drawn.
    left: Vec<&'a Marker>,
}

/// The words on a flag.
pub(super) fn name(marker: &Marker) -> String {
    format!("A{}", marker.number)
}

fn flag_width(marker: &Marker) -> f64 {
    svg::text_width(&name(marker), SIZE) + 9.0
}

impl<'a> Flags<'a> {
    pub(super) fn place(actions: &'a [Marker], axis: &SlotAxis<'_>, left: f64, right: f64) -> Self {
        let (mut drawn, outside): (Vec<&Marker>, Vec<&Marker>) =
            actions.iter().partition(|marker| axis.holds(marker.at));
        drawn.sort_by(|a, b| a.at.total_cmp(&b.at));
        let wishes: Vec<Wish> =
            drawn.iter().map(|marker| Wish { x: axis.x(marker.at), width: flag_width(marker) }).collect();
        let places = pack(&wishes, left, right, 1);
        let placed = drawn.into_iter().zip(places).zip(&wishes);
        Self { drawn: placed.map(|((marker, place), wish)| (marker, wish.x, place)).collect(), left: outside }
    }

    /// The room that they take above the plot.
    pub(super) fn height(&self) -> f64 {
        let rows = self.drawn.iter().map(|(_, _, place)| place.row + 1).max();
        rows.map_or(0.0, |rows| float(rows) * ROW + POLE)
    }

    /// The room of a plot for words, which keep off the lines if they can.
    pub(super) fn room(&self, plot: &Plot) -> Room {
        let lines = self.drawn.iter().map(|(_, x, _)| (((*x, plot.top), (*x, plot.bottom())), 2));
        Room { plot: plot.area(), taken: Vec::new(), lines: lines.collect() }
    }

    pub(super) fn draw(&self, into: &mut Element, plot: &Plot) {
        for (marker, x, place) in &self.drawn {
            let foot = plot.top - POLE - float(place.row) * ROW;
            let pole = Path::from(place.x, foot).line(*x, plot.top).line(*x, plot.bottom());
            into.add(
                pole.element()
                    .class("action-line")
                    .set("fill", "none")
                    .stroke(INK, 1.0)
                    .set("stroke-dasharray", "5 3"),
            );
            add_flag(into, place.x, foot - FLAG, marker);
        }
    }

    /// What the flags stand for.
    pub(super) fn tell(&self, notes: &mut Notes) {
        for (marker, ..) in &self.drawn {
            notes.flag(name(marker), &marker.label);
        }
        for marker in &self.left {
            notes.flag(name(marker), &format!("{} (outside the time that is drawn)", marker.label.trim()));
        }
    }
}

fn add_flag(into: &mut Element, x: f64, top: f64, marker: &Marker) {
    let width = flag_width(marker);
    into.add(svg::rect(x - width / 2.0, top, width, FLAG).class("flag").fill(PAPER).stroke(INK, 1.0));
    into.add(svg::text(x, top + 13.5, SIZE, Anchor::Middle, &name(marker)).class("flag-text middle"));
}
