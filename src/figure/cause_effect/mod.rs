//! Cause and effect: a spine that leads to what happened, with a rib for each class of causes.

mod layout;
mod sketch;
mod words;

use super::Figure;
pub use super::cause::CauseWeight;
use super::scale::float;
use super::svg::{self, Anchor, Element, INK, INK_SOFT, PAPER, Path};
use layout::{CLASS_LINE, CLASS_SIZE, EFFECT_LINE, EFFECT_SIZE, Layout, PAD, Rib, Twig};
use sketch::{LINE, NOTE_LINE, NOTE_SIZE, SIZE};

/// What is drawn.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct CauseEffect {
    /// The event or harm to which all leads.
    pub effect: String,
    /// The classes of the taxonomy in its order. A class without a cause is not drawn.
    pub classes: Vec<CauseClass>,
}

/// A class of causes.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct CauseClass {
    /// Its name, such as `Team`.
    pub label: String,
    /// Its causes; the heavier come first, and those that weigh the same keep their order.
    pub causes: Vec<Cause>,
}

/// One cause.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Cause {
    /// The leaf of the taxonomy.
    pub label: String,
    /// How much it weighs.
    pub weight: CauseWeight,
    /// The numbers of the events that show it, as the timeline has them.
    pub events: Vec<u32>,
}

impl Cause {
    /// The numbers of its events in order, each once.
    fn events(&self) -> Vec<u32> {
        let mut events = self.events.clone();
        events.sort_unstable();
        events.dedup();
        events
    }
}

/// The length of the arrow's head on the spine.
const HEAD: f64 = 11.0;

impl CauseEffect {
    /// Draws it. `prefix` makes its ids unique on the page.
    #[must_use]
    pub fn draw(&self, prefix: &str) -> Figure {
        let classes = self.drawn();
        let layout = Layout::of(&classes, &self.effect);
        let (title, summary) = (words::title(&classes), words::summary(&self.effect, &classes));
        let mut root = svg::root(prefix, &title, &summary, layout.width, layout.height);
        for rib in &layout.ribs {
            draw_rib(&mut root, rib);
        }
        draw_spine(&mut root, &layout);
        if classes.is_empty() {
            let (x, y) = (layout.tail, layout.spine - 12.0);
            root.add(note(x, y, words::NONE));
        }
        Figure {
            title,
            description: words::description(),
            svg: root.write(),
            table: words::table(&classes),
            summary,
        }
    }

    /// The classes that have a cause, the heavier causes first.
    fn drawn(&self) -> Vec<CauseClass> {
        let mut classes: Vec<CauseClass> =
            self.classes.iter().filter(|class| !class.causes.is_empty()).cloned().collect();
        for class in &mut classes {
            class.causes.sort_by_key(|cause| cause.weight);
        }
        classes
    }
}

fn draw_rib(into: &mut Element, rib: &Rib) {
    let (joint, end) = (rib.joint, rib.end);
    into.add(svg::line(end.0, end.1, joint.0, joint.1).class("rib").stroke(INK, 2.0));
    for (index, line) in rib.label.iter().enumerate() {
        let y = rib.label_y + float(index) * CLASS_LINE;
        into.add(
            svg::text(end.0 + 2.0, y, CLASS_SIZE, Anchor::End, line)
                .class("cause-class end")
                .set("font-weight", "600"),
        );
    }
    for twig in &rib.twigs {
        draw_twig(into, twig);
    }
}

fn draw_twig(into: &mut Element, twig: &Twig) {
    let weight = twig.sketch.weight;
    into.add(weight.line(svg::line(twig.left, twig.y, twig.right, twig.y)));
    into.add(weight.mark(twig.left, twig.y));
    let mut y = twig.y - twig.sketch.height + SIZE;
    for line in &twig.sketch.lines {
        let text = svg::text(twig.left - 4.0, y, SIZE, Anchor::Start, line);
        into.add(text.class(&weight.class("cause-text")).set("font-weight", twig.sketch.bold()));
        y += LINE;
    }
    y += NOTE_LINE - LINE;
    for line in &twig.sketch.notes {
        into.add(note(twig.left - 4.0, y, line));
        y += NOTE_LINE;
    }
}

fn note(x: f64, y: f64, text: &str) -> Element {
    svg::text(x, y, NOTE_SIZE, Anchor::Start, text).class("cause-note").fill(INK_SOFT)
}

fn draw_spine(into: &mut Element, layout: &Layout) {
    let (y, effect) = (layout.spine, &layout.effect);
    let tip = effect.left;
    into.add(svg::line(layout.tail, y, tip - HEAD, y).class("spine").stroke(INK, 3.5));
    let head = Path::from(tip, y).line(tip - HEAD, y - 7.0).line(tip - HEAD, y + 7.0).close();
    into.add(head.element().class("spine-head").fill(INK));
    into.add(
        svg::rect(effect.left, effect.top, effect.width, effect.height)
            .num("rx", 4.0)
            .class("effect")
            .fill(PAPER)
            .stroke(INK, 2.0),
    );
    for (index, line) in effect.lines.iter().enumerate() {
        let y = effect.top + PAD + EFFECT_SIZE - 2.0 + float(index) * EFFECT_LINE;
        into.add(
            svg::text(effect.left + PAD, y, EFFECT_SIZE, Anchor::Start, line)
                .class("effect-text")
                .set("font-weight", "600"),
        );
    }
}

#[cfg(test)]
mod examples;
#[cfg(test)]
mod tests;
