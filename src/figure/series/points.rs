//! The values: dots joined in the order in which they were drawn, their tails and their numbers.

use super::{HEIGHT, Plot, SIZE, SeriesChart, SeriesPoint, limits::Limits, spans::Spans, words};
use crate::figure::number;
use crate::figure::place::{Area, Room};
use crate::figure::svg::{self, Anchor, Element, INK, PAPER, Path};
use crate::quantity::Offset;

/// From so many values on, a dot has its number without its value.
const CROWD: usize = 16;
/// From so many values on, dots are small.
const MANY: usize = 32;
/// How far over the bottom of the plot the mark of a value that is below a log scale ends.
const EDGE: f64 = 9.0;

/// The length of a tail that goes on.
const CUT_TAIL: f64 = 24.0;

/// A value on the drawing.
pub(super) struct Dot<'a> {
    point: &'a SeriesPoint,
    x: f64,
    y: f64,
    /// Whether it has no height on the scale, and stands at the bottom edge.
    is_at_edge: bool,
    /// Its words with their middle and baseline, where there is room.
    label: Option<(String, f64, f64)>,
}

/// Places the values, in the order in which they were drawn; equal times keep the table's order.
pub(super) fn place<'a>(
    chart: &'a SeriesChart,
    plot: &Plot,
    limits: &Limits<'_>,
    spans: &Spans<'_>,
) -> Vec<Dot<'a>> {
    let mut dots: Vec<Dot<'a>> = Vec::new();
    for point in &chart.points {
        let Some(value) = number::plotted(point.value) else { continue };
        let height = plot.y(value);
        let y = height.unwrap_or(plot.bottom() - EDGE);
        dots.push(Dot { point, x: plot.time.x(point.at), y, is_at_edge: height.is_none(), label: None });
    }
    dots.sort_by_key(|dot| dot.point.at);
    let room = room(&dots, plot, limits, spans);
    // All with their values, or none: a bare number among values could be taken for one.
    let with_value = |dot: &Dot<'_>| words::dot_with_value(chart, dot.point);
    let is_whole = dots.len() < CROWD && label(&mut dots, room.clone(), with_value);
    if !is_whole {
        label(&mut dots, room, |dot| words::dot(dot.point));
    }
    dots
}

/// What the words of the dots have to keep off.
fn room(dots: &[Dot<'_>], plot: &Plot, limits: &Limits<'_>, spans: &Spans<'_>) -> Room {
    let joined = joins(dots).map(|(a, b)| (((a.x, a.y), (b.x, b.y)), 3));
    let tails = dots.iter().filter_map(|dot| Some((((dot.x, dot.y), (tail_end(dot, plot)?, dot.y)), 4)));
    let limits = limits.segments(plot).into_iter().map(|(y, from, to)| (((from, y), (to, y)), 2));
    let upright = spans.moments().chain([plot.time.x(Offset::ZERO)]);
    let upright = upright.map(|x| (((x, plot.top), (x, plot.bottom())), 1));
    Room {
        plot: Area(plot.left + 1.0, plot.top, plot.right - 1.0, plot.bottom() - 1.0),
        taken: dots.iter().map(|dot| Area::of_dot(dot.x, dot.y)).collect(),
        lines: joined.chain(tails).chain(limits).chain(upright).collect(),
    }
}

/// Finds room for the words of each dot, those that tell most first; whether all have room.
fn label(dots: &mut [Dot<'_>], mut room: Room, words: impl Fn(&Dot<'_>) -> String) -> bool {
    let by_height = |a: &usize, b: &usize| dots[*a].y.total_cmp(&dots[*b].y);
    let highest = (0..dots.len()).min_by(by_height);
    let lowest = (0..dots.len()).max_by(by_height);
    let last = dots.len().checked_sub(1);
    let mut order: Vec<usize> = (0..dots.len()).collect();
    order.sort_by_key(|index| ![Some(0), last, highest, lowest].contains(&Some(*index)));
    let mut all = true;
    for index in order {
        let text = words(&dots[index]);
        let dot = &mut dots[index];
        dot.label = room.take(dot.x, dot.y, svg::text_width(&text, SIZE)).map(|(x, y)| (text, x, y));
        all &= dot.label.is_some();
    }
    all
}

/// The neighbours that are joined: a value at the bottom edge has no true height to join to.
fn joins<'d, 'a>(dots: &'d [Dot<'a>]) -> impl Iterator<Item = (&'d Dot<'a>, &'d Dot<'a>)> {
    dots.windows(2).map(|pair| (&pair[0], &pair[1])).filter(|(a, b)| !a.is_at_edge && !b.is_at_edge)
}

