//! The sums in a table and in sentences.

use super::{CusumChart, CusumPoint, Side};
use crate::figure::chart::gaps;
use crate::figure::chart::notes::Notes;
use crate::figure::chart::parts::{actions_in, actions_words, add_column, beyond_words, head, signals_of};
use crate::figure::sentence::{full_stop, sentences};
use crate::figure::{FigureTable, number};

fn sum_words(sum: Option<f64>) -> String {
    sum.map_or_else(|| "not counted".to_owned(), number::read)
}

/// The table: a row for each slot.
pub(super) fn table(chart: &CusumChart) -> FigureTable {
    let time = head(&chart.x_title, "When");
    let sides = chart.sides();
    let mut columns = vec![time.as_str(), "Counts"];
    columns.extend(sides.iter().map(|side| match side {
        Side::Worse => "Sum for worse",
        Side::Better => "Sum for better",
    }));
    let mut table = FigureTable::with_columns(&columns);
    for point in &chart.points {
        let mut row = vec![point.name.whole.clone(), point.counts.clone()];
        row.extend(sides.iter().map(|side| sum_words(side.of(point))));
        table.rows.push(row);
    }
    if !chart.signals.is_empty() {
        add_column(&mut table, "Signals", |index| {
            let signals = chart.signals.iter().filter(|signal| signal.slot == index);
            signals_of(signals.map(|signal| (signal.number, signal.words.as_str())))
        });
    }
    if !chart.actions.is_empty() {
        add_column(&mut table, "Actions", |index| actions_in(&chart.actions, index, chart.points.len()));
    }
    table
}

/// The sums that are beyond the scale.
pub(super) fn cut(chart: &CusumChart, off: impl Iterator<Item = (Side, usize)>) -> String {
    let off = off.map(|(side, slot)| {
        let point = &chart.points[slot];
        format!("{}, {}", point.name.whole, sum_words(side.of(point)))
    });
    beyond_words(off)
}

/// Which slots are not counted, and why; the opening says that they are not.
pub(super) fn gaps(chart: &CusumChart, opening: &str) -> String {
    let gaps = chart.points.iter().filter(|point| point.is_gap());
    let gaps = gaps.map(|point| (point.name.whole.as_str(), point.counts.as_str()));
    gaps::words(opening, gaps, chart.points.len())
}

/// The chart in sentences.
pub(super) fn summary(chart: &CusumChart) -> String {
    let mut parts = vec![full_stop(&chart.counted)];
    match chart.points.iter().rfind(|point| !point.is_gap()) {
        None => parts.push("No values yet.".to_owned()),
        Some(last) => parts.push(format!("After {}: {}.", last.name.whole, last_words(chart, last))),
    }
    parts.push(gaps(chart, "Not counted"));
    if chart.signals.is_empty() && chart.points.iter().any(|point| !point.is_gap()) {
        parts.push("No sum has crossed its limit.".to_owned());
    }
    parts.extend(
        chart.signals.iter().map(|signal| format!("Signal {}: {}", signal.number, full_stop(&signal.words))),
    );
    parts.push(actions_words(&chart.actions));
    parts.push(full_stop(&chart.source_rule));
    sentences(&parts)
}

/// Where the sums of a point stand.
fn last_words(chart: &CusumChart, point: &CusumPoint) -> String {
    let sums = chart.sides().iter().map(|side| {
        let name = match side {
            Side::Worse => "the sum for worse",
            Side::Better => "the sum for better",
        };
        let limit = chart.limits().find(|(of, _)| of == side).map(|(_, limit)| limit.value);
        let limit = limit.map(|limit| format!(" (limit {})", number::read(limit))).unwrap_or_default();
        format!("{name} {}{limit}", sum_words(side.of(point)))
    });
    sums.collect::<Vec<_>>().join(", ")
}

/// How to read the drawing.
pub(super) fn description(chart: &CusumChart, notes: &Notes) -> String {
    let mut text = "Time runs from left to right. A sum leaves 0 as evidence gathers; one that crosses its dashed limit is a signal, ringed and numbered.".to_owned();
    if chart.sides().len() == 2 {
        text.push_str(" Upwards: evidence that the rate is worse. Downwards: evidence that it is better.");
    }
    if !chart.actions.is_empty() {
        text.push_str(" A flag on a dashed line is an action.");
    }
    let notes = notes.words();
    if !notes.is_empty() {
        text.push(' ');
        text.push_str(&notes);
    }
    text
}
