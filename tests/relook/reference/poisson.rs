//! Rates per procedures and their ratio against scipy.

use relook::stats::poisson::{Exposure, garwood, rate_ratio};
use relook::stats::proportion::Level;

use super::{Worst, rows};

#[test]
fn garwood_limits_are_those_of_scipy() {
    let mut rate = Worst::of("events per 1,000", 1e-12);
    let mut limits = Worst::of("Garwood limits", 1e-9);
    for row in rows("poisson_rate.csv", 8) {
        let (events, procedures) = (row.count("events"), row.count("procedures"));
        let place = format!("{events} in {procedures}");
        let exposure = Exposure::new(events, procedures).unwrap();
        rate.compare(&place, exposure.per_procedure() * 1000.0, row.number("per_1000"));
        let found = garwood(exposure, Level::NINETY_FIVE).times(1000.0);
        limits.compare(&place, found.lower(), row.number("garwood_lo"));
        limits.compare(&place, found.upper(), row.number("garwood_hi"));
    }
    rate.report();
    limits.report();
}

#[test]
fn rate_ratios_are_those_of_scipy() {
    let mut estimate = Worst::of("rate ratio", 1e-12);
    let mut limits = Worst::of("exact limits of a rate ratio", 1e-9);
    let mut p_values = Worst::of("p-values of a rate ratio", 1e-9);
    for row in rows("rate_ratio.csv", 6) {
        let [k1, t1, k2, t2] = ["k1", "t1", "k2", "t2"].map(|column| row.count(column));
        let place = format!("{k1} in {t1} and {k2} in {t2}");
        let (first, second) = (Exposure::new(k1, t1).unwrap(), Exposure::new(k2, t2).unwrap());
        let found = rate_ratio(first, second, Level::NINETY_FIVE).unwrap();
        estimate.compare_or_infinite(&place, found.estimate(), row.number("ratio"));
        limits.compare(&place, found.interval().lower(), row.number("exact_lo"));
        limits.compare_or_infinite(&place, found.interval().upper(), row.number("exact_hi"));
        p_values.compare(&place, found.p_exact(), row.number("p_exact_doubled"));
        p_values.compare(&place, found.p_mid(), row.number("p_mid_doubled"));
    }
    estimate.report();
    limits.report();
    p_values.report();
}
