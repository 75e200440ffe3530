//! The ratios in a table and in sentences.

use super::{OddsChart, OddsRow, Ratios};
use crate::figure::FigureTable;
use crate::figure::chart::notes::Notes;
use crate::figure::chart::parts::{head, interval_words};
use crate::figure::interval::Interval;
use crate::figure::sentence::{full_stop, sentences};

/// What a row without a ratio has instead.
const NONE: &str = "no ratio";

/// The ratio with its interval, or that there is none.
pub(super) fn ratio_words(ratio: Option<&Interval>) -> String {
    ratio.map_or_else(|| NONE.to_owned(), interval_words)
}

/// Whether a row stands.
fn stands_words(row: &OddsRow) -> &'static str {
    match (row.ratio(), row.stands) {
        (None, _) => NONE,
        (Some(_), true) => "stands",
        (Some(_), false) => "does not stand",
    }
}

/// The table, in the order of the rows.
pub(super) fn table(chart: &OddsChart) -> FigureTable {
    let (what, unit) = (head(&chart.what, "Feature"), head(&chart.unit, "Odds ratio"));
    let has_chance = chart.rows.iter().any(|row| !row.chance.trim().is_empty());
    let mut columns = vec![what.as_str(), "Counts", unit.as_str()];
    if has_chance {
        columns.push("Chance");
    }
    columns.push("After correction");
    let mut table = FigureTable::with_columns(&columns);
    for row in &chart.rows {
        let mut cells = vec![row.label.clone(), row.counts.clone(), ratio_words(row.ratio())];
        if has_chance {
            cells.push(row.chance.clone());
        }
        cells.push(stands_words(row).to_owned());
        table.rows.push(cells);
    }
    table
}

/// What stands beneath the plot.
pub(super) fn notes(chart: &OddsChart, ratios: &Ratios) -> Notes {
    let mut notes = Notes::default();
    let drawn = || chart.rows.iter().filter_map(OddsRow::ratio);
    if drawn().next().is_some() {
        let stands = match chart.stands_label.trim() {
            "" => "stands after correction",
            label => label,
        };
        notes.say(&format!("Full square, and the word: {stands}. Open circle: does not."));
    }
    if drawn().any(|ratio| !ratios.holds(ratio.low) || !ratios.holds(ratio.high)) {
        notes.say("Arrow: the interval goes on beyond the scale; its ends are at the right.");
    }
    notes.say(&chart.counted);
    notes.say(&chart.source_rule);
    notes
}

/// The ratios in sentences.
pub(super) fn summary(chart: &OddsChart) -> String {
    let mut parts = vec![full_stop(&chart.counted)];
    if chart.rows.is_empty() {
        parts.push("None looked at yet.".to_owned());
    }
    for row in &chart.rows {
        let counts = match row.counts.trim() {
            "" => String::new(),
            counts => format!(", {counts}"),
        };
        let stands = if row.stands && row.ratio().is_some() { "; it stands after correction" } else { "" };
        let sentence = format!("{}: {}{counts}{stands}", row.label.trim(), ratio_words(row.ratio()));
        parts.push(full_stop(&sentence));
    }
    parts.push(full_stop(&chart.source_rule));
    sentences(&parts)
}

/// How to read the drawing.
pub(super) fn description(chart: &OddsChart, notes: &Notes) -> String {
    format!(
        "One row for each; the mark is the ratio, the line through it its interval, on a log scale. Left of the line at 1: {}; right of it: {}. {}",
        chart.less.trim(),
        chart.more.trim(),
        notes.words()
    )
}
