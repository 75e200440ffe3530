//! What holds of all records, and the definition of a proposal tried on every set of levels.

use std::collections::BTreeMap;

use proptest::prelude::*;

use super::super::{Ladder, Levels, Records};

const VALUES: usize = 8;

/// Three facts: eight values in pairs, fours and hidden; eight in fours and hidden; eight and hidden.
fn some_records(rows: &[[usize; 3]]) -> Records {
    let ladder = |widths: &[usize]| {
        let values: Vec<Vec<String>> = (0..VALUES)
            .map(|value| widths.iter().map(|width| format!("{}", value / width)).collect())
            .collect();
        Ladder::new(widths.len(), &values).unwrap()
    };
    let mut records = Records::new(vec![ladder(&[1, 2, 4, 8]), ladder(&[1, 4, 8]), ladder(&[1, 8])]).unwrap();
    for row in rows {
        records.push(row).unwrap();
    }
    records
}

/// Class sizes by comparing what is shown, text by text.
fn by_hand(records: &Records, levels: &Levels) -> BTreeMap<Vec<String>, usize> {
    let mut counts = BTreeMap::new();
    for record in 0..records.len() {
        let shown = (0..3).map(|fact| records.shown(record, fact, levels).to_owned()).collect::<Vec<_>>();
        *counts.entry(shown).or_insert(0) += 1;
    }
    counts
}

fn every_set() -> Vec<Levels> {
    let mut sets = Vec::new();
    for first in 0..4 {
        for second in 0..3 {
            for third in 0..2 {
                sets.push(Levels(vec![first, second, third]));
            }
        }
    }
    sets
}

fn loss(levels: &Levels) -> f64 {
    let [first, second, third] =
        [levels.0[0], levels.0[1], levels.0[2]].map(|level| f64::from(u32::try_from(level).unwrap()));
    first / 3.0 + second / 2.0 + third
}

fn rows() -> impl Strategy<Value = Vec<[usize; 3]>> {
    prop::collection::vec([0..VALUES, 0..VALUES, 0..VALUES], 1..40)
}

proptest! {
    #[test]
    fn classes_part_the_records_and_are_those_of_the_definition(rows in rows()) {
        let records = some_records(&rows);
        for levels in every_set() {
            let classes = records.classes(&levels);
            prop_assert_eq!(classes.sizes().iter().sum::<usize>(), records.len());
            let members = classes.members();
            for (class, held) in members.iter().enumerate() {
                prop_assert_eq!(held.len(), classes.sizes()[class]);
                prop_assert_eq!(held[0], classes.first(class));
            }
            let counts = by_hand(&records, &levels);
            prop_assert_eq!(counts.len(), classes.sizes().len());
            for record in 0..records.len() {
                let shown: Vec<String> = (0..3).map(|fact| records.shown(record, fact, &levels).to_owned()).collect();
                prop_assert_eq!(counts[&shown], classes.size_of(record));
            }
            for k in 1..8 {
                let small: usize = counts.values().filter(|size| **size < k).sum();
                prop_assert_eq!(classes.records_under(k), small);
                prop_assert_eq!(records.under(&levels, k), small);
            }
        }
    }

    #[test]
    fn k_never_falls_when_a_fact_is_told_more_generally(rows in rows()) {
        let records = some_records(&rows);
        for low in every_set() {
            for high in every_set().into_iter().filter(|high| high.covers(&low)) {
                let (below, above) = (records.classes(&low), records.classes(&high));
                prop_assert!(below.k() <= above.k());
                for record in 0..records.len() {
                    prop_assert!(below.size_of(record) <= above.size_of(record));
                }
            }
        }
    }

    #[test]
    fn a_proposal_reaches_k_and_nothing_that_reaches_it_loses_less(
        rows in rows(), k in 1usize..8, left_out in 0usize..4, floor in [0usize..4, 0usize..3, 0usize..2],
    ) {
        let records = some_records(&rows);
        let floor = Levels(floor.to_vec());
        let reaching: Vec<Levels> = every_set()
            .into_iter()
            .filter(|set| set.covers(&floor))
            .filter(|set| by_hand(&records, set).values().filter(|size| **size < k).sum::<usize>() <= left_out)
            .collect();
        let proposal = records.propose(k, &floor, left_out);
        prop_assert_eq!(proposal.is_some(), !reaching.is_empty());
        if let Some(proposal) = proposal {
            prop_assert!(reaching.contains(&proposal.levels));
            prop_assert!(proposal.left_out <= left_out);
            let least = reaching.iter().map(loss).fold(f64::INFINITY, f64::min);
            prop_assert!((loss(&proposal.levels) - least).abs() < 1e-9);
            let first = reaching.iter().filter(|set| (loss(set) - least).abs() < 1e-9).min();
            prop_assert_eq!(first, Some(&proposal.levels));
        }
    }

    #[test]
    fn one_record_is_counted_as_its_class_is(rows in rows(), record in 0usize..40, k in 1usize..8) {
        let records = some_records(&rows);
        let record = record % records.len();
        let one = records.one(record);
        for levels in every_set() {
            prop_assert_eq!(one.size(&levels), records.classes(&levels).size_of(record));
        }
        let proposed = records.propose_for(&one, k, &records.as_recorded());
        let reaching = every_set().into_iter().filter(|set| records.classes(set).size_of(record) >= k);
        let least = reaching.min_by(|one, other| loss(one).total_cmp(&loss(other)).then(one.cmp(other)));
        prop_assert_eq!(proposed.is_some(), least.is_some());
        if let Some((own, least)) = proposed.zip(least) {
            prop_assert!((loss(&own) - loss(&least)).abs() < 1e-9);
        }
    }
}
