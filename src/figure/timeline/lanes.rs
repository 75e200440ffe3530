//! The vessels: two walls, and the lumen filled to the flow.

use super::axis::TimeAxis;
use super::lumen::{Vessel, stretches};
use super::{Lane, range};
use crate::figure::Distance;
use crate::figure::svg::{self, Anchor, Element, INK, PAPER, Path};

/// Height between the walls, of a main vessel and of a side branch.
const MAIN: f64 = 30.0;
const BRANCH: f64 = 16.0;
/// Room between two lanes, and between a lane and its branch.
const BETWEEN: f64 = 26.0;
const UNDER: f64 = 16.0;
/// The same on a wall, where the drawing is scaled up.
const MAIN_IN_ROOM: f64 = 22.0;
const BRANCH_IN_ROOM: f64 = 12.0;
const BETWEEN_IN_ROOM: f64 = 14.0;
const UNDER_IN_ROOM: f64 = 10.0;
/// How far to the right of the trunk each further branch begins.
const TAKE_OFF: f64 = 14.0;
/// Where the outer and the inner wall of a take-off stand to the left of its branch.
const MOUTH: (f64, f64) = (13.0, 5.0);
/// Past so many, take-offs share their room.
const MOST_MOUTHS: u32 = 6;
const LABEL_SIZE: f64 = 14.0;
const LABEL_LINE: f64 = 16.0;
const LABEL_INDENT: f64 = 14.0;
const LABEL_MOST: f64 = 150.0;

/// The lanes with their places.
pub(super) struct Lanes<'a> {
    placed: Vec<Placed<'a>>,
    /// The height they take together.
    pub(super) height: f64,
}

struct Placed<'a> {
    lane: &'a Lane,
    top: f64,
    height: f64,
    /// Where the vessel begins, to the left of the plot.
    lead: f64,
    /// The lower wall of the vessel that a branch takes off from.
    trunk: Option<f64>,
    /// How many branches take off from its own lower wall.
    mouths: u32,
}

/// Where the plot begins: right of the labels and of the take-offs.
pub(super) fn gutter(lanes: &[Lane]) -> f64 {
    let label = lanes
        .iter()
        .map(|lane| svg::text_width(&lane.label, LABEL_SIZE) + indent(lane))
        .fold(svg::text_width("minutes", 12.5), f64::max);
    label.min(LABEL_MOST) + 16.0 + take_off_room(lanes)
}

fn indent(lane: &Lane) -> f64 {
    if lane.depth == 0 { 0.0 } else { LABEL_INDENT }
}

/// The room for the take-offs of the main vessel that has the most branches.
fn take_off_room(lanes: &[Lane]) -> f64 {
    let (mut most, mut run) = (0_u32, 0_u32);
    for (index, lane) in lanes.iter().enumerate() {
        run = if lane.depth > 0 && index > 0 { run + 1 } else { 0 };
        most = most.max(run);
    }
    f64::from(most.min(MOST_MOUTHS)) * TAKE_OFF
}

/// Finds each lane its place.
pub(super) fn place(lanes: &[Lane], distance: Distance) -> Lanes<'_> {
    let (main, side, between, under) = match distance {
        Distance::Desk => (MAIN, BRANCH, BETWEEN, UNDER),
        Distance::Room => (MAIN_IN_ROOM, BRANCH_IN_ROOM, BETWEEN_IN_ROOM, UNDER_IN_ROOM),
    };
    let room = take_off_room(lanes);
    let mut placed: Vec<Placed> = Vec::new();
    let mut y = 4.0;
    let mut parent: Option<f64> = None;
    let mut parent_index = 0;
    let mut siblings: u32 = 0;
    for (index, lane) in lanes.iter().enumerate() {
        let branch = lane.depth > 0 && parent.is_some();
        if index > 0 {
            y += if branch { under } else { between };
        }
        let height = if branch { side } else { main };
        let (lead, trunk) = if branch {
            // The nearest branch begins furthest right, so that no trunk crosses another.
            let lead = (f64::from(siblings) * TAKE_OFF).min((room - TAKE_OFF).max(0.0));
            siblings += 1;
            (lead, parent)
        } else {
            parent = Some(y + height);
            parent_index = index;
            siblings = 0;
            (room, None)
        };
        placed.push(Placed { lane, top: y, height, lead, trunk, mouths: 0 });
        if branch {
            placed[parent_index].mouths = siblings;
        }
        y += height;
    }
    Lanes { placed, height: y + 14.0 }
}

