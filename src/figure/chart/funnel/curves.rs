//! The target and the curves of the limits.

use super::{Across, FunnelChart};
use crate::figure::chart::ends::{self, End};
use crate::figure::chart::plot::{Plot, Spot};
use crate::figure::number;
use crate::figure::place::{Area, Room, Segment};
use crate::figure::svg::{self, Element, INK_SOFT, Path};

/// The height of a curve at a size, between its points; `None` outside them.
pub(super) fn at(curve: &[(f64, f64)], size: f64) -> Option<f64> {
    curve.windows(2).find_map(|pair| {
        let ((x1, y1), (x2, y2)) = (pair[0], pair[1]);
        let is_between = x1 <= size && size <= x2 && x1 < x2;
        is_between.then(|| y1 + (y2 - y1) * (size - x1) / (x2 - x1))
    })
}

pub(super) fn draw(chart: &FunnelChart, into: &mut Element, plot: &Plot, across: &Across, room: &mut Room) {
    let mut names: Vec<End<'_>> = Vec::new();
    for (index, limit) in chart.limits.iter().enumerate() {
        for curve in [&limit.upper, &limit.lower] {
            let parts = parts(curve, plot, across);
            if let Some((_, end)) = parts.last() {
                names.push(End::of_line(end.1, &limit.label));
                into.add(curve_element(&parts, index));
            }
            room.lines.extend(parts.into_iter().map(|part| (part, 2)));
        }
    }
    if let Some(y) = plot.spot(chart.target).and_then(Spot::on) {
        into.add(svg::line(plot.left, y, plot.right, y).class("centre-line").stroke(INK_SOFT, 1.25));
        room.lines.push((((plot.left, y), (plot.right, y)), 2));
        names.push(End::of_line(y, &chart.target_label));
    }
    ends::draw(into, plot, &names);
}

/// The parts of a curve within the plot.
fn parts(curve: &[(f64, f64)], plot: &Plot, across: &Across) -> Vec<Segment> {
    let Area(left, top, right, bottom) = plot.area();
    // A limit that runs along 0 is within.
    let area = Area(left - 1.0, top - 0.01, right + 1.0, bottom + 1.01);
    let points =
        curve.iter().filter_map(|(size, rate)| Some((number::plotted(*size)?, number::plotted(*rate)?)));
    let points: Vec<(f64, f64)> =
        points.map(|(size, rate)| (across.scale.beyond(size), plot.beyond(rate))).collect();
    points.windows(2).filter_map(|pair| area.clip((pair[0], pair[1]))).collect()
}

/// The outer limits have the longer dashes.
fn curve_element(parts: &[Segment], index: usize) -> Element {
    let mut path = Path::default();
    let mut before = None;
    for (from, to) in parts {
        if before != Some(*from) {
            path = path.hop(from.0, from.1);
        }
        path = path.line(to.0, to.1);
        before = Some(*to);
    }
    let (class, dashes) = if index == 0 { ("funnel-inner", "3 3") } else { ("funnel-outer", "9 4") };
    path.element().class(class).set("fill", "none").stroke(INK_SOFT, 1.25).set("stroke-dasharray", dashes)
}
