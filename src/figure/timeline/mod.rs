//! A case's events over its vessels: the vessel line.
//!
//! Each lane is drawn as a vessel, two parallel walls with the lumen filled to the flow, so that a
//! closure is seen as a vessel that empties. Over the lanes stand the events, by shape and number;
//! under them brackets from began over recognised and the first response to controlled.

mod axis;
mod brackets;
mod known;
mod lanes;
mod legend;
mod lumen;
mod marks;
mod range;
mod shapes;
mod words;

pub use legend::legend;

use crate::figure::svg::{self, Anchor, Element};
use crate::figure::{Distance, Figure};
use crate::quantity::{Offset, TimiFlow};
use axis::TimeAxis;

/// Room to the right of the plot.
const MARGIN: f64 = 8.0;

/// What is drawn.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct TimelineDrawing {
    /// What it shows, in one line.
    pub title: String,
    /// The vessels from top to bottom.
    pub lanes: Vec<Lane>,
    /// The events.
    pub marks: Vec<Mark>,
    /// The complications.
    pub brackets: Vec<Bracket>,
    /// A stop point. What is later is not drawn, listed or told, nor how long it goes on, nor what
    /// the title tells.
    pub veil_from: Option<Offset>,
}

/// A vessel.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Lane {
    /// Its name.
    pub label: String,
    /// 0 for a main vessel; 1 for a side branch of the main vessel above it.
    pub depth: u8,
    /// Its flow as seen, in order of time.
    pub sights: Vec<LaneSight>,
}

/// A vessel's flow from one moment on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LaneSight {
    /// When it was seen.
    pub at: Offset,
    /// What was seen; `None` when the flow is not known from here on.
    pub flow: Option<TimiFlow>,
    /// The earliest and the latest that it may have been, when that is not just then.
    pub bounds: Option<(Offset, Offset)>,
}

/// An event.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Mark {
    /// Its number in the table of events.
    pub number: u32,
    /// When it was.
    pub at: Offset,
    /// The earliest and the latest that it may have been, when that is not just then.
    pub bounds: Option<(Offset, Offset)>,
    /// Whether only its place among the others is known.
    pub order_only: bool,
    /// What kind of event it is.
    pub family: MarkFamily,
    /// The lane on which it happened.
    pub lane: Option<usize>,
    /// What happened, in a few words.
    pub label: String,
}

impl Mark {
    /// Whether its time is less than exact.
    fn is_uncertain(&self) -> bool {
        self.order_only || self.bounds.is_some_and(|(earliest, latest)| earliest != latest)
    }
}

/// The families of kinds of event; each has its shape.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum MarkFamily {
    /// Access, guide, wire.
    Reach,
    /// Balloon, stent.
    Treat,
    /// Imaging, finding, flow.
    See,
    /// Symptom, ECG, haemodynamics, outcome.
    Patient,
    /// Drug, contrast.
    Give,
    /// Call for help, support device.
    Rescue,
    /// Decision.
    Decide,
}

impl MarkFamily {
    /// All families.
    pub const ALL: [Self; 7] =
        [Self::Reach, Self::Treat, Self::See, Self::Patient, Self::Give, Self::Rescue, Self::Decide];

    /// The kinds of event in it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Reach => "access, guide, wire",
            Self::Treat => "balloon, stent",
            Self::See => "imaging, finding, flow",
            Self::Patient => "symptom, ECG, pressure, outcome",
            Self::Give => "drug, contrast",
            Self::Rescue => "help, support device",
            Self::Decide => "decision",
        }
    }
}

/// A complication, from began over recognised and the first response to controlled.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Bracket {
    /// What it was.
    pub label: String,
    /// When it began.
    pub began: Option<Offset>,
    /// When it was recognised.
    pub recognised: Option<Offset>,
    /// When the first thing was done about it.
    pub responded: Option<Offset>,
    /// When it was controlled.
    pub controlled: Option<Offset>,
    /// The time from began to recognised as it is to be written; `None`: not known.
    pub to_recognition: Option<String>,
    /// The time from began to the first response as it is to be written; `None`: not known.
    pub to_response: Option<String>,
    /// The time from began to controlled as it is to be written; `None`: not known.
    pub to_control: Option<String>,
}

