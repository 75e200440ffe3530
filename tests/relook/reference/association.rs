//! Odds ratios, of one table and pooled, against scipy, statsmodels and published examples.

use relook::stats::association::{Pooled, Table, mantel_haenszel, mid_p_limits, odds_ratio};
use relook::stats::proportion::Level;

use super::{Row, Worst, rows};

fn table(row: &Row) -> Table {
    Table::new(["a", "b", "c", "d"].map(|column| row.count(column))).unwrap()
}

#[test]
fn conditional_odds_ratios_are_those_of_scipy() {
    let mut estimate = Worst::of("conditional odds ratio", 1e-9);
    let mut limits = Worst::of("exact limits of an odds ratio", 1e-9);
    for row in rows("odds_ratio_exact.csv", 5) {
        let table = table(&row);
        let place = format!("{:?}", table.cells());
        let found = odds_ratio(table, Level::NINETY_FIVE).unwrap();
        estimate.compare_or_infinite(&place, found.conditional(), row.number("conditional_mle"));
        limits.compare(&place, found.exact().lower(), row.number("exact_lo"));
        limits.compare_or_infinite(&place, found.exact().upper(), row.number("exact_hi"));
    }
    estimate.report();
    limits.report();
}

#[test]
fn mid_p_limits_and_p_values_are_the_computed_ones() {
    let mut sample = Worst::of("sample odds ratio", 1e-12);
    let mut exact = Worst::of("exact limits, by the logarithm", 1e-9);
    let mut mid_p = Worst::of("mid-P limits", 1e-9);
    let mut p_values = Worst::of("mid-P and Fisher p-values", 1e-9);
    for row in rows("extra_odds_ratio_midp.csv", 7) {
        let table = table(&row);
        let place = format!("{:?}", table.cells());
        let found = odds_ratio(table, Level::NINETY_FIVE).unwrap();
        sample.compare_or_infinite(&place, table.sample_odds_ratio(), row.number("sample_or"));
        exact.compare(&place, found.exact().lower(), row.number("exact_lo"));
        exact.compare_or_infinite(&place, found.exact().upper(), row.number("exact_hi"));
        let limits = mid_p_limits(table, Level::NINETY_FIVE).unwrap();
        mid_p.compare(&place, limits.lower(), row.number("midp_lo"));
        mid_p.compare_or_infinite(&place, limits.upper(), row.number("midp_hi"));
        p_values.compare(&place, found.p_mid(), row.number("p_mid_doubled"));
        p_values.compare(&place, table.fisher_exact(), row.number("p_fisher"));
    }
    sample.report();
    exact.report();
    mid_p.report();
    p_values.report();
}

/// Compares a pooled odds ratio with a row; the p-value down to 1e-15, below which the library
/// prints 0.
fn check(worst: &mut Worst, place: &str, found: Pooled, row: &Row, columns: [&str; 5]) {
    let limits = found.interval();
    let values = [found.estimate(), limits.lower(), limits.upper(), found.chi_squared(), found.p_value()];
    for (value, column) in values.into_iter().zip(columns) {
        worst.compare(&format!("{place}, {column}"), value, row.number(column));
    }
}

#[test]
fn pooled_odds_ratios_are_those_of_statsmodels() {
    let mut worst = Worst::of("Mantel–Haenszel", 1e-9);
    let strata: Vec<Table> = rows("mantel_haenszel.csv", 3).iter().map(table).collect();
    let found = mantel_haenszel(&strata, Level::NINETY_FIVE).unwrap();
    for row in rows("mantel_haenszel_result.csv", 1) {
        let columns = ["pooled_or", "lo", "hi", "mh_chi2_no_correction", "p"];
        check(&mut worst, "three strata", found, &row, columns);
    }
    worst.report();
}

#[test]
fn published_examples_are_pooled_to_what_was_printed() {
    let tables = rows("extra_mantel_haenszel_tables.csv", 8);
    let mut worst = Worst::of("Mantel–Haenszel, published examples", 1e-9);
    let mut crude = Worst::of("crude odds ratio", 1e-12);
    for row in rows("extra_mantel_haenszel.csv", 2) {
        let set = row.text("set");
        let strata: Vec<Table> = tables.iter().filter(|row| row.text("set") == set).map(table).collect();
        let found = mantel_haenszel(&strata, Level::NINETY_FIVE).unwrap();
        let columns = ["pooled_or", "rbg_lo", "rbg_hi", "cmh_chi2_no_correction", "p"];
        check(&mut worst, set, found, &row, columns);
        crude.compare(set, found.crude().unwrap(), row.number("crude_or"));
        // Breslow & Day, Statistical Methods in Cancer Research, vol. 1, 1980: printed 5.158 (from
        // memory). Le, Introductory Biostatistics, Example 1.19: printed 1.53.
        let (printed, half_unit) = match set {
            "breslow_day_1980_age" => (5.158, 0.0005),
            "le_mi_oral_contraceptive" => (1.53, 0.005),
            other => panic!("no printed value for {other}"),
        };
        assert!((found.estimate() - printed).abs() <= half_unit, "{set}: {}", found.estimate());
    }
    worst.report();
    crude.report();
}
