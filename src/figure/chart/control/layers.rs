//! What lies behind and above the values: the band to compare with, and the baseline.

use super::{Band, ControlChart};
use crate::figure::chart::plot::{self, Plot, Spot};
use crate::figure::number;
use crate::figure::svg::{self, Anchor, Element, INK_SOFT, Path};

/// The lower and the upper end of a band on the scale; `None` when it lies off it.
fn band_ends(band: &Band, plot: &Plot) -> Option<(f64, f64)> {
    let (low, high) = (number::plotted(band.low)?, number::plotted(band.high)?);
    let (low, high) = (low.min(high), low.max(high));
    let is_seen = !matches!(plot.spot(low)?, Spot::Above(_)) && !matches!(plot.spot(high)?, Spot::Below(_));
    is_seen.then(|| (plot.held(low), plot.held(high)))
}

/// The height of the middle of a band, where its name belongs.
pub(super) fn band_middle(band: &Band, plot: &Plot) -> Option<f64> {
    band_ends(band, plot).map(|(low, high)| f64::midpoint(low, high))
}

pub(super) fn draw_band(chart: &ControlChart, into: &mut Element, plot: &Plot) {
    if let Some((low, high)) = chart.band.as_ref().and_then(|band| band_ends(band, plot)) {
        // A band without height is still seen.
        let height = (low - high).max(2.0);
        into.add(svg::rect(plot.left, high, plot.width(), height).class("reference-band").fill("#e6e6e6"));
    }
}

/// A bracket over the slots from which the limits were computed, with its name above it.
pub(super) fn draw_baseline(into: &mut Element, plot: &Plot, ends: (f64, f64), label: &str, y: f64) {
    let bracket = Path::from(ends.0 + 1.0, y + 5.0).line(ends.0 + 1.0, y);
    let bracket = bracket.line(ends.1 - 1.0, y).line(ends.1 - 1.0, y + 5.0);
    into.add(bracket.element().class("bracket").set("fill", "none").stroke(INK_SOFT, 1.25));
    let label = svg::fit(label, plot::SIZE, plot.width());
    let x = ends.0.min(plot.right - svg::text_width(&label, plot::SIZE));
    into.add(svg::text(x, y - 5.0, plot::SIZE, Anchor::Start, &label).class("limit-text").fill(INK_SOFT));
}
