//! Adjusted p-values against statsmodels.

use relook::stats::many::benjamini_hochberg;

use super::{Worst, rows};

#[test]
fn adjusted_values_are_those_of_statsmodels() {
    let mut worst = Worst::of("Benjamini–Hochberg", 1e-12);
    let rows = rows("benjamini_hochberg.csv", 15);
    let given: Vec<f64> = rows.iter().map(|row| row.number("p")).collect();
    for (row, found) in rows.iter().zip(benjamini_hochberg(&given).unwrap()) {
        worst.compare(row.text("p"), found, row.number("adjusted"));
        assert_eq!(found <= 0.05, row.count("rejected_at_0.05") == 1, "{}", row.text("p"));
    }
    worst.report();
}
