//! What several charts are made of.

use super::flags;
use crate::figure::interval::Interval;
use crate::figure::scale::float;
use crate::figure::sentence::{full_stop, some_of};
use crate::figure::{FigureTable, number};
use crate::quantity::MONTH_NAMES;

/// How many of what is beyond the scale a sentence names.
const NAMED: usize = 4;

/// How one place on the axis of time is called: a month, a quarter, a case.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SlotName {
    /// In the table and in sentences, such as `March 2024`.
    pub whole: String,
    /// On the axis, such as `Mar`.
    pub short: String,
    /// What it is part of, such as `2024`: written once beneath all that share it. May be empty.
    pub group: String,
}

impl SlotName {
    /// A month of a year; `month` counts from 1. Another number is written as it is.
    #[must_use]
    pub fn month(year: i32, month: u8) -> Self {
        let name = MONTH_NAMES.get(usize::from(month).wrapping_sub(1));
        let name = name.map_or_else(|| month.to_string(), |&name| name.to_owned());
        Self {
            whole: format!("{name} {year}"),
            short: name.chars().take(3).collect(),
            group: year.to_string(),
        }
    }

    /// A quarter of a year, counted from 1.
    #[must_use]
    pub fn quarter(year: i32, quarter: u8) -> Self {
        Self { whole: format!("Q{quarter} {year}"), short: format!("Q{quarter}"), group: year.to_string() }
    }
}

/// What a rule says of one or more slots.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Signal {
    /// The slots that it is about, by index; each is ringed, the last has the number.
    pub slots: Vec<usize>,
    /// Its number beside the ring and in the list beneath.
    pub number: u32,
    /// The rule and what it found, in a sentence.
    pub words: String,
}

/// Something that was done, such as an action of the department that took effect.
#[derive(Debug, Clone, PartialEq)]
pub struct Marker {
    /// When, counted in slots: 3.0 is the middle of the slot with index 3, 2.5 its beginning and
    /// 3.5 its end. For day `d` of a month with `n` days: index − 0.5 + (d − 1) / n.
    pub at: f64,
    /// Its number on the flag and in the list beneath, both written with an A before it.
    pub number: u32,
    /// What was done and when.
    pub label: String,
}

/// A range from elsewhere to compare with, such as a published incidence.
#[derive(Debug, Clone, PartialEq)]
pub struct Band {
    /// The lower end, in the unit of the chart.
    pub low: f64,
    /// The upper end.
    pub high: f64,
    /// Whose it is, such as the name of the study with its n. Written at the band's right end.
    pub label: String,
}

/// A heading from an axis title: its first letter large; `otherwise` when it is empty.
pub(super) fn head(title: &str, otherwise: &str) -> String {
    let title = title.trim();
    let mut letters = title.chars();
    match letters.next() {
        Some(first) => first.to_uppercase().chain(letters).collect(),
        None => otherwise.to_owned(),
    }
}

/// `2.41 (1.10 to 5.27)`.
pub(super) fn interval_words(interval: &Interval) -> String {
    let [estimate, low, high] = [interval.estimate, interval.low, interval.high].map(number::read);
    format!("{estimate} ({low} to {high})")
}

/// What is beyond the scale; nothing for nothing.
pub(super) fn beyond_words(beyond: impl Iterator<Item = String>) -> String {
    let beyond: Vec<String> = beyond.collect();
    if beyond.is_empty() {
        return String::new();
    }
    format!("Arrow: beyond the scale ({}).", some_of(&beyond, "; ", NAMED))
}

/// Adds a column at the right of a table; `cell` is what it has in the row of an index.
pub(super) fn add_column(table: &mut FigureTable, name: &str, cell: impl Fn(usize) -> String) {
    table.columns.push(name.to_owned());
    for (index, row) in table.rows.iter_mut().enumerate() {
        row.push(cell(index));
    }
}

/// The signals of one row of a table.
pub(super) fn signals_of<'a>(signals: impl Iterator<Item = (u32, &'a str)>) -> String {
    signals.map(|(number, words)| format!("{number}: {}", full_stop(words))).collect::<Vec<_>>().join(" ")
}

/// The actions within one of so many slots; the first and the last also tell those before and
/// after, so that no action is missing from a table.
pub(super) fn actions_in(actions: &[Marker], slot: usize, slots: usize) -> String {
    let last = float(slots.saturating_sub(1));
    let within = actions.iter().filter(|action| {
        let at = if action.at.is_nan() { last } else { (action.at + 0.5).floor().clamp(0.0, last) };
        (at - float(slot)).abs() < 0.5
    });
    within.map(action_words).collect::<Vec<_>>().join(" ")
}

/// All actions in sentences.
pub(super) fn actions_words(actions: &[Marker]) -> String {
    actions.iter().map(action_words).collect::<Vec<_>>().join(" ")
}

fn action_words(action: &Marker) -> String {
    format!("{}: {}", flags::name(action), full_stop(&action.label))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_slot_has_its_name_for_the_axis_and_for_sentences() {
        let march = SlotName::month(2024, 3);
        assert_eq!([march.whole, march.short, march.group], ["March 2024", "Mar", "2024"]);
        let quarter = SlotName::quarter(2024, 2);
        assert_eq!([quarter.whole, quarter.short, quarter.group], ["Q2 2024", "Q2", "2024"]);
        assert_eq!(SlotName::month(2024, 0).whole, "0 2024");
        assert_eq!(SlotName::month(2024, 13).short, "13");
    }

    #[test]
    fn no_action_is_missing_from_a_table() {
        let action = |at, number| Marker { at, number, label: "B".to_owned() };
        let actions = [
            action(-7.0, 1),
            action(0.49, 2),
            action(0.5, 3),
            action(2.5, 4),
            action(9.0, 5),
            action(f64::NAN, 6),
        ];
        let told: Vec<String> = (0..3).map(|slot| actions_in(&actions, slot, 3)).collect();
        assert_eq!(told, ["A1: B. A2: B.", "A3: B.", "A4: B. A5: B. A6: B."]);
    }
}
