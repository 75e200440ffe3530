//! The inside of a vessel: filled to the flow, empty and capped where it is closed.

use super::LaneSight;
use super::axis::TimeAxis;
use crate::figure::svg::{self, Anchor, Element, INK, INK_SOFT, PAPER, Path};
use crate::quantity::TimiFlow;

/// The width of the hatching where a vessel closed.
const CAP: f64 = 22.0;
const LEAST_CAP: f64 = 5.0;
/// The length over which the lumen narrows or widens.
const TAPER: f64 = 10.0;

/// One stretch of one flow, in coordinates.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Stretch {
    from: f64,
    to: f64,
    flow: Option<TimiFlow>,
}

/// The flow as stretches from the left end of the vessel to the right end of the plot.
pub(super) fn stretches(sights: &[LaneSight], axis: &TimeAxis, left: f64) -> Vec<Stretch> {
    let mut found: Vec<Stretch> = Vec::new();
    let mut from = left;
    let mut flow = None;
    let mut close = |from: f64, to: f64, flow: Option<TimiFlow>| match found.last_mut() {
        Some(last) if last.flow == flow => last.to = to,
        _ if to > from => found.push(Stretch { from, to, flow }),
        _ => {}
    };
    for sight in sights {
        let x = axis.x(sight.at);
        close(from, x, flow);
        (from, flow) = (x, sight.flow);
    }
    close(from, axis.right, flow);
    found
}

/// The inside of one vessel.
pub(super) struct Vessel {
    /// The height of its centre line.
    pub(super) middle: f64,
    /// Half the height inside its walls.
    pub(super) half: f64,
}

impl Vessel {
    /// Draws the flow, and what stands where there is none.
    pub(super) fn draw(&self, into: &mut Element, stretches: &[Stretch], plot_left: f64) {
        self.draw_flow(into, stretches);
        for stretch in stretches {
            self.draw_end(into, stretch, plot_left);
        }
    }

    /// Half the height to which a flow fills the lumen: all of it, half of it, a hairline, nothing.
    fn fill(&self, flow: TimiFlow) -> f64 {
        match flow.grade() {
            3 => self.half,
            2 => self.half / 2.0,
            1 => 1.0,
            _ => 0.0,
        }
    }

    /// The filled part of the lumen: one shape for each run of stretches with flow.
    fn draw_flow(&self, into: &mut Element, stretches: &[Stretch]) {
        let flows = |s: &Stretch| s.flow.map_or(0.0, |flow| self.fill(flow)) > 0.0;
        for run in stretches.chunk_by(|a, b| flows(a) && flows(b)) {
            if run.first().is_some_and(flows) {
                into.add(self.run(run).element().class("lumen").fill(INK_SOFT));
            }
        }
    }

    fn run(&self, run: &[Stretch]) -> Path {
        // The upper contour from left to right; the lower one mirrors it back.
        let mut contour: Vec<(f64, f64)> = Vec::new();
        for (index, stretch) in run.iter().enumerate() {
            let half = stretch.flow.map_or(0.0, |flow| self.fill(flow));
            let taper = (TAPER / 2.0).min((stretch.to - stretch.from) / 2.0);
            let from = if index == 0 { stretch.from } else { stretch.from + taper };
            let to = if index + 1 == run.len() { stretch.to } else { stretch.to - taper };
            contour.extend([(from, half), (to, half)]);
        }
        let mut path = Path::default();
        for (index, &(x, half)) in contour.iter().enumerate() {
            path = self.contour_step(
                path,
                contour.get(index.wrapping_sub(1)),
                (x, self.middle - half),
                index,
                -1.0,
            );
        }
        let back: Vec<(f64, f64)> = contour.iter().rev().copied().collect();
        for (index, &(x, half)) in back.iter().enumerate() {
            let target = (x, self.middle + half);
            path = if index == 0 {
                path.line(target.0, target.1)
            } else {
                self.contour_step(path, back.get(index - 1), target, index, 1.0)
            };
        }
        path.close()
    }

    /// From one point of a contour to the next: straight along a stretch, curved between two.
    fn contour_step(
        &self,
        path: Path,
        last: Option<&(f64, f64)>,
        to: (f64, f64),
        index: usize,
        side: f64,
    ) -> Path {
        match last {
            None => Path::from(to.0, to.1),
            Some(_) if index % 2 == 1 => path.line(to.0, to.1),
            Some(&(x, half)) => {
                let middle = f64::midpoint(x, to.0);
                path.curve((middle, self.middle + side * half), (middle, to.1), to)
            }
        }
    }

    /// What stands where there is no flow: a dotted line when it is not known, a hatched cap and the
    /// grade when the vessel is closed.
    fn draw_end(&self, into: &mut Element, stretch: &Stretch, plot_left: f64) {
        let width = stretch.to - stretch.from;
        match stretch.flow {
            None => into.add(
                svg::line(stretch.from, self.middle, stretch.to, self.middle)
                    .class("lumen-unknown")
                    .stroke(INK_SOFT, 1.5)
                    .set("stroke-dasharray", "1.5 5")
                    .set("stroke-linecap", "round"),
            ),
            Some(flow) if flow.grade() == 0 => {
                let from = stretch.from.max(plot_left.min(stretch.to));
                // Even a short closure is seen.
                let cap = CAP.min(stretch.to - from).max(LEAST_CAP);
                self.draw_cap(into, from, from + cap);
                if self.half > 7.0 && width > CAP + 58.0 {
                    into.add(
                        svg::text(from + cap + 8.0, self.middle + 4.5, 12.5, Anchor::Start, "TIMI 0")
                            .class("lane-note"),
                    );
                }
            }
            Some(_) => {}
        }
    }

    /// Cross-hatching between two coordinates, from wall to wall, with a line at either end.
    fn draw_cap(&self, into: &mut Element, from: f64, to: f64) {
        const STEP: f64 = 5.5;
        let half = self.half + 3.0;
        let (top, bottom) = (self.middle - half, self.middle + half);
        into.add(
            svg::rect(from, top, to - from, bottom - top).class("lumen-closed").fill(PAPER).stroke(INK, 1.5),
        );
        let mut path = Path::default();
        let mut offset = STEP - (bottom - top);
        while offset < to - from {
            // A rising stroke and its mirror, both clipped to the cap.
            let (a, b) = (offset.max(0.0), (offset + bottom - top).min(to - from));
            if b > a {
                path = path.hop(from + a, bottom - (a - offset)).line(from + b, bottom - (b - offset));
                path = path.hop(from + a, top + (a - offset)).line(from + b, top + (b - offset));
            }
            offset += STEP;
        }
        into.add(path.element().class("hatch").set("fill", "none").stroke(INK, 1.25));
    }
}
