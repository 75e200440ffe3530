//! The centre line and the limits: a step for each slot.

use super::Slot;
use crate::figure::chart::plot::{Plot, Spot};
use crate::figure::chart::slots::SlotAxis;
use crate::figure::place::Segment;
use crate::figure::svg::{Element, INK_SOFT, Path};

/// Which line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Step {
    Upper,
    Centre,
    Lower,
}

/// What was drawn of a line.
pub(super) struct Drawn {
    /// The height at which it ends, where its name belongs.
    pub(super) end: Option<f64>,
    /// Its level parts.
    pub(super) segments: Vec<Segment>,
}

impl Step {
    /// Where the line is in a slot.
    pub(super) const fn of(self, slot: &Slot) -> Option<f64> {
        match self {
            Self::Upper => slot.upper,
            Self::Centre => slot.centre,
            Self::Lower => slot.lower,
        }
    }

    fn element(self, path: Path) -> Element {
        let element = path.element().set("fill", "none");
        match self {
            Self::Centre => element.class("centre-line").stroke(INK_SOFT, 1.25),
            Self::Upper | Self::Lower => {
                element.class("limit-line").stroke(INK_SOFT, 1.0).set("stroke-dasharray", "6 4")
            }
        }
    }
}

/// Draws the line of the slots; it breaks where there is none, or none on the scale.
pub(super) fn draw(
    into: &mut Element,
    plot: &Plot,
    axis: &SlotAxis<'_>,
    slots: &[Slot],
    step: Step,
) -> Drawn {
    let mut drawn = Drawn { end: None, segments: Vec::new() };
    let mut path = Path::default();
    let mut goes_on = false;
    for (index, slot) in slots.iter().enumerate() {
        let Some(y) = step.of(slot).and_then(|value| plot.spot(value)).and_then(Spot::on) else {
            goes_on = false;
            continue;
        };
        let (from, to) = axis.ends(index, index + 1);
        path = if goes_on { path.line(from, y) } else { path.hop(from, y) }.line(to, y);
        goes_on = true;
        drawn.end = Some(y);
        drawn.segments.push(((from, y), (to, y)));
    }
    if drawn.end.is_some() {
        into.add(step.element(path));
    }
    drawn
}
