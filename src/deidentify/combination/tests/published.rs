//! Tables from print, recalled from memory.

use super::super::{Ladder, LadderError, Levels, Records};
use super::{hidden, records, same, sorted_sizes};

/// Sweeney 2002 (k-anonymity, Figure 2): race, birth, gender and ZIP of eleven rows, k = 2. Recalled.
#[test]
fn the_example_of_sweeney_has_k_2() {
    let table: Vec<Vec<&str>> = [
        ["Black", "1965", "m", "0214*"],
        ["Black", "1965", "m", "0214*"],
        ["Black", "1965", "f", "0213*"],
        ["Black", "1965", "f", "0213*"],
        ["Black", "1964", "f", "0213*"],
        ["Black", "1964", "f", "0213*"],
        ["White", "1964", "m", "0213*"],
        ["White", "1964", "m", "0213*"],
        ["White", "1964", "m", "0213*"],
        ["White", "1967", "m", "0213*"],
        ["White", "1967", "m", "0213*"],
    ]
    .map(Vec::from)
    .to_vec();
    let records = records(&table, &[&[same], &[same], &[same], &[same]]);
    assert_eq!(records.classes(&records.as_recorded()).k(), Some(2));
    assert_eq!(sorted_sizes(&records, &[0, 0, 0, 0]), [2, 2, 2, 2, 3]);
}

/// Machanavajjhala et al. 2006 (l-diversity, Figures 1 and 2): twelve in-patients by ZIP, age and
/// nationality; told as ZIP to three or four digits, age below 30, 30 to 39 and from 40 on, without
/// nationality, there are three classes of four. Recalled.
#[test]
fn the_in_patients_of_the_l_diversity_paper_have_k_4_when_generalised() {
    let table: Vec<Vec<&str>> = [
        ["13053", "28", "Russian"],
        ["13068", "29", "American"],
        ["13068", "21", "Japanese"],
        ["13053", "23", "American"],
        ["14853", "50", "Indian"],
        ["14853", "55", "Russian"],
        ["14850", "47", "American"],
        ["14850", "49", "American"],
        ["13053", "31", "American"],
        ["13053", "37", "Indian"],
        ["13068", "36", "Japanese"],
        ["13068", "35", "American"],
    ]
    .map(Vec::from)
    .to_vec();
    let zip = |value: &str| if value.starts_with("148") { "1485*" } else { "130**" }.to_owned();
    let age = |value: &str| {
        match value.parse::<u32>().unwrap() {
            ..30 => "<30",
            30..40 => "3*",
            _ => "≥40",
        }
        .to_owned()
    };
    let records = records(&table, &[&[same, zip, hidden], &[same, age, hidden], &[same, hidden]]);
    assert_eq!(records.classes(&records.as_recorded()).k(), Some(1));
    assert_eq!(sorted_sizes(&records, &[1, 1, 1]), [4, 4, 4]);
    // The ages part the ZIPs already: as printed, or with the ZIP hidden; the printed one loses less.
    let proposal = records.propose(4, &records.as_recorded(), 0).unwrap();
    assert_eq!(proposal.levels, Levels(vec![1, 1, 1]));
    assert_eq!(proposal.left_out, 0);
    // (1/2 + 1/2 + 1) / 3
    assert_eq!(proposal.loss, 666);
}

/// Two facts of which either may be hidden: the one that is worth more stays.
#[test]
fn what_is_worth_more_is_kept() {
    let table: Vec<Vec<&str>> = [["a", "x"], ["a", "y"], ["b", "x"], ["b", "y"]].map(Vec::from).to_vec();
    let plain = records(&table, &[&[same, hidden], &[same, hidden]]);
    assert_eq!(plain.propose(2, &plain.as_recorded(), 0).unwrap().levels, Levels(vec![0, 1]));
    let ladders = vec![plain.ladders()[0].clone(), plain.ladders()[1].clone().worth(3)];
    let mut records = Records::new(ladders).unwrap();
    for values in [[0, 0], [0, 1], [1, 0], [1, 1]] {
        records.push(&values).unwrap();
    }
    assert_eq!(records.propose(2, &records.as_recorded(), 0).unwrap().levels, Levels(vec![1, 0]));
    // One of four parts of what the facts are worth.
    let ladders = vec![plain.ladders()[0].clone().worth(3), plain.ladders()[1].clone()];
    let records = Records::new(ladders).unwrap();
    assert_eq!(records.loss(&Levels(vec![0, 1])), 250);
}

#[test]
fn what_a_level_tells_alike_is_not_told_apart_above() {
    let text = |parts: &[&str]| parts.iter().map(|part| (*part).to_owned()).collect::<Vec<_>>();
    assert_eq!(Ladder::new(0, &[]), Err(LadderError::Empty));
    assert_eq!(Ladder::new(2, &[text(&["a"])]), Err(LadderError::Uneven));
    assert_eq!(Ladder::new(2, &[text(&["a", "x"]), text(&["a", "y"])]), Err(LadderError::Parts));
    assert!(Ladder::new(2, &[text(&["a", "x"]), text(&["b", "x"])]).is_ok());
}
