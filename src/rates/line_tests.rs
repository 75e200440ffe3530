//! Unit tests of lines and their words.

use super::*;
use crate::rates::samples::{grid, period, table};

const MONTHS: [&str; 2] = ["2024-01", "2024-02"];

/// The line of a mechanism of side branches over two months, and the two before.
fn line(events: u32, before: u32, bifurcations: &[Option<u32>; 4]) -> RateLine {
    let at_risk = grid("bifurcation-pci", "2023-11", bifurcations);
    let rows = [("2024-02", "branch-lost", events), ("2023-11", "branch-lost", before)];
    let found = table(&rows, at_risk, period(MONTHS[0], MONTHS[1]));
    found.line(&"branch-lost".parse().unwrap()).unwrap().clone()
}

#[test]
fn the_difference_is_now_minus_before_as_newcombe_printed_it() {
    // Newcombe, Stat Med 1998;17:873, method 10: 56/70 and 48/80, 0.0524 to 0.3339. From memory.
    let line = line(56, 48, &[Some(60), Some(20), Some(10), Some(60)]);
    let found = line.difference().unwrap();
    assert!((found.estimate() - 0.2).abs() < 1e-12);
    assert!((found.interval().lower() - 0.0524).abs() <= 0.5e-4, "{found:?}");
    assert!((found.interval().upper() - 0.3339).abs() <= 0.5e-4, "{found:?}");
}

#[test]
fn without_a_rate_in_either_period_there_is_no_difference() {
    assert_eq!(line(1, 1, &[None, None, Some(50), Some(50)]).difference(), None);
    assert_eq!(line(1, 1, &[Some(50), Some(50), None, None]).difference(), None);
}

#[test]
fn a_line_is_told_in_a_sentence_with_its_counts_stratum_period_and_interval() {
    // The Wilson limits of 1/29 are 0.0061 and 0.1718 (Newcombe, Stat Med 1998;17:857, from memory).
    assert_eq!(
        line(1, 0, &[None, None, Some(20), Some(9)]).sentence(),
        "Side-branch loss: 34.5 per 1,000 (1 of 29, Bifurcation PCI, January to February 2024; 95 % interval 6.1 to 171.8, Wilson)."
    );
    assert_eq!(
        line(0, 1, &[Some(5), None, Some(15), Some(5)]).sentence(),
        "Side-branch loss: no event in 20 procedures (Bifurcation PCI, January to February 2024); at most 168.4 per 1,000 (exact, 97.5 % point)."
    );
    assert_eq!(
        line(2, 0, &[Some(5), Some(5), None, None]).sentence(),
        "Side-branch loss: no rate. No procedures at risk recorded for Bifurcation PCI, January to February 2024."
    );
}

#[test]
fn why_there_is_no_rate_is_a_sentence_for_each_reason() {
    assert_eq!(line(1, 0, &[None, None, Some(9), Some(9)]).no_rate(), None);
    assert_eq!(
        line(0, 1, &[Some(3), None, Some(0), Some(0)]).no_rate().unwrap(),
        "No procedure was at risk: Bifurcation PCI counts 0, January to February 2024."
    );
    assert_eq!(
        line(3, 0, &[None, None, Some(40), Some(2)]).no_rate().unwrap(),
        "Bifurcation PCI: more events than procedures at risk in February 2024 (3 events, 2 procedures). One of the two numbers is wrong; put it right to see the rate."
    );
    assert_eq!(
        line(1, 0, &[None, None, Some(9), Some(9)]).no_previous_rate().unwrap(),
        "No procedures at risk recorded for Bifurcation PCI, November to December 2023."
    );
}

#[test]
fn months_left_out_are_named_with_their_events_in_both_periods() {
    assert_eq!(
        line(2, 1, &[None, Some(30), Some(40), None]).notes(),
        [
            "Bifurcation PCI was not counted in February 2024; 2 events are left out.",
            "Bifurcation PCI was not counted in November 2023; 1 event is left out.",
        ]
    );
    assert_eq!(
        line(2, 1, &[Some(30), Some(30), None, Some(40)]).notes(),
        ["Bifurcation PCI was not counted in January 2024."]
    );
    assert!(line(2, 1, &[Some(30); 4]).notes().is_empty());
}
