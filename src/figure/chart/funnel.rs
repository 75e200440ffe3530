//! Rates of several operators or units against what chance alone allows at their size.
//!
//! Never a ranking: the table is in the order of the pseudonyms, and who has too few procedures is
//! neither drawn nor listed.

mod curves;
mod marks;
mod words;

use super::ends;
use super::plot::{Plot, Range, SIZE, WIDTH, axis_title};
use super::reach::{reach, round_ends};
use super::sheet::{self, Told};
use crate::figure::Figure;
use crate::figure::interval::Interval;
use crate::figure::number;
use crate::figure::place::Room;
use crate::figure::rows;
use crate::figure::scale::Linear;
use crate::figure::svg::{self, Anchor, Element, INK_SOFT};

/// Rates by the number of procedures, with limits that narrow to the right.
#[derive(Debug, Clone, PartialEq)]
pub struct FunnelChart {
    /// What it finds, in one line.
    pub title: String,
    /// The unit of the rates, such as `per 1,000 procedures`.
    pub unit: String,
    /// What is counted to the right, such as `procedures at risk`.
    pub x_title: String,
    /// What one dot is, such as `Operator`; the first column of the table.
    pub what: String,
    /// What it is made of, such as `41 events in 5,230 procedures, 9 operators`; may be empty.
    pub counted: String,
    /// The rate that the limits are drawn around.
    pub target: f64,
    /// Its name, such as `the department, 7.8`.
    pub target_label: String,
    /// The limits, such as those of 95 % and of 99.8 %, from the inner to the outer.
    pub limits: Vec<FunnelLimit>,
    /// The operators or units, in any order.
    pub units: Vec<FunnelUnit>,
    /// The least number of procedures from which a unit is shown; 0 shows all.
    pub minimum: u32,
    /// How the limits and the shrunken rates are made and where that is published.
    pub source_rule: String,
}

/// A pair of limit curves.
#[derive(Debug, Clone, PartialEq)]
pub struct FunnelLimit {
    /// Its name at the right end, such as `95 %`.
    pub label: String,
    /// Procedures and rate along the lower curve, in ascending order; empty: none.
    pub lower: Vec<(f64, f64)>,
    /// The same along the upper curve.
    pub upper: Vec<(f64, f64)>,
}

/// One operator or unit.
#[derive(Debug, Clone, PartialEq)]
pub struct FunnelUnit {
    /// Its pseudonym.
    pub name: String,
    /// Its procedures.
    pub procedures: u32,
    /// Its rate, in the unit of the chart.
    pub rate: f64,
    /// What the rate is made of, such as `3 of 152`.
    pub counts: String,
    /// Its rate drawn towards the others', with its interval: a lighter mark.
    pub shrunken: Option<Interval>,
    /// Where it stands, such as `between the limits` or `above the 99.8 % limit`.
    pub standing: String,
    /// Whether it is outside the outer limits: its dot is ringed.
    pub is_outside: bool,
}

/// The height of the plot.
const HEIGHT: f64 = 320.0;
/// The room above the plot for the name of the least number.
const ABOVE: f64 = 44.0;

/// The axis to the right.
struct Across {
    scale: Linear,
    ticks: Vec<f64>,
}

