//! The chart in a table and in sentences.

use super::{ControlChart, Slot, Step};
use crate::figure::FigureTable;
use crate::figure::chart::gaps;
use crate::figure::chart::notes::Notes;
use crate::figure::chart::parts::{actions_in, actions_words, add_column, beyond_words, head, signals_of};
use crate::figure::chart::plot::{Plot, Spot};
use crate::figure::chart::values::Dot;
use crate::figure::number;
use crate::figure::sentence::{counted, full_stop, sentences};

/// A slot's value, or that it is not counted.
fn value_words(slot: &Slot) -> String {
    slot.value.map_or_else(|| "not counted".to_owned(), number::read)
}

/// The table: a row for each slot. What no slot has is left out as a column.
pub(super) fn table(chart: &ControlChart) -> FigureTable {
    let steps: Vec<(Step, &str)> =
        [(Step::Centre, "Centre line"), (Step::Lower, "Lower limit"), (Step::Upper, "Upper limit")]
            .into_iter()
            .filter(|(step, _)| chart.points.iter().any(|slot| step.of(slot).is_some()))
            .collect();
    let (time, unit) = (head(&chart.x_title, "When"), head(&chart.unit, "Value"));
    let mut columns = vec![time.as_str(), "Counts", unit.as_str()];
    columns.extend(steps.iter().map(|(_, name)| name));
    let mut table = FigureTable::with_columns(&columns);
    for slot in &chart.points {
        let mut row = vec![slot.name.whole.clone(), slot.counts.clone(), value_words(slot)];
        row.extend(
            steps.iter().map(|(step, _)| step.of(slot).map_or_else(|| "none".to_owned(), number::read)),
        );
        table.rows.push(row);
    }
    if !chart.signals.is_empty() {
        add_column(&mut table, "Signals", |index| {
            let signals = chart.signals.iter().filter(|signal| signal.slots.contains(&index));
            signals_of(signals.map(|signal| (signal.number, signal.words.as_str())))
        });
    }
    if !chart.actions.is_empty() {
        add_column(&mut table, "Actions", |index| actions_in(&chart.actions, index, chart.points.len()));
    }
    table
}

/// What is beyond the scale, in sentences.
pub(super) fn cut(chart: &ControlChart, plot: &Plot, dots: &[Dot]) -> Vec<String> {
    let mut sentences = Vec::new();
    let off = dots.iter().filter(|dot| dot.spot.on().is_none()).map(|dot| &chart.points[dot.slot]);
    sentences.push(beyond_words(off.map(|slot| format!("{}, {}", slot.name.whole, value_words(slot)))));
    for (step, label) in chart.steps() {
        let off = chart
            .points
            .iter()
            .filter_map(|slot| plot.spot(step.of(slot)?))
            .filter(|spot| spot.on().is_none());
        let off = off.count();
        if off > 0 {
            let places = counted(off, "place", "places");
            sentences.push(format!(
                "{} is beyond the scale in {places}: the table has it.",
                head(label, "A line")
            ));
        }
    }
    if let Some(band) = &chart.band {
        let (low, high) = (plot.spot(band.low), plot.spot(band.high));
        let is_whole = [low, high].into_iter().all(|spot| spot.and_then(Spot::on).is_some());
        if !is_whole {
            sentences.push(format!(
                "Not wholly on the scale: {}, {} to {}.",
                band.label.trim(),
                number::read(band.low),
                number::read(band.high)
            ));
        }
    }
    sentences
}

/// Which slots are not counted, and why; the opening says that they are not.
pub(super) fn gaps(chart: &ControlChart, opening: &str) -> String {
    let gaps = chart.points.iter().filter(|slot| slot.plotted().is_none());
    let gaps = gaps.map(|slot| (slot.name.whole.as_str(), slot.counts.as_str()));
    gaps::words(opening, gaps, chart.points.len())
}

/// Where a value stands against its lines.
fn against(slot: &Slot) -> String {
    let limits = match (slot.lower, slot.upper) {
        (Some(low), Some(high)) => Some(format!("limits {} to {}", number::read(low), number::read(high))),
        (None, Some(high)) => Some(format!("upper limit {}", number::read(high))),
        (Some(low), None) => Some(format!("lower limit {}", number::read(low))),
        (None, None) => None,
    };
    let centre = slot.centre.map(|centre| format!("centre line {}", number::read(centre)));
    [centre, limits].into_iter().flatten().map(|words| format!("; {words}")).collect()
}

/// A value with its unit, its slot and its counts.
fn value_in(chart: &ControlChart, slot: &Slot) -> String {
    let value = format!("{} {}", value_words(slot), chart.unit.trim());
    format!("{} in {}", value.trim(), gaps::with_brackets(&slot.name.whole, &slot.counts))
}

/// The chart in sentences.
pub(super) fn summary(chart: &ControlChart) -> String {
    let mut parts = vec![full_stop(&chart.counted)];
    let drawn: Vec<&Slot> = chart.points.iter().filter(|slot| slot.plotted().is_some()).collect();
    let values = |slot: &&&Slot| slot.plotted().unwrap_or(0.0);
    let highest = drawn.iter().max_by(|a, b| values(a).total_cmp(&values(b)));
    match (drawn.last(), highest) {
        (Some(last), Some(highest)) => {
            parts.push(format!("The last value is {}{}.", value_in(chart, last), against(last)));
            if !std::ptr::eq(*last, *highest) {
                parts.push(format!("The highest is {}.", value_in(chart, highest)));
            }
        }
        _ => parts.push("No values yet.".to_owned()),
    }
    parts.push(gaps(chart, "Not counted"));
    if chart.signals.is_empty() && !drawn.is_empty() {
        parts.push("No signal.".to_owned());
    }
    parts.extend(
        chart.signals.iter().map(|signal| format!("Signal {}: {}", signal.number, full_stop(&signal.words))),
    );
    parts.push(actions_words(&chart.actions));
    if let Some(band) = &chart.band {
        let (low, high) = (number::read(band.low), number::read(band.high));
        parts.push(format!("To compare: {}, {low} to {high}.", band.label.trim()));
    }
    parts.push(full_stop(&chart.source_rule));
    sentences(&parts)
}

/// How to read the drawing.
pub(super) fn description(chart: &ControlChart, notes: &Notes) -> String {
    let mut text = "Time runs from left to right. A dot is a value, joined to its neighbours; where nothing is counted the line breaks and the time is hatched. The centre line and the dashed limits are named at their right ends.".to_owned();
    if !chart.signals.is_empty() {
        text.push_str(" A ring with a number is a signal.");
    }
    if !chart.actions.is_empty() {
        text.push_str(" A flag on a dashed line is an action.");
    }
    if chart.band.is_some() {
        text.push_str(" The pale band is to compare with: populations differ.");
    }
    let notes = notes.words();
    if !notes.is_empty() {
        text.push(' ');
        text.push_str(&notes);
    }
    text
}
