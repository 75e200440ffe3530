//! Where ribs and twigs stand.
//!
//! Ribs alternate above and below the spine, two to a joint, all at the same slope, so that each
//! has a slanting strip to itself. The room goes to the strips that hold the most.

use super::CauseClass;
use super::sketch::{Sketch, TALLEST};
use crate::figure::cause::REACH;
use crate::figure::scale::float;
use crate::figure::svg;

/// The width of the drawing, unless there are more classes than it can hold.
const WIDTH: f64 = 960.0;
/// How far a rib leans over its height, and over all of it at most.
const SLOPE: f64 = 0.16;
const LEAN: f64 = 60.0;
/// The least and the greatest width of a strip, and how much it grows at a time.
const NARROWEST: f64 = 128.0;
const WIDEST: f64 = 300.0;
const GROWTH: f64 = 8.0;
/// The room beside text in its strip: what the rib leans over the height of the text, and a gap.
const BESIDE: f64 = SLOPE * TALLEST + INSET + 4.0;
/// From the spine to the nearest twig above it, or the nearest text beneath it.
const LEAD: f64 = 24.0;
/// From a twig to the text beneath it.
const GAP: f64 = 15.0;
/// The arrow between the last joint and the effect.
const ARROW: f64 = 42.0;
/// The class at the end of a rib.
pub(super) const CLASS_SIZE: f64 = 15.0;
pub(super) const CLASS_LINE: f64 = 18.0;
/// The effect: its letters, its margin, the least and the greatest width of its box.
pub(super) const EFFECT_SIZE: f64 = 16.0;
pub(super) const EFFECT_LINE: f64 = 20.0;
pub(super) const PAD: f64 = 14.0;
const EFFECT_WIDTH: (f64, f64) = (166.0, 260.0);
const EFFECT_LINES: usize = 8;
/// From the left of a strip to the middle of its marks.
const INSET: f64 = REACH + 10.0;
/// The margin for the thickness of lines.
const EDGE: f64 = 3.0;

/// All in its place.
pub(super) struct Layout {
    pub(super) width: f64,
    pub(super) height: f64,
    /// The height of the spine, and where it begins.
    pub(super) spine: f64,
    pub(super) tail: f64,
    pub(super) ribs: Vec<Rib>,
    pub(super) effect: Effect,
}

/// One class.
pub(super) struct Rib {
    /// Where it meets the spine, and its free end.
    pub(super) joint: (f64, f64),
    pub(super) end: (f64, f64),
    /// The lines of its label and the baseline of the first.
    pub(super) label: Vec<String>,
    pub(super) label_y: f64,
    pub(super) twigs: Vec<Twig>,
}

/// One cause: its text stands on a line to the rib.
pub(super) struct Twig {
    pub(super) left: f64,
    pub(super) right: f64,
    pub(super) y: f64,
    pub(super) sketch: Sketch,
}

/// The box to which the spine leads.
pub(super) struct Effect {
    pub(super) left: f64,
    pub(super) top: f64,
    pub(super) width: f64,
    pub(super) height: f64,
    pub(super) lines: Vec<String>,
}

/// What a rib holds at a width.
struct Content {
    sketches: Vec<Sketch>,
    label: Vec<String>,
}

impl Content {
    fn of(class: &CauseClass, width: f64) -> Self {
        let room = width - BESIDE;
        let sketches = class.causes.iter().map(|cause| Sketch::of(cause, room)).collect();
        Self { sketches, label: svg::wrap(&class.label, CLASS_SIZE, room, 2) }
    }

    /// From the spine to the end of the rib.
    fn length(&self) -> f64 {
        LEAD + self.sketches.iter().map(|sketch| sketch.height + GAP).sum::<f64>()
    }

    /// From the spine to the far edge of the label.
    fn reach(&self) -> f64 {
        self.length() + 8.0 + float(self.label.len()) * CLASS_LINE
    }
}

