//! The shapes of the families of events.

use super::MarkFamily;
use crate::figure::svg::{self, Anchor, Element, INK, MONO, PAPER, Path};

/// The height of every shape.
pub(super) const HEIGHT: f64 = 26.0;
const NUMBER_SIZE: f64 = 12.5;

impl MarkFamily {
    const fn class(self) -> &'static str {
        match self {
            Self::Reach => "mark-reach",
            Self::Treat => "mark-treat",
            Self::See => "mark-see",
            Self::Patient => "mark-patient",
            Self::Give => "mark-give",
            Self::Rescue => "mark-rescue",
            Self::Decide => "mark-decide",
        }
    }

    /// What is done to the vessel or called in is solid; what is seen, given or thought is open.
    const fn is_solid(self) -> bool {
        matches!(self, Self::Treat | Self::Rescue)
    }

    /// The width of the shape.
    pub(super) const fn width(self) -> f64 {
        match self {
            Self::Treat => 24.0,
            Self::Reach => 26.0,
            Self::Patient | Self::Rescue => 30.0,
            Self::Give | Self::Decide => 34.0,
            Self::See => 36.0,
        }
    }

    fn outline(self, x: f64, y: f64) -> Element {
        let p = |dx: f64, dy: f64| (x + dx, y + dy);
        match self {
            Self::Reach => Element::new("circle").num("cx", x).num("cy", y).num("r", 12.0),
            Self::Treat => svg::rect(x - 11.5, y - 11.0, 23.0, 22.0),
            Self::Give => svg::rect(x - 16.5, y - 9.5, 33.0, 19.0).num("rx", 9.5),
            Self::See => Path::from(x - 17.5, y)
                .curve(p(-9.0, -15.5), p(9.0, -15.5), p(17.5, 0.0))
                .curve(p(9.0, 15.5), p(-9.0, 15.5), p(-17.5, 0.0))
                .close()
                .element(),
            Self::Patient => Path::from(x, y + 13.0)
                .curve(p(-9.0, 6.5), p(-14.5, 2.0), p(-14.5, -4.5))
                .curve(p(-14.5, -13.0), p(-3.5, -14.5), p(0.0, -8.0))
                .curve(p(3.5, -14.5), p(14.5, -13.0), p(14.5, -4.5))
                .curve(p(14.5, 2.0), p(9.0, 6.5), p(0.0, 13.0))
                .close()
                .element(),
            Self::Rescue => corners(
                x,
                y,
                &[
                    (-7.0, -13.0),
                    (7.0, -13.0),
                    (7.0, -7.5),
                    (14.0, -7.5),
                    (14.0, 7.5),
                    (7.0, 7.5),
                    (7.0, 13.0),
                    (-7.0, 13.0),
                    (-7.0, 7.5),
                    (-14.0, 7.5),
                    (-14.0, -7.5),
                    (-7.0, -7.5),
                ],
            ),
            Self::Decide => corners(x, y, &[(0.0, -13.0), (16.5, 0.0), (0.0, 13.0), (-16.5, 0.0)]),
        }
    }

    /// The shape with its number, centred on a point. An uncertain time is drawn open and dashed.
    pub(super) fn draw(self, x: f64, y: f64, number: &str, uncertain: bool, title: &str) -> Element {
        let solid = self.is_solid() && !uncertain;
        let mut shape = self
            .outline(x, y)
            .class(&format!("mark {}{}", self.class(), if uncertain { " mark-uncertain" } else { "" }))
            .set("fill", if solid { INK } else { PAPER })
            .stroke(INK, 1.5);
        if uncertain {
            shape = shape.set("stroke-dasharray", "3 2");
        }
        let number = svg::text(x, y + 4.5 + self.sink(), NUMBER_SIZE, Anchor::Middle, number)
            .class(if solid { "mark-number on-solid" } else { "mark-number" })
            .set("font-family", MONO);
        let number = if solid { number.set("fill", PAPER) } else { number };
        let mut group = Element::new("g");
        if !title.is_empty() {
            group.add(Element::new("title").text(title));
        }
        group.with(shape).with(number)
    }

    /// How much lower than its centre a shape has the room for its number.
    const fn sink(self) -> f64 {
        match self {
            Self::Patient => -1.5,
            _ => 0.0,
        }
    }
}

fn corners(x: f64, y: f64, points: &[(f64, f64)]) -> Element {
    let mut path = Path::default();
    for (index, (dx, dy)) in points.iter().enumerate() {
        path = if index == 0 { path.hop(x + dx, y + dy) } else { path.line(x + dx, y + dy) };
    }
    path.close().element()
}
