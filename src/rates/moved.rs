//! Which mechanisms moved, and what can be said when none did. About mechanisms, never about people.

use super::line::{RateLine, Subject};
use super::table::RatesTable;
use super::tally::{Tally, interval_in_words};
use super::words::{counted, per_1000};
use crate::stats::comparison::Difference;
use crate::vocabulary::MechanismSlug;

/// A mechanism whose rate differs from the period before by more than chance explains: the 95 %
/// interval of the difference leaves out 0.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Moved {
    /// The mechanism.
    pub mechanism: MechanismSlug,
    /// What a person reads for it.
    pub label: String,
    /// Up rather than down.
    pub rose: bool,
    /// The finding, with its numbers.
    pub sentence: String,
}

/// What moved between a period and the one before.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Movements {
    /// How many mechanisms could be compared: those with a rate in both periods and an event in one.
    pub compared: usize,
    /// Those that moved, in the order of the tree.
    pub moved: Vec<Moved>,
    /// The finding in a sentence, whatever it is.
    pub finding: String,
    /// What to keep in mind when reading it.
    pub cautions: Vec<String>,
}

/// What moved in a table of rates.
///
/// Nothing is compared with a time from which no case is recorded: there, no event more likely
/// means no record.
#[must_use]
pub fn moved(table: &RatesTable) -> Movements {
    if let Some(finding) = nothing_to_compare(table) {
        return Movements { compared: 0, moved: Vec::new(), finding, cautions: Vec::new() };
    }
    let differences: Vec<(&RateLine, Difference)> = table
        .with_events
        .iter()
        .filter_map(|line| Some((line, line.difference()?)))
        .filter(|(line, _)| line.now.events() + line.previous.as_ref().map_or(0, Tally::events) > 0)
        .collect();
    let moved: Vec<Moved> =
        differences.iter().filter_map(|(line, difference)| finding_of(line, *difference)).collect();
    let compared = differences.len();
    Movements {
        compared,
        finding: sum_up(&moved, compared, table),
        cautions: cautions(&moved, compared, table),
        moved,
    }
}

/// Why no mechanism can be compared at all.
fn nothing_to_compare(table: &RatesTable) -> Option<String> {
    let period = table.period;
    let lines = || table.with_events.iter().chain(&table.without_events);
    let Some(since) = table.recorded_since else {
        return Some("No case is recorded yet, so nothing has moved.".to_owned());
    };
    if lines().all(|line| line.rate().is_none()) {
        return Some(format!(
            "There are no rates for {period}: its procedures at risk are missing or cannot be right."
        ));
    }
    let Some(previous) = table.previous else {
        return Some(format!("There is no earlier period to compare {period} with."));
    };
    if previous.to() < since {
        return Some(format!(
            "Cases are recorded from {} on, so there is no earlier period to compare {period} with.",
            since.in_words()
        ));
    }
    if lines().all(|line| line.previous_rate().is_none()) {
        return Some(format!(
            "There are no rates for {previous} to compare with: its procedures at risk are missing or cannot be right."
        ));
    }
    None
}

fn finding_of(line: &RateLine, difference: Difference) -> Option<Moved> {
    let Subject::Mechanism(mechanism) = &line.subject else {
        return None;
    };
    if !difference.excludes_zero() {
        return None;
    }
    let (now, before) = (line.rate()?, line.previous_rate()?);
    let rose = difference.estimate() > 0.0;
    let sentence = format!(
        "{} {} from {} to {} per 1,000 ({}, then {}; difference {}, 95 % interval {}).",
        line.label,
        if rose { "rose" } else { "fell" },
        before.per_1000_in_words(),
        now.per_1000_in_words(),
        before.counts_in_words(),
        now.counts_in_words(),
        per_1000(difference.estimate() * 1_000.0),
        interval_in_words(difference.interval().times(1_000.0)),
    );
    Some(Moved { mechanism: mechanism.clone(), label: line.label.clone(), rose, sentence })
}

fn sum_up(moved: &[Moved], compared: usize, table: &RatesTable) -> String {
    match moved {
        [] if compared == 0 => {
            format!(
                "No mechanism with events can be compared between {} and the period before.",
                table.period
            )
        }
        [] => format!(
            "{} moved by more than chance explains; the data are too few to tell a smaller change.",
            match compared {
                1 => "The one mechanism compared has not".to_owned(),
                _ => format!("None of {} compared has", counted(compared as u64, "mechanism")),
            }
        ),
        [only] => only.sentence.clone(),
        several => {
            let each: Vec<String> = several
                .iter()
                .map(|one| format!("{} {}", one.label, if one.rose { "rose" } else { "fell" }))
                .collect();
            format!("{} mechanisms moved by more than chance explains: {}.", several.len(), each.join("; "))
        }
    }
}

fn cautions(moved: &[Moved], compared: usize, table: &RatesTable) -> Vec<String> {
    let mut cautions = Vec::new();
    if !moved.is_empty() && compared > 1 {
        cautions.push(format!(
            "{} were compared. About one in twenty seems to move by chance alone.",
            counted(compared as u64, "mechanism")
        ));
    }
    if compared > 0 {
        cautions.extend(table.recorded_later());
    }
    cautions
}

#[cfg(test)]
#[path = "moved_tests.rs"]
mod tests;
