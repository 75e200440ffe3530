//! Unit tests of what moved.

use super::*;
use crate::rates::samples::{cases, grid, month, period, table, tree};
use crate::rates::{AtRisk, Inputs};

/// 100 PCI in each of 24 months from January 2023, of which 20 bifurcations.
fn at_risk() -> Vec<AtRisk> {
    let mut cells = grid("all-pci", "2023-01", &[Some(100); 24]);
    cells.extend(grid("bifurcation-pci", "2023-01", &[Some(20); 24]));
    cells
}

fn found(rows: &[(&str, &str, u32)], at_risk: Vec<AtRisk>) -> Movements {
    moved(&table(rows, at_risk, period("2024-01", "2024-12")))
}

#[test]
fn a_mechanism_moved_when_the_interval_of_the_difference_leaves_out_zero() {
    let rows = [("2023-06", "wire-tear", 3), ("2024-06", "wire-tear", 21), ("2024-06", "wire-exit", 2)];
    let found = found(&rows, at_risk());
    assert_eq!(found.compared, 2);
    assert_eq!(found.moved.len(), 1);
    assert_eq!(found.moved[0].mechanism, "wire-tear".parse().unwrap());
    assert!(found.moved[0].rose);
    // 21/1,200 − 3/1,200 = 15 per 1,000. The limits were computed apart, in Python's `math`, from
    // the formula of Newcombe, Stat Med 1998;17:873, method 10 (from memory).
    assert_eq!(
        found.finding,
        "Wire dissection rose from 2.5 to 17.5 per 1,000 (3 of 1,200, then 21 of 1,200; difference 15.0, 95 % interval 7.3 to 24.3)."
    );
    assert_eq!(
        found.cautions,
        ["2 mechanisms were compared. About one in twenty seems to move by chance alone."]
    );
}

#[test]
fn a_fall_is_told_as_a_fall_and_several_are_listed_in_the_order_of_the_tree() {
    let rows = [
        ("2023-06", "branch-lost", 15),
        ("2023-07", "branch-lost", 15),
        ("2024-06", "branch-lost", 4),
        ("2023-06", "wire-tear", 1),
        ("2024-06", "wire-tear", 20),
    ];
    let found = found(&rows, at_risk());
    assert_eq!(
        found.finding,
        "2 mechanisms moved by more than chance explains: Wire dissection rose; Side-branch loss fell."
    );
    assert!(!found.moved[1].rose);
    assert!(found.moved[1].sentence.contains("difference −108.3"), "{}", found.moved[1].sentence);
}

#[test]
fn when_none_moved_the_data_are_too_few_to_tell_and_not_unchanged() {
    let rows = [("2023-06", "wire-tear", 2), ("2024-06", "wire-tear", 4), ("2024-07", "wire-exit", 1)];
    let found = found(&rows, at_risk());
    assert_eq!(found.moved, []);
    assert_eq!(
        found.finding,
        "None of 2 mechanisms compared has moved by more than chance explains; the data are too few to tell a smaller change."
    );
    assert!(found.cautions.is_empty());
}

#[test]
fn a_mechanism_without_a_rate_in_one_period_is_not_compared() {
    let only_now = grid("all-pci", "2023-01", &[Some(100); 24])
        .into_iter()
        .chain(grid("bifurcation-pci", "2024-01", &[Some(20); 12]))
        .collect();
    let found = found(&[("2024-06", "branch-lost", 60), ("2024-06", "wire-tear", 1)], only_now);
    assert_eq!(found.compared, 1);
    assert_eq!(
        found.finding,
        "The one mechanism compared has not moved by more than chance explains; the data are too few to tell a smaller change."
    );
}

#[test]
fn a_mechanism_whose_events_are_all_left_out_is_not_compared() {
    let mut gaps = [Some(100); 24];
    gaps[17] = None;
    let found = found(&[("2024-06", "wire-tear", 9)], grid("all-pci", "2023-01", &gaps));
    assert_eq!(found.compared, 0);
    assert_eq!(
        found.finding,
        "No mechanism with events can be compared between January to December 2024 and the period before."
    );
}

#[test]
fn nothing_is_compared_where_there_is_nothing_to_compare_with() {
    let rows = [("2024-06", "wire-tear", 9)];
    assert_eq!(
        found(&rows, Vec::new()).finding,
        "There are no rates for January to December 2024: its procedures at risk are missing or cannot be right."
    );
    assert_eq!(
        found(&rows, grid("all-pci", "2024-01", &[Some(100); 12])).finding,
        "There are no rates for January to December 2023 to compare with: its procedures at risk are missing or cannot be right."
    );
}

fn recorded_since(since: Option<&str>) -> Movements {
    let vocabulary = tree();
    let inputs = Inputs {
        counts: cases(&vocabulary, &[("2024-06", "wire-tear", 30)]),
        denominators: at_risk().into_iter().collect(),
        recorded_since: since.map(month),
        within: None,
    };
    moved(&RatesTable::of(&vocabulary, &inputs, period("2024-01", "2024-12")))
}

#[test]
fn nothing_has_moved_from_a_time_without_records() {
    let found = recorded_since(Some("2024-01"));
    assert_eq!(found.moved, []);
    assert_eq!(
        found.finding,
        "Cases are recorded from January 2024 on, so there is no earlier period to compare January to December 2024 with."
    );
    assert_eq!(recorded_since(None).finding, "No case is recorded yet, so nothing has moved.");
}

#[test]
fn a_comparison_with_a_time_recorded_in_part_carries_a_caution() {
    let found = recorded_since(Some("2023-12"));
    assert_eq!(found.moved.len(), 1);
    assert_eq!(
        found.cautions,
        ["Cases are recorded from December 2023 on. In the months before, no event may mean no record."]
    );
}
