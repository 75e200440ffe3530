//! The arrows between complications.

use super::{ARCH, NOTE_SIZE, Spot};
use crate::figure::svg::{self, Anchor, Element, INK, INK_SOFT, PAPER, Path};

/// How an arrow runs.
#[derive(Clone, Copy)]
pub(super) enum Way {
    /// From left to right.
    Across,
    /// From left to right, in an arch over what stands between.
    Over,
    /// From top to bottom.
    Down,
    /// From top to bottom, to the right of what stands between.
    Beside,
    /// From left to right, along a lane at this height beneath what stands between.
    Under(f64),
    /// From top to bottom, along a lane this far to the right; without words where lanes are many.
    Lane(f64, bool),
}

/// The line of an arrow, its tip and the direction there, and where its words stand.
struct Arrow {
    path: Path,
    tip: (f64, f64),
    direction: (f64, f64),
    words: Option<(f64, f64)>,
}

const HEAD: f64 = 9.0;

fn arrow(from: &Spot, to: &Spot, way: Way) -> Arrow {
    let (a, b) = (from.centre(), to.centre());
    match way {
        Way::Across => {
            let (start, tip) = ((from.x + from.width, a.1), (to.x, b.1));
            let end = tip.0 - HEAD;
            let middle = f64::midpoint(start.0, end);
            Arrow {
                path: Path::from(start.0, start.1).curve((middle, start.1), (middle, tip.1), (end, tip.1)),
                tip,
                direction: (1.0, 0.0),
                words: Some((middle, f64::midpoint(start.1, tip.1))),
            }
        }
        Way::Over => {
            let (start, tip) = ((a.0 + 24.0, from.y), (b.0 - 24.0, to.y));
            let peak = ARCH / 2.0;
            Arrow {
                path: Path::from(start.0, start.1)
                    .curve((start.0, peak), (start.0, peak), (start.0 + 24.0, peak))
                    .line(tip.0 - 24.0, peak)
                    .curve((tip.0, peak), (tip.0, peak), (tip.0, tip.1 - HEAD)),
                tip,
                direction: (0.0, 1.0),
                words: Some((f64::midpoint(start.0, tip.0), peak)),
            }
        }
        Way::Down => {
            let (start, tip) = ((a.0, from.y + from.height), (b.0, to.y));
            let end = tip.1 - HEAD;
            let middle = f64::midpoint(start.1, end);
            Arrow {
                path: Path::from(start.0, start.1).curve((start.0, middle), (tip.0, middle), (tip.0, end)),
                tip,
                direction: (0.0, 1.0),
                words: Some((f64::midpoint(start.0, tip.0), middle)),
            }
        }
        Way::Beside => {
            let (start, tip) = ((from.x + from.width, a.1), (to.x + to.width, b.1 - 8.0));
            let side = start.0.max(tip.0) + 28.0;
            Arrow {
                path: Path::from(start.0, start.1)
                    .curve((side, start.1), (side, start.1), (side, start.1 + 24.0))
                    .line(side, tip.1 - 24.0)
                    .curve((side, tip.1), (side, tip.1), (tip.0 + HEAD, tip.1)),
                tip,
                direction: (-1.0, 0.0),
                words: Some((side, f64::midpoint(start.1, tip.1))),
            }
        }
        Way::Under(lane) => {
            let (start, tip) = ((from.x + from.width, a.1 + 10.0), (to.x, b.1 + 10.0));
            let (leaves, arrives) = (start.0 + 6.0, tip.0 - 14.0);
            Arrow {
                path: Path::from(start.0, start.1)
                    .line(leaves, start.1)
                    .line(leaves, lane)
                    .line(arrives, lane)
                    .line(arrives, tip.1)
                    .line(tip.0 - HEAD, tip.1),
                tip,
                direction: (1.0, 0.0),
                words: Some((f64::midpoint(start.0, tip.0), lane)),
            }
        }
        Way::Lane(side, worded) => {
            let (start, tip) = ((from.x + from.width, a.1 + 8.0), (to.x + to.width, b.1 - 8.0));
            Arrow {
                path: Path::from(start.0, start.1)
                    .line(side, start.1)
                    .line(side, tip.1)
                    .line(tip.0 + HEAD, tip.1),
                tip,
                direction: (-1.0, 0.0),
                // Above the box that it leads to, where no arrow leaves for a lane.
                words: worded.then_some((side, to.y - 20.0)),
            }
        }
    }
}

/// An arrow from a cause to its consequence. Its words stand on the line, on paper.
pub(super) fn draw_edge(into: &mut Element, from: &Spot, to: &Spot, way: Way) {
    let Arrow { path, tip, direction, words: label } = arrow(from, to, way);
    into.add(path.element().class("edge").set("fill", "none").stroke(INK, 1.5));
    let (dx, dy) = direction;
    let back = (tip.0 - HEAD * dx, tip.1 - HEAD * dy);
    into.add(
        Path::from(tip.0, tip.1)
            .line(back.0 - 5.0 * dy, back.1 - 5.0 * dx)
            .line(back.0 + 5.0 * dy, back.1 + 5.0 * dx)
            .close()
            .element()
            .class("edge-head")
            .fill(INK),
    );
    let Some(label) = label else { return };
    let width = svg::text_width("led to", NOTE_SIZE) + 6.0;
    into.add(svg::rect(label.0 - width / 2.0, label.1 - 7.0, width, 14.0).class("edge-gap").fill(PAPER));
    into.add(
        svg::text(label.0, label.1 + 4.0, NOTE_SIZE, Anchor::Middle, "led to")
            .class("edge-text")
            .fill(INK_SOFT),
    );
}
