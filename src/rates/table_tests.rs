//! Unit tests of the table.

use super::*;
use crate::rates::AtRisk;
use crate::rates::ByMonth;
use crate::rates::samples::{cases, grid, month, period, table, tree};

const YEAR: [Option<u32>; 24] = [Some(100); 24];

fn all_pci() -> Vec<AtRisk> {
    grid("all-pci", "2023-01", &YEAR)
}

fn labels(lines: &[RateLine]) -> Vec<&str> {
    lines.iter().map(|line| line.label.as_str()).collect()
}

#[test]
fn mechanisms_with_events_now_or_before_stand_apart_from_those_without() {
    let found = table(
        &[("2024-05", "wire-exit", 1), ("2023-05", "branch-lost", 1)],
        all_pci(),
        period("2024-01", "2024-12"),
    );
    assert_eq!(labels(&found.with_events), ["Wire perforation", "Side-branch loss"]);
    assert_eq!(
        labels(&found.without_events),
        ["Wire dissection", "Side-branch dissection", "Access-site bleed", "Radial spasm"],
        "neither what is retired nor what only contributes"
    );
    assert_eq!(labels(&found.branches), ["Wire", "Side branch"]);
    assert_eq!(found.previous, Some(period("2023-01", "2023-12")));
}

#[test]
fn what_is_retired_still_shows_when_it_has_events() {
    let rows = [("2024-05", "wire-old", 1), ("2024-05", "handover", 1)];
    let found = table(&rows, all_pci(), period("2024-01", "2024-12"));
    assert_eq!(labels(&found.with_events), ["Old wire harm", "Handover"]);
}

#[test]
fn events_outside_both_periods_count_in_neither() {
    let rows = [("2022-12", "wire-exit", 5), ("2025-01", "wire-exit", 5), ("2024-12", "wire-exit", 1)];
    let found = table(&rows, all_pci(), period("2024-01", "2024-12"));
    let line = found.line(&"wire-exit".parse().unwrap()).unwrap();
    assert_eq!(line.now.events_in_all(), 1);
    assert_eq!(line.previous.as_ref().unwrap().events_in_all(), 0);
}

#[test]
fn the_whole_and_a_branch_count_a_case_once_where_its_mechanisms_count_it_each() {
    // One case with a chain of three mechanisms, two of them of the same branch.
    let vocabulary = tree();
    let mut counts = cases(&vocabulary, &[("2024-03", "wire-tear", 1), ("2024-03", "branch-lost", 1)]);
    counts.mechanisms.insert("wire-exit".parse().unwrap(), ByMonth::from([(month("2024-03"), 1)]));
    counts.whole = ByMonth::from([(month("2024-03"), 1)]);
    let inputs = Inputs {
        counts,
        denominators: all_pci().into_iter().collect(),
        recorded_since: Some(month("2024-03")),
        within: None,
    };
    let found = RatesTable::of(&vocabulary, &inputs, period("2024-01", "2024-12"));
    assert_eq!(found.whole.now.events(), 1);
    assert_eq!(found.branches.iter().map(|line| line.now.events_in_all()).collect::<Vec<_>>(), [1, 1]);
    let mechanisms: u64 = found.with_events.iter().map(|line| line.now.events_in_all()).sum();
    assert_eq!(mechanisms, 3);
}

#[test]
fn a_branch_has_the_stratum_that_its_mechanisms_share_and_else_all_pci_and_says_so() {
    let rows = [("2024-05", "branch-lost", 1), ("2024-05", "access-spasm", 1), ("2024-05", "wire-tear", 1)];
    let found = table(&rows, all_pci(), period("2024-01", "2024-12"));
    let strata: Vec<(&str, &str, bool)> = found
        .branches
        .iter()
        .map(|line| {
            (line.label.as_str(), line.stratum_label.as_str(), line.counted_over == CountedOver::Mixed)
        })
        .collect();
    assert_eq!(
        strata,
        [("Wire", "All PCI", false), ("Side branch", "Bifurcation PCI", false), ("Access", "All PCI", true)]
    );
    assert_eq!(
        found.branches[2].notes(),
        ["Counted over All PCI, because its mechanisms have different procedures at risk."]
    );
    assert_eq!(found.branches[2].rate().unwrap().counts_in_words(), "1 of 1,200");
    // Bifurcations were never counted: the branch has no rate, although all PCI was.
    assert_eq!(found.branches[1].rate(), None);
}

#[test]
fn a_month_missing_in_one_stratum_leaves_the_others_whole() {
    let mut at_risk = all_pci();
    at_risk.extend(grid("bifurcation-pci", "2024-01", &[Some(20), None, Some(20)]));
    let rows = [("2024-02", "branch-lost", 2), ("2024-02", "wire-tear", 2)];
    let found = table(&rows, at_risk, period("2024-01", "2024-03"));
    let line = |slug: &str| found.line(&slug.parse().unwrap()).unwrap();
    assert_eq!(line("branch-lost").now.not_counted(), [month("2024-02")]);
    assert_eq!(line("branch-lost").rate().unwrap().counts_in_words(), "0 of 40");
    assert_eq!(line("wire-tear").rate().unwrap().counts_in_words(), "2 of 300");
    assert_eq!(found.whole.rate().unwrap().counts_in_words(), "4 of 300");
}

#[test]
fn at_the_beginning_of_the_calendar_there_is_no_period_before() {
    let found = table(
        &[("1990-02", "wire-tear", 1)],
        grid("all-pci", "1990-01", &YEAR),
        period("1990-01", "1990-12"),
    );
    assert_eq!(found.previous, None);
    assert_eq!(found.whole.previous, None);
    assert_eq!(found.whole.difference(), None);
    assert!(found.whole.rate().is_some());
}

#[test]
fn months_before_the_first_recorded_case_are_told() {
    let vocabulary = tree();
    let at = |since| {
        let inputs = Inputs {
            counts: cases(&vocabulary, &[]),
            denominators: all_pci().into_iter().collect(),
            recorded_since: since,
            within: None,
        };
        RatesTable::of(&vocabulary, &inputs, period("2024-01", "2024-12")).recorded_later()
    };
    assert_eq!(
        at(Some(month("2023-06"))).unwrap(),
        "Cases are recorded from June 2023 on. In the months before, no event may mean no record."
    );
    assert_eq!(at(Some(month("2023-01"))), None);
    assert_eq!(at(None), None);
}
