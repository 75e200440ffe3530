//! The dots with their names, and their lighter marks.

use super::{Across, FunnelUnit};
use crate::figure::chart::plot::{Plot, Spot, dot, edge_arrow, halo_text};
use crate::figure::chart::rings::ring;
use crate::figure::number;
use crate::figure::place::{Area, Room};
use crate::figure::svg::{self, Element, Path};

/// The radius of a dot.
const RADIUS: f64 = 4.5;
const SIZE: f64 = 12.5;
/// The widest name that is written whole.
const WIDEST: f64 = 120.0;

/// Draws them; the names for which there was no room.
pub(super) fn draw(
    units: &[&FunnelUnit],
    into: &mut Element,
    plot: &Plot,
    across: &Across,
    room: &mut Room,
) -> Vec<String> {
    let placed: Vec<(&FunnelUnit, f64, Spot)> = units
        .iter()
        .filter_map(|unit| Some((*unit, across.scale.at(f64::from(unit.procedures)), plot.spot(unit.rate)?)))
        .collect();
    for (unit, x, _) in &placed {
        draw_shrunken(into, unit, *x, plot, room);
    }
    for (unit, x, spot) in &placed {
        into.add(match spot {
            Spot::On(y) => dot(*x, *y, RADIUS),
            off => edge_arrow(*x, *off),
        });
        if unit.is_outside {
            into.add(ring(*x, spot.y(), RADIUS));
        }
        room.taken.push(Area::of_dot(*x, spot.y()));
    }
    let mut nameless = Vec::new();
    for (unit, x, spot) in placed {
        let name = svg::fit(unit.name.trim(), SIZE, WIDEST);
        let air = if unit.is_outside { 5.0 } else { 0.0 };
        match room.take(x, spot.y(), svg::text_width(&name, SIZE) + air) {
            Some((x, y)) => into.add(halo_text(x, y, &name, "point-text middle")),
            None => nameless.push(unit.name.trim().to_owned()),
        }
    }
    nameless
}

/// The shrunken rate as a dash across its interval.
fn draw_shrunken(into: &mut Element, unit: &FunnelUnit, x: f64, plot: &Plot, room: &mut Room) {
    let Some(interval) = &unit.shrunken else { return };
    let [Some(low), Some(middle), Some(high)] =
        [interval.low, interval.estimate, interval.high].map(number::plotted)
    else {
        return;
    };
    let (low, middle, high) = (plot.held(low), plot.held(middle), plot.held(high));
    let path = Path::from(x, low).line(x, high).hop(x - 6.0, middle).line(x + 6.0, middle);
    into.add(path.element().class("shrunken").set("fill", "none").stroke("#9a9a9a", 2.0));
    room.lines.push((((x, low), (x, high)), 1));
}