impl Bracket {
    /// Its moments, as far as they are known.
    fn moments(&self) -> impl Iterator<Item = Offset> + use<> {
        [self.began, self.recognised, self.responded, self.controlled].into_iter().flatten()
    }
}

impl TimelineDrawing {
    /// Draws it. `prefix` makes its ids unique on the page.
    #[must_use]
    pub fn draw(&self, prefix: &str) -> Figure {
        self.draw_for(Distance::Desk, prefix)
    }

    /// Draws it to be looked at from this far.
    #[must_use]
    pub fn draw_for(&self, distance: Distance, prefix: &str) -> Figure {
        let known = self.known();
        let axis = known.axis(distance);
        let lanes = lanes::place(&known.lanes, distance);
        let marks = marks::place(&known.marks, &axis, distance);
        let brackets = brackets::place(&known, &axis);

        let marks_top = 8.0;
        let lanes_top = marks_top + marks.height;
        let brackets_top = lanes_top + lanes.height;
        let axis_y = brackets_top + brackets.height + 6.0;
        let height = axis_y + axis::HEIGHT + 4.0;
        // A title says the finding, which a stop point does not know yet.
        let title =
            known.veil_from.map_or_else(|| known.title.clone(), |veil| format!("What is known at {veil}"));
        let summary = words::summary(&known);
        let mut root = svg::root(prefix, &title, &summary, distance.width(), height);
        axis.draw_grid(&mut root, lanes_top - marks::STEM, axis_y);
        lanes.draw(&mut root, &axis, lanes_top);
        axis.draw_breaks(&mut root, lanes_top - 6.0, brackets_top + 2.0);
        marks.draw(&mut root, marks_top, &lanes.tops(lanes_top));
        brackets.draw(&mut root, brackets_top);
        axis.draw(&mut root, axis_y);
        axis.draw_break_lengths(&mut root, axis_y + 36.0);
        if known.veil_from.is_some() {
            draw_veil(&mut root, (axis.right, distance.width() - MARGIN), axis_y);
        }
        Figure {
            title,
            description: words::DESCRIPTION.to_owned(),
            svg: root.write(),
            table: words::table(&known),
            summary,
        }
    }

    /// The axis that holds all that is drawn, up to the veil.
    fn axis(&self, distance: Distance) -> TimeAxis {
        let left = lanes::gutter(&self.lanes);
        // The veil has the same width whatever is under it.
        let veil = match (self.veil_from, distance) {
            (None, _) => 0.0,
            (Some(_), Distance::Desk) => VEIL_WIDTH,
            (Some(_), Distance::Room) => VEIL_WIDTH_IN_ROOM,
        };
        let right = distance.width() - MARGIN - veil;
        TimeAxis::fit(self.moments().chain(self.veil_from), left, right)
    }

    fn moments(&self) -> impl Iterator<Item = Offset> + '_ {
        let marks = self.marks.iter().map(|mark| mark.at);
        let sights = self.lanes.iter().flat_map(|lane| lane.sights.iter().map(|sight| sight.at));
        let brackets = self.brackets.iter().flat_map(Bracket::moments);
        marks.chain(sights).chain(brackets)
    }
}

/// The width of what is not known yet at a stop point.
const VEIL_WIDTH: f64 = 180.0;
/// The same on a wall, just wider than its words.
const VEIL_WIDTH_IN_ROOM: f64 = 104.0;

/// A veil over what is not known yet.
fn draw_veil(into: &mut Element, (from, to): (f64, f64), bottom: f64) {
    into.add(svg::rect(from, 0.0, to - from, bottom).class("veil").fill("#e4e4e4"));
    let (x, y) = (f64::midpoint(from, to), bottom / 2.0);
    into.add(svg::text(x, y, 13.0, Anchor::Middle, "not known yet").class("veil-text"));
}

#[cfg(test)]
mod examples;
#[cfg(test)]
mod tests;
