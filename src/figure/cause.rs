//! How much a cause weighs, told by form and by word.

use super::svg::{self, Element, INK, PAPER};

/// The weight of a cause.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum CauseWeight {
    /// Without it the harm would not have come about: a filled square on a heavy line.
    Root,
    /// It made the harm likelier or worse: a dot on a plain line.
    Contributing,
    /// It was there, and changed little: a ring on a broken line.
    Incidental,
}

/// How to read the marks, in a sentence.
pub(super) const MARKS: &str = "A filled square on a heavy line is a root cause, a dot on a plain line a contributing \
                                one, a ring on a broken line an incidental one; the word stands beside it.";

/// How far a mark reaches from its middle.
pub(super) const REACH: f64 = 5.5;

impl CauseWeight {
    /// All, the heaviest first.
    pub const ALL: [Self; 3] = [Self::Root, Self::Contributing, Self::Incidental];

    /// Its word.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Root => "root",
            Self::Contributing => "contributing",
            Self::Incidental => "incidental",
        }
    }

    /// With class names for a kind of element of this weight.
    pub(super) fn class(self, kind: &str) -> String {
        format!("{kind} {}", self.word())
    }

    /// Its mark around a point.
    pub(super) fn mark(self, x: f64, y: f64) -> Element {
        let circle = |radius: f64| Element::new("circle").num("cx", x).num("cy", y).num("r", radius);
        let mark = match self {
            Self::Root => svg::rect(x - 5.0, y - 5.0, 10.0, 10.0).fill(INK),
            Self::Contributing => circle(4.0).fill(INK),
            Self::Incidental => circle(3.75).fill(PAPER).stroke(INK, 1.5),
        };
        mark.class(&self.class("cause-mark"))
    }

    /// A line in its weight.
    pub(super) fn line(self, line: Element) -> Element {
        let line = line.class(&self.class("twig"));
        match self {
            Self::Root => line.stroke(INK, 3.0),
            Self::Contributing => line.stroke(INK, 1.5),
            Self::Incidental => line.stroke(INK, 1.0).set("stroke-dasharray", "4 3"),
        }
    }
}
