//! A reader who tries to undo suppression.
//!
//! It shares no code with what is tested: it goes through every table that agrees with what is shown,
//! up to a largest value, and notes what each hidden cell could be.

use std::collections::{BTreeMap, BTreeSet};

use proptest::prelude::*;

use super::{Shown, ShownTree, SmallestCount};

/// What each hidden cell of a row could be, over all rows that agree with what is shown.
pub(super) fn possible_in_row(cells: &[Shown], total: Shown, most: u64) -> Vec<BTreeSet<u64>> {
    // Where something is shown beside it, what is hidden is not zero.
    let least = u64::from(cells.iter().any(|cell| !cell.is_hidden()));
    let choices: Vec<Vec<u64>> = cells
        .iter()
        .map(|cell| match cell {
            Shown::Count(count) => vec![*count],
            Shown::Hidden => (least..=most).collect(),
        })
        .collect();
    let mut possible = vec![BTreeSet::new(); cells.len()];
    for values in every(&choices) {
        let sum: u64 = values.iter().sum();
        if total == Shown::Hidden || total == Shown::Count(sum) {
            for (set, value) in possible.iter_mut().zip(values) {
                set.insert(value);
            }
        }
    }
    possible
}

/// Every way to take one of each.
fn every(choices: &[Vec<u64>]) -> Vec<Vec<u64>> {
    choices.iter().fold(vec![vec![]], |ways, next| {
        ways.iter()
            .flat_map(|way| next.iter().map(move |value| way.iter().copied().chain([*value]).collect()))
            .collect()
    })
}

/// What each hidden cell of a tree could be: the whole, then each branch before its mechanisms.
///
/// `once` says for the whole and for each branch whether the reader knows that no case counts twice
/// below it.
pub(super) fn possible_in_tree(shown: &ShownTree, once: &[bool], most: u64) -> Vec<BTreeSet<u64>> {
    let parents = |values: &[u64], once: bool| -> Vec<u64> {
        let sum: u64 = values.iter().sum();
        let largest = values.iter().copied().max().unwrap_or(0);
        if once { vec![sum] } else { (largest..=sum).collect() }
    };
    // For each branch: its possible counts, and with each what its mechanisms could be.
    let branches: Vec<BTreeMap<u64, Vec<BTreeSet<u64>>>> = shown
        .branches
        .iter()
        .zip(&once[1..])
        .map(|(branch, &once)| {
            let choices: Vec<Vec<u64>> = branch
                .mechanisms
                .iter()
                .map(|cell| match cell {
                    Shown::Count(count) => vec![*count],
                    Shown::Hidden => (1..=most).collect(),
                })
                .collect();
            let mut found: BTreeMap<u64, Vec<BTreeSet<u64>>> = BTreeMap::new();
            for values in every(&choices) {
                for events in parents(&values, once) {
                    let agrees = match branch.events {
                        Shown::Count(count) => count == events,
                        Shown::Hidden => events > 0,
                    };
                    if agrees {
                        let sets = found.entry(events).or_insert_with(|| vec![BTreeSet::new(); values.len()]);
                        for (set, value) in sets.iter_mut().zip(&values) {
                            set.insert(*value);
                        }
                    }
                }
            }
            found
        })
        .collect();
    let counts: Vec<Vec<u64>> = branches.iter().map(|branch| branch.keys().copied().collect()).collect();
    let mut wholes = BTreeSet::new();
    let mut events = vec![BTreeSet::new(); branches.len()];
    for values in every(&counts) {
        let agreeing: Vec<u64> = parents(&values, once[0])
            .into_iter()
            .filter(|&whole| match shown.whole {
                Shown::Count(count) => count == whole,
                Shown::Hidden => whole > 0,
            })
            .collect();
        if !agreeing.is_empty() {
            wholes.extend(agreeing);
            for (set, value) in events.iter_mut().zip(values) {
                set.insert(value);
            }
        }
    }
    let mut possible = vec![wholes];
    for (branch, events) in branches.iter().zip(events) {
        let mut mechanisms: Vec<BTreeSet<u64>> = vec![];
        for count in &events {
            mechanisms.resize(branch[count].len(), BTreeSet::new());
            for (all, some) in mechanisms.iter_mut().zip(&branch[count]) {
                all.extend(some);
            }
        }
        possible.push(events);
        possible.extend(mechanisms);
    }
    possible
}

/// The cells in the order of `possible_in_tree`.
pub(super) fn cells_of(shown: &ShownTree) -> Vec<Shown> {
    let branches =
        shown.branches.iter().flat_map(|branch| [branch.events].into_iter().chain(branch.mechanisms.clone()));
    [shown.whole].into_iter().chain(branches).collect()
}

/// That no hidden cell is known, or known to be small, and that what is shown is right.
pub(super) fn assert_nothing_told(
    truth: &[u64],
    shown: &[Shown],
    possible: &[BTreeSet<u64>],
    smallest: SmallestCount,
) -> Result<(), TestCaseError> {
    for ((&count, cell), set) in truth.iter().zip(shown).zip(possible) {
        prop_assert!(set.contains(&count), "the reader misses the truth: {count} {set:?}");
        match cell {
            Shown::Count(found) => {
                prop_assert_eq!(*found, count);
                prop_assert!(!smallest.hides(count));
            }
            Shown::Hidden => {
                prop_assert!(set.len() > 1, "{count} is known: {shown:?}");
                let largest = set.last().copied().unwrap_or(0);
                prop_assert!(largest >= smallest.get(), "{count} is known to be small: {shown:?} {set:?}");
            }
        }
    }
    Ok(())
}

/// A plain subtraction below a shown parent must not give one hidden child, or only small ones; nor may
/// all children of a hidden parent be there to add up.
pub(super) fn assert_no_subtraction(
    parent: Shown,
    children: &[Shown],
    smallest: SmallestCount,
) -> Result<(), TestCaseError> {
    let Shown::Count(parent) = parent else {
        let shown_all = children.iter().all(|child| !child.is_hidden());
        prop_assert!(!shown_all, "their sum is close to a hidden parent: {children:?}");
        return Ok(());
    };
    let hidden = children.iter().filter(|child| child.is_hidden()).count() as u64;
    let shown: u64 =
        children.iter().map(|child| if let Shown::Count(count) = child { *count } else { 0 }).sum();
    if hidden > 0 && parent >= shown + hidden {
        let largest = parent - shown - (hidden - 1);
        prop_assert!(hidden > 1 && largest >= smallest.get(), "{parent}: {children:?}");
    }
    Ok(())
}
