//! Against pycanon 1.3.6, a general-purpose library: `tests/python/make_combination.py` made the values.

use super::super::{Levels, Records};
use super::{hidden, records, same};

fn rows(file: &str, expected: usize) -> Vec<Vec<String>> {
    let path = format!("{}/tests/check-values/{file}", env!("CARGO_MANIFEST_DIR"));
    let rows: Vec<Vec<String>> = csv::Reader::from_path(&path)
        .unwrap_or_else(|error| panic!("{path}: {error}"))
        .records()
        .map(|row| row.unwrap().iter().map(str::to_owned).collect())
        .collect();
    assert_eq!(rows.len(), expected, "rows in {file}");
    rows
}

fn part(text: &str, months: u32) -> String {
    let (year, month) = text.split_once('-').unwrap();
    format!("{year}/{}", (month.parse::<u32>().unwrap() - 1) / months)
}

fn band(text: &str, width: u32) -> String {
    let age: u32 = text.parse().unwrap();
    if age >= 90 { "90 or older".to_owned() } else { (age / width).to_string() }
}

fn held() -> Records {
    let table = rows("combination_records.csv", 400);
    let table: Vec<Vec<&str>> = table.iter().map(|row| row.iter().map(String::as_str).collect()).collect();
    records(
        &table,
        &[
            &[same, |text| part(text, 3), |text| part(text, 6), |text| part(text, 12), hidden],
            &[
                |text| band(text, 1),
                |text| band(text, 5),
                |text| band(text, 10),
                |text| band(text, 20),
                hidden,
            ],
            &[same, hidden],
            &[same, |text| text.split('-').next().unwrap().to_owned(), hidden],
        ],
    )
}

fn numbers(row: &[String]) -> Vec<usize> {
    row.iter().map(|text| text.parse().unwrap()).collect()
}

#[test]
fn k_and_the_classes_are_those_of_the_library_at_every_set_of_levels() {
    let records = held();
    for row in rows("combination_levels.csv", 150) {
        let row = numbers(&row);
        let classes = records.classes(&Levels(row[..4].to_vec()));
        let alone = classes.sizes().iter().filter(|size| **size == 1).count();
        let own = [classes.k().unwrap(), classes.sizes().len(), alone, classes.records_under(5)];
        assert_eq!(own, row[4..], "{row:?}");
    }
}

#[test]
fn the_proposals_are_those_of_a_search_through_every_set_with_the_library() {
    let records = held();
    for row in rows("combination_proposal.csv", 4) {
        let row = numbers(&row);
        let proposal = records.propose(row[0], &records.as_recorded(), row[1]).unwrap();
        assert_eq!(proposal.levels, Levels(row[2..6].to_vec()), "{row:?}");
        assert_eq!(proposal.left_out, row[6], "{row:?}");
    }
}