impl Layout {
    pub(super) fn of(classes: &[CauseClass], effect: &str) -> Self {
        let columns: Vec<&[CauseClass]> = classes.chunks(2).collect();
        let widths = widths(&columns);
        let contents: Vec<Vec<Content>> = columns
            .iter()
            .zip(&widths)
            .map(|(column, width)| column.iter().map(|class| Content::of(class, *width)).collect())
            .collect();
        let farthest = |side: usize, of: fn(&Content) -> f64| {
            contents.iter().filter_map(|column| column.get(side)).map(of).fold(0.0, f64::max)
        };
        let longest = farthest(0, Content::length).max(farthest(1, Content::length));
        let slope = SLOPE.min(LEAN / longest.max(1.0));

        let left = EDGE + if columns.is_empty() { 200.0 } else { LEAN };
        let last = left + widths.iter().sum::<f64>();
        let mut effect = Effect::of(effect, last + ARROW);
        let above = farthest(0, Content::reach).max(effect.height / 2.0) + EDGE;
        let below = farthest(1, Content::reach).max(effect.height / 2.0) + EDGE;
        effect.top = above - effect.height / 2.0;
        let mut ribs = Vec::new();
        let mut joint = left;
        for (column, width) in contents.into_iter().zip(&widths) {
            joint += width;
            for (side, content) in column.into_iter().enumerate() {
                let strip = Strip { joint, spine: above, width: *width, slope };
                ribs.push(if side == 0 { strip.above(content) } else { strip.below(content) });
            }
        }
        Self {
            width: (effect.left + effect.width + EDGE).max(WIDTH),
            height: above + below,
            spine: above,
            tail: if columns.is_empty() { EDGE } else { left + INSET - 4.0 },
            ribs,
            effect,
        }
    }
}

/// The widths of the strips: the one that is tallest for its width grows until there is no room.
fn widths(columns: &[&[CauseClass]]) -> Vec<f64> {
    let mut widths = vec![NARROWEST; columns.len()];
    let tallness = |column: &[CauseClass], width: f64| {
        column.iter().map(|class| Content::of(class, width).length()).fold(0.0, f64::max) / width
    };
    let mut tall: Vec<f64> = columns.iter().map(|column| tallness(column, NARROWEST)).collect();
    let mut room = WIDTH - 2.0 * EDGE - LEAN - ARROW - EFFECT_WIDTH.0 - widths.iter().sum::<f64>();
    while room >= GROWTH {
        let growing = (0..widths.len()).filter(|&at| widths[at] + GROWTH <= WIDEST);
        let Some(at) = growing.max_by(|&a, &b| tall[a].total_cmp(&tall[b])) else {
            break;
        };
        widths[at] += GROWTH;
        tall[at] = tallness(columns[at], widths[at]);
        room -= GROWTH;
    }
    widths
}

impl Effect {
    fn of(text: &str, left: f64) -> Self {
        let width = (WIDTH - EDGE - left).clamp(EFFECT_WIDTH.0, EFFECT_WIDTH.1);
        let lines = svg::wrap(text, EFFECT_SIZE, width - 2.0 * PAD, EFFECT_LINES);
        let height = float(lines.len().max(1)) * EFFECT_LINE + 2.0 * PAD - 4.0;
        Self { left, top: 0.0, width, height, lines }
    }
}

/// The room of a rib: at every height as wide, and right up to the rib.
struct Strip {
    joint: f64,
    spine: f64,
    width: f64,
    slope: f64,
}

impl Strip {
    /// Where the rib is at a distance from the spine.
    fn rib(&self, distance: f64) -> f64 {
        self.joint - self.slope * distance
    }

    /// A twig at a distance from the spine, whose text nears the spine up to `nearest`.
    fn twig(&self, sketch: Sketch, distance: f64, nearest: f64, y: f64) -> Twig {
        let left = self.rib(nearest) - self.width + INSET;
        Twig { left, right: self.rib(distance), y, sketch }
    }

    /// Upwards, with the first cause at the top.
    fn above(&self, content: Content) -> Rib {
        let length = content.length();
        let mut twigs = Vec::new();
        let mut distance = LEAD;
        for sketch in content.sketches.into_iter().rev() {
            let height = sketch.height;
            twigs.push(self.twig(sketch, distance, distance, self.spine - distance));
            distance += height + GAP;
        }
        twigs.reverse();
        let end = self.spine - length;
        let label_y = end - 8.0 - (float(content.label.len()) - 1.0) * CLASS_LINE;
        self.finished(length, end, label_y, content.label, twigs)
    }

    /// Downwards, with the first cause at the spine.
    fn below(&self, content: Content) -> Rib {
        let length = content.length();
        let mut twigs = Vec::new();
        let mut distance = LEAD - GAP;
        for sketch in content.sketches {
            let nearest = distance + GAP;
            distance = nearest + sketch.height;
            twigs.push(self.twig(sketch, distance, nearest, self.spine + distance));
        }
        let end = self.spine + length;
        self.finished(length, end, end + CLASS_SIZE + 2.0, content.label, twigs)
    }

    fn finished(&self, length: f64, end: f64, label_y: f64, label: Vec<String>, twigs: Vec<Twig>) -> Rib {
        let (joint, end) = ((self.joint, self.spine), (self.rib(length), end));
        Rib { joint, end, label, label_y, twigs }
    }
}
