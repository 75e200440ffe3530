//! The funnel in a table and in sentences.

use super::{FunnelChart, FunnelUnit};
use crate::figure::chart::notes::Notes;
use crate::figure::chart::parts::{beyond_words, head, interval_words};
use crate::figure::chart::plot::{Plot, Spot};
use crate::figure::sentence::{full_stop, list, sentences};
use crate::figure::{FigureTable, number};

/// How names are ordered: `Operator 2` before `Operator 10`.
pub(super) fn name_order(name: &str) -> (String, u64, &str) {
    let stem = name.trim_end_matches(|c: char| c.is_ascii_digit());
    (stem.to_lowercase(), name[stem.len()..].parse().unwrap_or(0), name)
}

/// The table, in the order of the names: never a ranking.
pub(super) fn table(chart: &FunnelChart, shown: &[&FunnelUnit]) -> FigureTable {
    let (what, size, unit) =
        (head(&chart.what, "Unit"), head(&chart.x_title, "Procedures"), head(&chart.unit, "Rate"));
    let mut columns = vec![what.as_str(), size.as_str(), "Counts", unit.as_str()];
    let has_shrunken = shown.iter().any(|unit| unit.shrunken.is_some());
    if has_shrunken {
        columns.push("Shrunken rate (interval)");
    }
    columns.push("Against the limits");
    let mut table = FigureTable::with_columns(&columns);
    for unit in shown {
        let mut row = vec![
            unit.name.clone(),
            number::read(f64::from(unit.procedures)),
            unit.counts.clone(),
            number::read(unit.rate),
        ];
        if has_shrunken {
            row.push(unit.shrunken.as_ref().map_or_else(|| "none".to_owned(), interval_words));
        }
        row.push(unit.standing.clone());
        table.rows.push(row);
    }
    table
}

/// What stands beneath the plot.
pub(super) fn notes(chart: &FunnelChart, shown: &[&FunnelUnit], plot: &Plot, nameless: &[String]) -> Notes {
    let mut notes = Notes::default();
    if shown.iter().any(|unit| unit.is_outside) {
        notes.say("Ringed: outside the outer limits. That asks for a look at the cases; it is no verdict.");
    }
    if shown.iter().any(|unit| unit.shrunken.is_some()) {
        notes.say("The pale line with its dash: the rate drawn towards that of all, with its interval.");
    }
    let off =
        shown.iter().filter(|unit| plot.spot(unit.rate).is_some_and(|spot| !matches!(spot, Spot::On(_))));
    notes.say(&beyond_words(off.map(|unit| format!("{}, {}", unit.name.trim(), number::read(unit.rate)))));
    if !nameless.is_empty() {
        notes.say(&format!("Without room for the name: {}.", list(nameless)));
    }
    notes.say(&hidden_words(chart, shown));
    notes.say(&chart.counted);
    notes.say(&chart.source_rule);
    notes
}

/// That some are too small to be shown.
fn hidden_words(chart: &FunnelChart, shown: &[&FunnelUnit]) -> String {
    match chart.units.len() - shown.len() {
        0 => String::new(),
        hidden => {
            let (verb, least) = (if hidden == 1 { "is" } else { "are" }, f64::from(chart.minimum));
            format!("{hidden} with fewer than {} {verb} neither drawn nor listed.", number::read(least))
        }
    }
}

/// The funnel in sentences.
pub(super) fn summary(chart: &FunnelChart, shown: &[&FunnelUnit]) -> String {
    let mut parts = vec![full_stop(&chart.counted)];
    parts.push(match shown.len() {
        0 => "None to show yet.".to_owned(),
        count => format!("{count} drawn around {} {}.", number::read(chart.target), chart.unit.trim()),
    });
    let outside = shown.iter().filter(|unit| unit.is_outside);
    let outside: Vec<String> =
        outside.map(|unit| format!("{} is {}", unit.name.trim(), unit.standing.trim())).collect();
    if !outside.is_empty() {
        parts.push(full_stop(&list(&outside)));
    } else if !shown.is_empty() {
        parts.push("None is outside the outer limits.".to_owned());
    }
    parts.push(hidden_words(chart, shown));
    parts.push(full_stop(&chart.source_rule));
    sentences(&parts)
}

/// How to read the drawing.
pub(super) fn description(chart: &FunnelChart, notes: &Notes) -> String {
    format!(
        "To the right: {}; upwards: {}. The limits, named at their right ends, narrow as numbers grow; between them, chance alone can explain a rate. {}",
        chart.x_title.trim(),
        chart.unit.trim(),
        notes.words()
    )
}
