//! The statistics against values from general-purpose libraries: one module a statistic. Each
//! reads `tests/check-values/`, whose README says what computed the values.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test speaks by panicking")]

mod agreement;
mod association;
mod chart;
mod comparison;
mod coverage;
mod cusum;
mod fell;
mod funnel;
mod many;
mod poisson;
mod proportion;
mod runs;
mod shrinkage;
mod simulation;
mod times;

use std::collections::HashMap;

/// A row of check values, by column name.
struct Row(HashMap<String, String>);

impl Row {
    fn number(&self, column: &str) -> f64 {
        self.text(column)
            .parse()
            .unwrap_or_else(|_| panic!("{column} is not a number: {}", self.text(column)))
    }

    fn count(&self, column: &str) -> u64 {
        self.text(column).parse().unwrap_or_else(|_| panic!("{column} is not a count: {}", self.text(column)))
    }

    fn text(&self, column: &str) -> &str {
        self.0.get(column).unwrap_or_else(|| panic!("no column {column}"))
    }
}

/// Every row of a file in `tests/check-values/`, which must hold exactly so many: a file that was
/// cut short fails instead of testing less.
fn rows(file: &str, expected: usize) -> Vec<Row> {
    let path = format!("{}/tests/check-values/{file}", env!("CARGO_MANIFEST_DIR"));
    let rows: Vec<Row> = csv::Reader::from_path(&path)
        .unwrap_or_else(|error| panic!("{path}: {error}"))
        .deserialize()
        .map(|row| Row(row.unwrap()))
        .collect();
    assert_eq!(rows.len(), expected, "rows in {file}");
    rows
}

/// The largest relative error of one quantity over a file.
struct Worst {
    what: &'static str,
    allowed: f64,
    error: f64,
    place: String,
    compared: usize,
}

impl Worst {
    const fn of(what: &'static str, allowed: f64) -> Self {
        Self { what, allowed, error: 0.0, place: String::new(), compared: 0 }
    }

    /// Compares relative to the expected value; where that is 0, absolutely. Below 1e-15 it counts
    /// as 0: at no events, one library prints the rounding error of its lower limit.
    fn compare(&mut self, place: &str, found: f64, expected: f64) {
        let scale = if expected.abs() < 1e-15 { 1.0 } else { expected.abs() };
        let error = ((found - expected) / scale).abs();
        assert!(
            error <= self.allowed,
            "{} at {place}: found {found:e}, expected {expected:e}, error {error:e} above {:e}",
            self.what,
            self.allowed
        );
        self.compared += 1;
        if error > self.error {
            self.error = error;
            self.place = place.to_owned();
        }
    }

    /// Compares a value whose absence means that it is infinite, as the libraries print it.
    fn compare_or_infinite(&mut self, place: &str, found: Option<f64>, expected: f64) {
        match found {
            Some(found) => self.compare(place, found, expected),
            None => assert_eq!(expected, f64::INFINITY, "{} at {place} is missing", self.what),
        }
    }

    /// Prints the worst error and where it was; fails when nothing was compared.
    fn report(self) {
        assert!(self.compared > 0, "{}: nothing was compared", self.what);
        println!(
            "{}: {} values, worst relative error {:.1e} ({}), allowed {:.0e}",
            self.what, self.compared, self.error, self.place, self.allowed
        );
    }
}

#[test]
#[should_panic(expected = "above 1e-9")]
fn a_value_that_is_off_fails() {
    Worst::of("check", 1e-9).compare("here", 0.200_000_001, 0.2);
}

#[test]
#[should_panic(expected = "above 1e-9")]
fn a_value_that_is_no_number_fails() {
    Worst::of("check", 1e-9).compare("here", f64::NAN, 0.2);
}