impl FunnelChart {
    /// Draws it. `prefix` makes its ids unique on the page.
    #[must_use]
    pub fn draw(&self, prefix: &str) -> Figure {
        let shown = self.shown();
        let sizes = shown.iter().map(|unit| f64::from(unit.procedures));
        let most = sizes.fold(f64::from(self.minimum).max(10.0) * 2.0, f64::max);
        let (_, most, ticks) = round_ends(0.0, most * 1.03, 8.0);
        let range = Range::new(0.0, self.reach(&shown, most));
        let left = range.gutter();
        let right = WIDTH - ends::gutter(self.names());
        let plot = Plot { left, right, top: ABOVE, height: HEIGHT, range };
        let across = Across { scale: Linear { from: (0.0, left), to: (most, right) }, ticks };
        let mut room = Room { plot: plot.area(), taken: Vec::new(), lines: Vec::new() };

        let mut drawn = Element::new("g");
        self.draw_axes(&mut drawn, &plot, &across);
        curves::draw(self, &mut drawn, &plot, &across, &mut room);
        let nameless = marks::draw(&shown, &mut drawn, &plot, &across, &mut room);
        if shown.is_empty() {
            plot.draw_nothing(&mut drawn, "none to show yet");
        }
        let notes = words::notes(self, &shown, &plot, &nameless);
        let told = Told {
            description: words::description(self, &notes),
            table: words::table(self, &shown),
            summary: words::summary(self, &shown),
        };
        sheet::figure((prefix, &self.title), drawn, (left, plot.bottom() + 44.0), &notes, told)
    }

    /// Those with enough procedures, in the order of their names.
    fn shown(&self) -> Vec<&FunnelUnit> {
        let mut shown: Vec<&FunnelUnit> =
            self.units.iter().filter(|unit| unit.procedures >= self.minimum).collect();
        shown.sort_by(|a, b| words::name_order(&a.name).cmp(&words::name_order(&b.name)));
        shown
    }

    /// What is named at the right.
    fn names(&self) -> impl Iterator<Item = &str> {
        self.limits.iter().map(|limit| limit.label.as_str()).chain([self.target_label.as_str()])
    }

    /// How far the plot reaches: to the rates, and to the limits at their sizes and at the greatest.
    fn reach(&self, shown: &[&FunnelUnit], most: f64) -> f64 {
        let rates: Vec<f64> = shown.iter().map(|unit| unit.rate).collect();
        let sizes: Vec<f64> = shown.iter().map(|unit| f64::from(unit.procedures)).chain([most]).collect();
        let uppers = |limit: &FunnelLimit| {
            let heights = sizes.iter().filter_map(|size| curves::at(&limit.upper, *size));
            heights.collect::<Vec<f64>>()
        };
        let mut lines: Vec<f64> = self.limits.iter().flat_map(uppers).collect();
        lines.push(self.target);
        let shrunken = shown.iter().filter_map(|unit| unit.shrunken.as_ref()).map(|interval| interval.high);
        reach(&rates, &lines, &shrunken.collect::<Vec<_>>())
    }

    /// Both axes, and what is too small to be shown.
    fn draw_axes(&self, into: &mut Element, plot: &Plot, across: &Across) {
        let least = across.scale.at(f64::from(self.minimum));
        if self.minimum > 0 {
            let veil = svg::rect(plot.left, plot.top, least - plot.left, plot.height);
            into.add(veil.class("reference-band").fill("#ececec"));
        }
        plot.draw_values(into, &self.unit);
        let ticks = across.ticks.iter().map(|tick| (across.scale.at(*tick), number::tick(*tick, true)));
        rows::ticks(into, ticks, plot.top, plot.bottom());
        into.add(
            svg::line(plot.left, plot.bottom(), plot.right, plot.bottom())
                .class("axis-line")
                .stroke(INK_SOFT, 1.0),
        );
        into.add(axis_title(plot.left, plot.bottom() + 38.0, &self.x_title, WIDTH - plot.left));
        if self.minimum > 0 {
            into.add(
                svg::line(least, plot.top - 6.0, least, plot.bottom())
                    .class("axis-tick")
                    .stroke(INK_SOFT, 1.0),
            );
            let words = format!("fewer than {}: not shown", number::read(f64::from(self.minimum)));
            // Over the veil's edge, kept on the drawing.
            let x = least.min(WIDTH - svg::text_width(&words, SIZE));
            into.add(
                svg::text(x, plot.top - 10.0, SIZE, Anchor::Start, &words).class("limit-text").fill(INK_SOFT),
            );
        }
    }
}

#[cfg(test)]
mod examples;
#[cfg(test)]
mod tests;
