//! The series in a table and in sentences.

use std::fmt::Write as _;

use super::value_axis::ValueAxis;
use super::{SeriesChart, SeriesLimit, SeriesPoint};
use crate::figure::sentence::{full_stop, list};
use crate::figure::{FigureTable, number};

/// What stands in an empty plot.
pub(super) const NOTHING: &str = "no values yet";

/// What the axis of the values counts, and how.
pub(super) fn value_title(chart: &SeriesChart, axis: &ValueAxis) -> String {
    let mut title = [chart.quantity.trim(), chart.unit.trim()]
        .into_iter()
        .filter(|part| !part.is_empty())
        .collect::<Vec<_>>()
        .join(", ");
    if axis.is_log {
        title.push_str(" (log scale)");
    } else if axis.from > 0.0 {
        let _ = write!(title, " (the axis begins at {})", axis.tick(axis.from));
    }
    title
}

/// The words beside a dot: its row of the table.
pub(super) fn dot(point: &SeriesPoint) -> String {
    format!("({})", point.number)
}

/// The same with the value: as it was recorded where that is in the unit of the chart.
pub(super) fn dot_with_value(chart: &SeriesChart, point: &SeriesPoint) -> String {
    let recorded = bare(chart, point).filter(|text| text.chars().count() <= 8);
    let value = recorded.map_or_else(|| number::short(point.value), |text| text.replace('-', "−"));
    format!("({}) {value}", point.number)
}

/// The recorded number without its unit; `None` when it was recorded in another unit.
fn bare<'a>(chart: &SeriesChart, point: &'a SeriesPoint) -> Option<&'a str> {
    let number =
        point.written.trim().strip_suffix(chart.unit.trim())?.trim().trim_end_matches('×').trim_end();
    let is_number = number.ends_with(|c: char| c.is_ascii_digit());
    (is_number && !number.is_empty()).then_some(number)
}

/// The value as it was recorded, and in the unit of the chart where that is another one.
pub(super) fn written(chart: &SeriesChart, point: &SeriesPoint) -> String {
    let recorded = point.written.trim();
    let unit = chart.unit.trim();
    let times = if unit.starts_with(|c: char| c.is_ascii_digit()) { "× " } else { "" };
    let in_chart = format!("{} {times}{unit}", number::short(point.value)).trim().to_owned();
    let says_all = unit.is_empty() || bare(chart, point).is_some() || number::plotted(point.value).is_none();
    match recorded {
        "" => in_chart,
        recorded if says_all => recorded.to_owned(),
        recorded => format!("{recorded} = {in_chart}"),
    }
}

/// How a value stands against the limits that count when it was drawn: `at` one, or above the
/// nearest below it and below the nearest above it.
pub(super) fn standing(chart: &SeriesChart, point: &SeriesPoint) -> String {
    if number::plotted(point.value).is_none() {
        return "not compared: no number".to_owned();
    }
    let counting: Vec<&SeriesLimit> =
        chart.limits.iter().filter(|limit| limit.value.is_finite() && limit.counts_at(point.at)).collect();
    if counting.is_empty() {
        return "no limit counts then".to_owned();
    }
    let at = named(counting.iter().filter(|limit| number::same(limit.value, point.value)));
    if let Some(at) = at {
        return format!("at {at}");
    }
    let (under, over): (Vec<&SeriesLimit>, Vec<&SeriesLimit>) =
        counting.iter().partition(|limit| limit.value < point.value);
    let nearest_under = under.iter().map(|limit| limit.value).fold(f64::MIN, f64::max);
    let nearest_over = over.iter().map(|limit| limit.value).fold(f64::MAX, f64::min);
    let above = named(under.iter().filter(|limit| number::same(limit.value, nearest_under)));
    let below = named(over.iter().filter(|limit| number::same(limit.value, nearest_over)));
    let parts = [above.map(|name| format!("above {name}")), below.map(|name| format!("below {name}"))];
    parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

/// The limits in words; `None` when there are none.
fn named<'a>(limits: impl Iterator<Item = &'a &'a SeriesLimit>) -> Option<String> {
    let names: Vec<String> = limits.map(|limit| name(limit)).collect();
    (!names.is_empty()).then(|| list(&names))
}

/// A limit within a sentence. One whose name compares by itself (`3 g/dL below the value before`)
/// would stumble after "above" or "below", so where it lies goes first.
fn name(limit: &SeriesLimit) -> String {
    let (label, written) = (limit.label.trim(), limit.written.trim());
    let compares = [" above ", " below ", " over ", " under "].iter().any(|word| label.contains(word));
    match (label, written) {
        ("", written) => written.to_owned(),
        (label, "") => label.to_owned(),
        (label, written) if compares => format!("{written} ({label})"),
        (label, _) => label.to_owned(),
    }
}

