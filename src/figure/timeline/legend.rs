//! What the shapes and the fillings mean.

use super::axis::TimeAxis;
use super::{Lane, LaneSight, MarkFamily, brackets, lanes, range};
use crate::figure::svg::{self, Anchor, Element, INK_SOFT};
use crate::figure::{Distance, Figure, FigureTable};
use crate::quantity::{Offset, TimiFlow};

const WIDTH: f64 = 960.0;
const SIZE: f64 = 12.5;
const LINE: f64 = 40.0;

/// The legend of a timeline: these families, in their order, then the flows, then uncertain times.
#[must_use]
pub fn legend(prefix: &str, families: &[MarkFamily]) -> Figure {
    let mut body = Element::new("g");
    let mut flow = Flow { x: 0.0, y: 0.0 };
    let mut table = FigureTable::with_columns(&["Sign", "Meaning"]);
    for family in families {
        let (x, y) = flow.take(family.width() + 6.0 + svg::text_width(family.word(), SIZE));
        body.add(family.draw(x + family.width() / 2.0, y + 17.0, "", false, ""));
        body.add(note(x + family.width() + 6.0, y + 21.5, family.word()));
        table.rows.push(vec![shape_name(*family).to_owned(), family.word().to_owned()]);
    }
    flow.new_line();
    for (filling, words, sign) in fillings() {
        let (x, y) = flow.take(54.0 + 8.0 + svg::text_width(words, SIZE));
        vessel_sample(&mut body, x, y + 4.0, filling);
        body.add(note(x + 62.0, y + 21.5, words));
        table.rows.push(vec![sign.to_owned(), words.to_owned()]);
    }
    flow.new_line();
    for (order_only, words, sign) in [
        (false, "estimated time: the bar is its range", "dashed shape over a bar"),
        (true, "only the order is known, between these", "dashed shape over a dashed line"),
    ] {
        let (x, y) = flow.take(62.0 + svg::text_width(words, SIZE));
        range::draw(&mut body, x + 2.0, x + 52.0, y + 17.0, order_only);
        body.add(note(x + 62.0, y + 21.5, words));
        table.rows.push(vec![sign.to_owned(), words.to_owned()]);
    }
    for (sign, words, name) in [
        (brackets::ring as fn(f64, f64) -> Element, "complication recognised", "ring on a bracket"),
        (brackets::response, "first response", "solid triangle on a bracket"),
    ] {
        let (x, y) = flow.take(18.0 + svg::text_width(words, SIZE));
        body.add(sign(x + 7.0, y + 17.0));
        body.add(note(x + 18.0, y + 21.5, words));
        table.rows.push(vec![name.to_owned(), words.to_owned()]);
    }
    let title = "What the signs mean".to_owned();
    let summary = table.rows.iter().map(|row| row.join(": ")).collect::<Vec<_>>().join("; ");
    let root = svg::root(prefix, &title, &summary, WIDTH, flow.y + LINE).with(body);
    Figure { title, description: summary.clone(), svg: root.write(), table, summary }
}

/// A place on the line, and lines that wrap.
struct Flow {
    x: f64,
    y: f64,
}

impl Flow {
    fn take(&mut self, width: f64) -> (f64, f64) {
        if self.x > 0.0 && self.x + width > WIDTH {
            self.new_line();
        }
        let place = (self.x, self.y);
        self.x += width + 22.0;
        place
    }

    fn new_line(&mut self) {
        if self.x > 0.0 {
            self.x = 0.0;
            self.y += LINE;
        }
    }
}

fn note(x: f64, y: f64, words: &str) -> Element {
    svg::text(x, y, SIZE, Anchor::Start, words).class("lane-note").fill(INK_SOFT)
}

const fn shape_name(family: MarkFamily) -> &'static str {
    match family {
        MarkFamily::Reach => "circle",
        MarkFamily::Treat => "solid square",
        MarkFamily::See => "eye",
        MarkFamily::Patient => "heart",
        MarkFamily::Give => "capsule",
        MarkFamily::Rescue => "solid cross",
        MarkFamily::Decide => "diamond",
    }
}

fn fillings() -> [(Option<TimiFlow>, &'static str, &'static str); 5] {
    let [none, trace, slow, full] = TimiFlow::ALL;
    [
        (Some(full), "TIMI 3", "full vessel"),
        (Some(slow), "TIMI 2", "half-full vessel"),
        (Some(trace), "TIMI 1", "hairline"),
        (Some(none), "TIMI 0, closed", "empty vessel with a hatched cap"),
        (None, "flow not known", "dotted line"),
    ]
}

/// A short piece of vessel with one flow.
fn vessel_sample(into: &mut Element, x: f64, y: f64, flow: Option<TimiFlow>) {
    let lane = [Lane {
        label: String::new(),
        depth: 0,
        sights: vec![LaneSight { at: Offset::ZERO, flow, bounds: None }],
    }];
    lanes::place(&lane, Distance::Desk).draw(into, &TimeAxis::sample(x, x + 54.0), y - 6.0);
}
