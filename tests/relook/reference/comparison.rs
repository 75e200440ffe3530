//! Two proportions against statsmodels, and against the same formula in numpy.

use relook::stats::comparison::{NoRiskRatio, fisher_exact, newcombe, risk_ratio};
use relook::stats::proportion::{Count, Level};

use super::{Worst, rows};

#[test]
fn differences_are_those_of_statsmodels() {
    let mut estimate = Worst::of("difference", 1e-9);
    let mut limits = Worst::of("Newcombe limits, statsmodels", 1e-9);
    let mut formula = Worst::of("Newcombe limits, numpy", 1e-9);
    for row in rows("two_proportions.csv", 10) {
        let [k1, n1, k2, n2] = ["k1", "n1", "k2", "n2"].map(|column| row.count(column));
        let place = format!("{k1}/{n1} and {k2}/{n2}");
        let found = newcombe(Count::new(k1, n1).unwrap(), Count::new(k2, n2).unwrap(), Level::NINETY_FIVE);
        let interval = found.interval();
        estimate.compare(&place, found.estimate(), row.number("diff"));
        limits.compare(&place, interval.lower(), row.number("statsmodels_lo"));
        limits.compare(&place, interval.upper(), row.number("statsmodels_hi"));
        formula.compare(&place, interval.lower(), row.number("newcombe10_lo"));
        formula.compare(&place, interval.upper(), row.number("newcombe10_hi"));
    }
    estimate.report();
    limits.report();
    formula.report();
}

#[test]
fn exact_tests_and_risk_ratios_are_those_of_scipy_and_the_formula_in_numpy() {
    let mut p_value = Worst::of("Fisher's exact test", 1e-9);
    let mut ratio = Worst::of("risk ratio", 1e-12);
    let mut limits = Worst::of("limits of a risk ratio", 1e-9);
    for row in rows("two_proportions.csv", 10) {
        let [k1, n1, k2, n2] = ["k1", "n1", "k2", "n2"].map(|column| row.count(column));
        let place = format!("{k1}/{n1} and {k2}/{n2}");
        let (first, second) = (Count::new(k1, n1).unwrap(), Count::new(k2, n2).unwrap());
        p_value.compare(&place, fisher_exact(first, second), row.number("fisher_p"));
        match risk_ratio(first, second, Level::NINETY_FIVE) {
            Ok(found) => {
                ratio.compare(&place, found.estimate(), row.number("risk_ratio"));
                limits.compare(&place, found.interval().lower(), row.number("rr_log_lo"));
                limits.compare(&place, found.interval().upper(), row.number("rr_log_hi"));
            }
            Err(NoRiskRatio::NoEvents(_)) => assert!(row.number("risk_ratio").is_nan(), "{place}"),
            Err(other) => panic!("{place}: {other}"),
        }
    }
    p_value.report();
    ratio.report();
    limits.report();
}
