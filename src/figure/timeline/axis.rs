//! The time axis: one scale for the whole case, broken where nothing happens for long.
//!
//! A case has forty events in an hour and a half and one two days later. A gap that would squeeze
//! everything else is cut out and its length written in its place; what remains is drawn at one
//! scale. Only when there are too many such gaps (a laboratory value every morning for ten days)
//! the time after the first of them gets a smaller scale of its own, and the drawing says so.

mod cut;
mod draw;
mod words;

use crate::figure::svg;
use crate::quantity::{DurationWords, Offset};
use cut::{Cut, gaps_to_cut};

/// Room for the axis and its labels.
pub(super) const HEIGHT: f64 = 40.0;
/// Room beside the first and the last moment of a piece.
const PAD: f64 = 20.0;
/// How much of the room the later time gets when it has a scale of its own.
const LATER_SHARE: f64 = 0.4;

/// A stretch of unbroken time: its first and last moment in seconds and as coordinates.
#[derive(Debug, Clone, Copy)]
struct Piece {
    from: i64,
    to: i64,
    left: f64,
    right: f64,
    per_second: f64,
}

impl Piece {
    fn x(&self, seconds: i64) -> f64 {
        self.left + float(seconds - self.from) * self.per_second
    }
}

/// Where a moment stands on the drawing.
#[derive(Debug, Clone)]
pub(super) struct TimeAxis {
    pieces: Vec<Piece>,
    two_scales: bool,
    /// The ends of the plot.
    pub(super) left: f64,
    pub(super) right: f64,
}

/// Time that is cut out, between two coordinates.
struct Break {
    from: f64,
    to: f64,
    label: String,
}

impl TimeAxis {
    /// An axis that holds these moments, and time zero, between two coordinates.
    pub(super) fn fit(moments: impl IntoIterator<Item = Offset>, left: f64, right: f64) -> Self {
        let mut times: Vec<i64> = moments.into_iter().map(Offset::seconds).collect();
        times.push(0);
        times.sort_unstable();
        times.dedup();

        let (cuts, two_scales) = match gaps_to_cut(&times) {
            Cut::At(gaps) => (gaps, false),
            Cut::Once(gap) => (vec![gap], true),
        };
        let mut spans = Vec::new();
        let mut from = times[0];
        for (index, pair) in times.windows(2).enumerate() {
            if cuts.contains(&index) {
                spans.push((from, pair[0]));
                from = pair[1];
            }
        }
        spans.push((from, times[times.len() - 1]));
        Self { pieces: lay_out(&spans, two_scales, left, right), two_scales, left, right }
    }

    /// An axis that begins at time zero, for a sample of a vessel.
    pub(super) fn sample(left: f64, right: f64) -> Self {
        let piece = Piece { from: 0, to: 1, left, right, per_second: right - left };
        Self { pieces: vec![piece], two_scales: false, left, right }
    }

    /// The coordinate of a moment, kept within the plot.
    pub(super) fn x(&self, at: Offset) -> f64 {
        let seconds = at.seconds();
        let mut before: Option<&Piece> = None;
        for piece in &self.pieces {
            if seconds < piece.from {
                return match before {
                    None => piece.x(seconds).max(self.left),
                    Some(last) => {
                        let share = float(seconds - last.to) / float(piece.from - last.to);
                        last.right + share * (piece.left - last.right)
                    }
                };
            }
            if seconds <= piece.to {
                return piece.x(seconds);
            }
            before = Some(piece);
        }
        before.map_or(self.left, |last| last.x(seconds).min(self.right))
    }

    fn breaks(&self) -> impl Iterator<Item = Break> + '_ {
        self.pieces.windows(2).map(|pair| Break {
            from: pair[0].right + PAD,
            to: pair[1].left - PAD,
            label: break_label(pair[1].from - pair[0].to, self.two_scales),
        })
    }
}

/// Coordinates for the pieces of time.
fn lay_out(spans: &[(i64, i64)], two_scales: bool, left: f64, right: f64) -> Vec<Piece> {
    let lengths: Vec<f64> = spans.iter().map(|(from, to)| float(to - from)).collect();
    let gaps: Vec<f64> =
        spans.windows(2).map(|pair| break_width(pair[1].0 - pair[0].1, two_scales)).collect();
    let pads = lengths.iter().map(|_| 2.0 * PAD).sum::<f64>();
    let room = (right - left - gaps.iter().sum::<f64>() - pads).max(1.0);
    let total: f64 = lengths.iter().sum();

    let mut pieces: Vec<Piece> = Vec::new();
    let mut x = left;
    for (index, (&(from, to), length)) in spans.iter().zip(&lengths).enumerate() {
        let share = match (two_scales, index) {
            (true, 0) => 1.0 - LATER_SHARE,
            (true, _) => LATER_SHARE,
            (false, _) if total > 0.0 => length / total,
            (false, _) => 1.0,
        };
        // A case of one moment has it in the middle.
        let (width, spare) = if *length > 0.0 { (share * room, 0.0) } else { (0.0, share * room) };
        let start = x + PAD + spare / 2.0;
        pieces.push(Piece {
            from,
            to,
            left: start,
            right: start + width,
            per_second: if *length > 0.0 { width / length } else { 0.0 },
        });
        x = start + width + spare / 2.0 + PAD + gaps.get(index).copied().unwrap_or(0.0);
    }
    pieces
}

fn break_label(seconds: i64, two_scales: bool) -> String {
    let length = DurationWords::of(seconds);
    if two_scales { format!("{length}, then a smaller scale") } else { length.to_string() }
}

fn break_width(seconds: i64, two_scales: bool) -> f64 {
    // The label may reach under the pads on both sides.
    (svg::text_width(&break_label(seconds, two_scales), 12.5) + 8.0 - 2.0 * PAD).max(24.0)
}

#[expect(clippy::cast_precision_loss, reason = "a few million seconds at most")]
const fn float(seconds: i64) -> f64 {
    seconds as f64
}

#[cfg(test)]
mod tests;
