//! What is told beneath the plot because it has no place on it.

use super::limits::{Left, Limits, name};
use super::spans::Spans;
use super::value_axis::ValueAxis;
use super::{SeriesChart, SeriesPoint, SeriesSpan, words};
use crate::figure::{number, sentence::list};

/// The notes, one sentence each.
pub(super) fn of(
    chart: &SeriesChart,
    axis: &ValueAxis,
    limits: &Limits<'_>,
    spans: &Spans<'_>,
) -> Vec<String> {
    let mut notes = Vec::new();
    let off_scale: Vec<&SeriesPoint> = chart
        .points
        .iter()
        .filter(|point| number::plotted(point.value).is_some_and(|value| axis.y(value).is_none()))
        .collect();
    if !off_scale.is_empty() {
        let verb = if off_scale.len() == 1 { "stands" } else { "stand" };
        notes.push(format!(
            "{} {verb} at the bottom edge: a log scale has no place for 0 or less.",
            points(chart, &off_scale)
        ));
    }
    let no_number: Vec<&SeriesPoint> =
        chart.points.iter().filter(|point| number::plotted(point.value).is_none()).collect();
    if !no_number.is_empty() {
        let verb = if no_number.len() == 1 { "is" } else { "are" };
        notes.push(format!(
            "{} {verb} not drawn: no number that a scale can hold.",
            points(chart, &no_number)
        ));
    }
    for (reason, words) in [
        (Left::Above, "Above the scale"),
        (Left::Below, "Below the scale"),
        (Left::OtherTime, "Counts only before or after the time drawn"),
        (Left::NoRoom, "Not drawn, for want of room"),
        (Left::NoNumber, "Not drawn, as it is no number"),
    ] {
        let named: Vec<String> =
            limits.left.iter().filter(|(_, why)| *why == reason).map(|(limit, _)| name(limit)).collect();
        if !named.is_empty() {
            notes.push(format!("{words}: {}.", named.join("; ")));
        }
    }
    if !spans.left.is_empty() {
        let named: Vec<String> = spans.left.iter().map(|span| span_words(span)).collect();
        notes.push(format!("Not within what is drawn: {}.", named.join("; ")));
    }
    notes
}

/// `(1) 0 ng/L and (3) 0 ng/L`.
fn points(chart: &SeriesChart, points: &[&SeriesPoint]) -> String {
    let named: Vec<String> =
        points.iter().map(|point| format!("({}) {}", point.number, words::written(chart, point))).collect();
    list(&named)
}

fn span_words(span: &SeriesSpan) -> String {
    if span.from == span.to {
        format!("{}, {}", span.label, span.from)
    } else {
        format!("{}, {} to {}", span.label, span.from.min(span.to), span.from.max(span.to))
    }
}