/// The table: one row for each value. What no value has is left out as a column.
pub(super) fn table(chart: &SeriesChart) -> FigureTable {
    let has_notes = chart.points.iter().any(|point| !point.note.trim().is_empty());
    let mut columns = vec!["No.", "Drawn", "Came back", "Value"];
    if !chart.limits.is_empty() {
        columns.push("Against the limits");
    }
    if has_notes {
        columns.push("Note");
    }
    let mut table = FigureTable::with_columns(&columns);
    for point in &chart.points {
        let returned = point.returned.map_or_else(|| "not recorded".to_owned(), |at| at.to_string());
        let mut row = vec![point.number.to_string(), point.at.to_string(), returned, written(chart, point)];
        if !chart.limits.is_empty() {
            row.push(standing(chart, point));
        }
        if has_notes {
            row.push(point.note.trim().to_owned());
        }
        table.rows.push(row);
    }
    table
}

/// The series in one to three sentences.
pub(super) fn summary(chart: &SeriesChart) -> String {
    let mut text = values_sentence(chart);
    let source = chart.source.trim();
    if !source.is_empty() {
        let _ = write!(text, " {}", full_stop(source));
    }
    text
}

fn values_sentence(chart: &SeriesChart) -> String {
    let (Some(first), Some(last)) =
        (chart.points.iter().map(|point| point.at).min(), chart.points.iter().map(|point| point.at).max())
    else {
        return "No values yet.".to_owned();
    };
    let numbers: Vec<&SeriesPoint> =
        chart.points.iter().filter(|point| number::plotted(point.value).is_some()).collect();
    let count = match chart.points.len() {
        1 => format!("One value, at {first}"),
        count if first == last => format!("{count} values, all at {first}"),
        count => format!("{count} values from {first} to {last}"),
    };
    // Of equal values the earliest is named.
    let by_value = |a: &&&SeriesPoint, b: &&&SeriesPoint| a.value.total_cmp(&b.value);
    let earlier = |a: &&&SeriesPoint, b: &&&SeriesPoint| a.at.cmp(&b.at);
    let lowest = numbers.iter().min_by(|a, b| by_value(a, b).then(earlier(a, b)));
    let highest = numbers.iter().max_by(|a, b| by_value(a, b).then(earlier(b, a)));
    let tell = |point: &SeriesPoint| {
        let standing = if chart.limits.is_empty() { String::new() } else { standing(chart, point) };
        (
            written(chart, point),
            point.at,
            if standing.is_empty() { standing } else { format!(", {standing}") },
        )
    };
    match (lowest, highest) {
        (Some(lowest), Some(highest)) if number::same(lowest.value, highest.value) => {
            let (value, _, standing) = tell(lowest);
            let all = if numbers.len() > 1 { "all " } else { "" };
            format!("{count}: {all}{value}{standing}.")
        }
        (Some(lowest), Some(highest)) => {
            let (high, high_at, high_standing) = tell(highest);
            let (low, low_at, low_standing) = tell(lowest);
            format!(
                "{count}; the highest is {high} at {high_at}{high_standing}. The lowest is {low} at {low_at}{low_standing}."
            )
        }
        _ if chart.points.len() == 1 => format!("{count}, which is no number that a scale can hold."),
        _ => format!("{count}, none of them a number that a scale can hold."),
    }
}

/// How to read the drawing.
pub(super) fn description(chart: &SeriesChart, axis: &ValueAxis, notes: &[String]) -> String {
    let mut text = "Time runs from left to right; the dotted line is time zero. A dot is a value at the time at which it was drawn, with its row of the table in brackets; where there is no room, the number is left out.".to_owned();
    if chart.points.iter().any(|point| point.returned.is_some_and(|returned| returned > point.at)) {
        text.push_str(" The short tail of a dot ends when the result came back; an arrow at its end: later than is drawn.");
    }
    if axis.is_log {
        text.push_str(" On the log scale equal steps up are equal factors.");
    } else if axis.from > 0.0 {
        let _ = write!(text, " The axis of values begins at {}, not at 0.", axis.tick(axis.from));
    }
    if !chart.limits.is_empty() {
        text.push_str(" A dashed line is a limit for as long as it counts, named at the right.");
    }
    if !chart.spans.is_empty() {
        text.push_str(" Bands and thin lines down the plot are named above it.");
    }
    for note in notes {
        let _ = write!(text, " {note}");
    }
    text
}