/// Where the tail of a dot ends: where the result came back, or soon after the dot when that is
/// later than is drawn.
fn tail_end(dot: &Dot<'_>, plot: &Plot) -> Option<f64> {
    let returned = dot.point.returned.filter(|returned| *returned > dot.point.at)?;
    let is_drawn = plot.time.range.holds(returned);
    Some(if is_drawn { plot.time.x(returned) } else { (dot.x + CUT_TAIL).min(plot.right) })
}

pub(super) fn draw(into: &mut Element, dots: &[Dot<'_>], plot: &Plot) {
    draw_line(into, dots);
    for dot in dots {
        draw_tail(into, dot, plot);
    }
    for dot in dots {
        draw_label(into, dot);
    }
    let radius = if dots.len() < MANY { 4.5 } else { 3.0 };
    for dot in dots {
        draw_dot(into, dot, radius);
    }
    if dots.is_empty() {
        let (x, y) = (f64::midpoint(plot.left, plot.right), plot.top + HEIGHT / 2.0);
        into.add(
            svg::text(x, y, SIZE, Anchor::Middle, words::NOTHING)
                .class("point-text middle")
                .stroke(PAPER, 4.0)
                .set("paint-order", "stroke"),
        );
    }
}

/// One path over all that are joined.
fn draw_line(into: &mut Element, dots: &[Dot<'_>]) {
    let mut path: Option<Path> = None;
    let mut goes_on = false;
    for dot in dots {
        if !dot.is_at_edge {
            path = Some(match path.take() {
                None => Path::from(dot.x, dot.y),
                Some(path) if goes_on => path.line(dot.x, dot.y),
                Some(path) => path.hop(dot.x, dot.y),
            });
        }
        goes_on = !dot.is_at_edge;
    }
    if let Some(path) = path.filter(|_| joins(dots).next().is_some()) {
        into.add(path.element().class("series-1").set("fill", "none").stroke(INK, 2.0));
    }
}

fn draw_tail(into: &mut Element, dot: &Dot<'_>, plot: &Plot) {
    let (Some(end), Some(returned)) = (tail_end(dot, plot), dot.point.returned) else {
        return;
    };
    let tail = Path::from(dot.x, dot.y).line(end, dot.y);
    let (back, y) = (if plot.time.range.holds(returned) { end } else { end - 5.0 }, dot.y);
    // A bar; an arrow when it goes on.
    let tail = tail.hop(back, y - 4.0).line(end, y).line(back, y + 4.0);
    into.add(tail.element().class("range-end").set("fill", "none").stroke(INK, 1.0));
}

fn draw_label(into: &mut Element, dot: &Dot<'_>) {
    let Some((text, x, y)) = &dot.label else {
        return;
    };
    into.add(
        svg::text(*x, *y, SIZE, Anchor::Middle, text)
            .class("point-text middle")
            .stroke(PAPER, 4.0)
            .set("paint-order", "stroke"),
    );
}

/// A full dot; at the bottom edge an open arrow that points down.
fn draw_dot(into: &mut Element, dot: &Dot<'_>, radius: f64) {
    let (x, y) = (dot.x, dot.y);
    into.add(if dot.is_at_edge {
        Path::from(x - 5.0, y)
            .line(x + 5.0, y)
            .line(x, y + EDGE)
            .close()
            .element()
            .class("mark")
            .fill(PAPER)
            .stroke(INK, 1.5)
    } else {
        Element::new("circle")
            .class("interval-dot")
            .num("cx", x)
            .num("cy", y)
            .num("r", radius)
            .fill(INK)
            .stroke(PAPER, 1.5)
    });
}
