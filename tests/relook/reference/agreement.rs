//! Agreement against a general library and against printed values.

use std::collections::HashMap;

use relook::stats::agreement::{Kappa, Scale, fleiss_kappa, krippendorff_alpha};

use super::{Row, Worst, rows};

/// The numbers of `agreement.txt`, by name.
fn expected() -> HashMap<String, f64> {
    let path = format!("{}/tests/check-values/agreement.txt", env!("CARGO_MANIFEST_DIR"));
    let text = std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{path}: {error}"));
    let pairs = text.lines().map(|line| line.split_once('=').unwrap());
    let numbers: HashMap<String, f64> =
        pairs.map(|(name, number)| (name.to_owned(), number.parse().unwrap())).collect();
    assert_eq!(numbers.len(), 5);
    numbers
}

fn kappa(file: &str, cases: usize, categories: &[&str]) -> Kappa {
    let count = |row: &Row, category: &&str| u32::try_from(row.count(category)).unwrap();
    let table: Vec<Vec<u32>> = rows(file, cases)
        .iter()
        .map(|row| categories.iter().map(|category| count(row, category)).collect())
        .collect();
    fleiss_kappa(&table).unwrap()
}

#[test]
fn kappa_of_fourteen_raters_is_that_of_numpy_and_of_textbooks() {
    let found = kappa("fleiss_kappa.csv", 10, &["cat1", "cat2", "cat3", "cat4", "cat5"]);
    let mut worst = Worst::of("Fleiss' kappa", 1e-12);
    worst.compare("14 raters", found.kappa, expected()["fleiss_kappa"]);
    worst.report();
    // Printed 0.210 in textbooks.
    assert!((found.kappa - 0.210).abs() < 0.0005);
}

#[test]
fn kappa_of_six_psychiatrists_is_that_which_fleiss_printed() {
    let diagnoses = ["depression", "personality", "schizophrenia", "neurosis", "other"];
    let found = kappa("extra_fleiss_1971.csv", 30, &diagnoses);
    let result = rows("extra_fleiss_1971_result.csv", 1);
    let mut worst = Worst::of("Fleiss 1971", 1e-12);
    worst.compare("observed", found.observed, result[0].number("observed"));
    worst.compare("expected", found.expected, result[0].number("expected"));
    worst.compare("kappa", found.kappa, result[0].number("kappa"));
    worst.report();
    // Fleiss, Psychol Bull 1971;76:378: 0.430. From memory, as is the table.
    assert!((found.kappa - 0.430).abs() < 0.0005);
}

#[test]
fn alpha_is_that_of_the_library_and_that_which_krippendorff_printed() {
    let observers = rows("krippendorff_matrix.csv", 4);
    let cases: Vec<Vec<f64>> = (1..=12)
        .map(|unit| {
            let texts = observers.iter().map(|row| row.text(&format!("unit{unit}")).to_owned());
            texts.filter(|text| !text.is_empty()).map(|text| text.parse().unwrap()).collect()
        })
        .collect();
    assert_eq!(cases.iter().map(Vec::len).sum::<usize>(), 41);
    let expected = expected();
    let mut worst = Worst::of("Krippendorff's alpha", 1e-12);
    // Printed in Computing Krippendorff's alpha-reliability, 2011. From memory.
    for (name, scale, printed) in [
        ("nominal", Scale::Nominal, 0.743),
        ("ordinal", Scale::Ordinal, 0.815),
        ("interval", Scale::Interval, 0.849),
        ("ratio", Scale::Ratio, 0.797),
    ] {
        let found = krippendorff_alpha(&cases, scale).unwrap();
        worst.compare(name, found, expected[&format!("krippendorff_{name}")]);
        assert!((found - printed).abs() < 0.0006, "{name}: {found}");
    }
    worst.report();
}