impl Lanes<'_> {
    /// The upper wall of each lane.
    pub(super) fn tops(&self, top: f64) -> Vec<f64> {
        self.placed.iter().map(|placed| top + placed.top).collect()
    }

    /// Draws them from `top` down.
    pub(super) fn draw(&self, into: &mut Element, axis: &TimeAxis, top: f64) {
        for placed in &self.placed {
            let branch = placed.trunk.is_some();
            let (class, indent, weight) =
                if branch { ("lane-label branch", LABEL_INDENT, "400") } else { ("lane-label", 0.0, "600") };
            let (room, lines) = (LABEL_MOST - indent, if branch { 1 } else { 2 });
            let lines = svg::wrap(&placed.lane.label, LABEL_SIZE, room, lines);
            let mut y = top + placed.top + placed.height / 2.0 + 5.0;
            if lines.len() > 1 {
                y -= LABEL_LINE / 2.0;
            }
            for line in &lines {
                into.add(
                    svg::text(indent, y, LABEL_SIZE, Anchor::Start, line)
                        .class(class)
                        .set("font-weight", weight),
                );
                y += LABEL_LINE;
            }
            let mut group = Element::new("g");
            placed.draw(&mut group, axis, top);
            into.add(group);
        }
    }
}

impl Placed<'_> {
    fn draw(&self, into: &mut Element, axis: &TimeAxis, top: f64) {
        let (upper, lower) = (top + self.top, top + self.top + self.height);
        let left = axis.left - self.lead;
        // No line of the grid runs through a vessel, so that an empty one is seen to be empty.
        into.add(svg::rect(left, upper, axis.right - left, self.height).class("vessel-inside").fill(PAPER));
        let wall = self.trunk.map_or(Wall::Main, |parent| Wall::Branch { parent: top + parent });
        self.draw_walls(into, left, axis, upper, wall);
        let vessel = Vessel { middle: f64::midpoint(upper, lower), half: self.height / 2.0 - 3.0 };
        let stretches = stretches(&self.lane.sights, axis, left);
        vessel.draw(into, &stretches, axis.left);
        for sight in &self.lane.sights {
            if let Some((earliest, latest)) = sight.bounds.filter(|(a, b)| a != b) {
                range::draw(into, axis.x(earliest), axis.x(latest), lower + 6.0, false);
            }
        }
    }

    /// The two walls; a branch takes off from the lower wall of its parent, which opens for it.
    fn draw_walls(&self, into: &mut Element, left: f64, axis: &TimeAxis, upper: f64, wall: Wall) {
        let lower = upper + self.height;
        let (class, width, inner, outer) = match wall {
            Wall::Main => {
                let mut outer = Path::from(left, lower);
                // From the furthest branch to the nearest.
                for mouth in (0..self.mouths.min(MOST_MOUTHS)).rev() {
                    let start = axis.left - f64::from(mouth) * TAKE_OFF;
                    outer = outer.line(start - MOUTH.0, lower).hop(start - MOUTH.1, lower);
                }
                ("vessel-wall", 1.75, Path::from(left, upper), outer)
            }
            Wall::Branch { parent } => {
                let bend = |x: f64, y: f64, radius: f64| {
                    Path::from(x, parent).line(x, y - radius).curve(
                        (x, y - radius / 2.0),
                        (x + radius / 2.0, y),
                        (x + radius, y),
                    )
                };
                let inner = bend(left - MOUTH.1, upper, MOUTH.1 - 1.0);
                let outer = bend(left - MOUTH.0, lower, MOUTH.0 - 2.0);
                ("vessel-wall branch", 1.25, inner, outer)
            }
        };
        for (path, y) in [(inner, upper), (outer, lower)] {
            into.add(path.line(axis.right, y).element().class(class).set("fill", "none").stroke(INK, width));
        }
    }
}

/// Which walls a vessel has.
#[derive(Clone, Copy)]
enum Wall {
    /// Straight ones.
    Main,
    /// Walls that come down from the lower wall of the parent.
    Branch { parent: f64 },
}
