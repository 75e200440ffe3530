//! Quantiles and the interval of a median against numpy, scipy and R.

use relook::stats::proportion::Level;
use relook::stats::times::{median, median_interval, median_ranks, quantile, quartiles};

use super::{Worst, rows};

#[test]
fn quartiles_and_median_intervals_are_those_of_numpy_and_scipy() {
    let mut worst = Worst::of("quartiles", 1e-15);
    for row in rows("quantiles.csv", 3) {
        let name = row.text("name");
        let values: Vec<f64> = row.text("values").split(' ').map(|text| text.parse().unwrap()).collect();
        let found = quartiles(&values).unwrap();
        worst.compare(name, found.first, row.number("q1"));
        worst.compare(name, found.median, row.number("median"));
        worst.compare(name, found.third, row.number("q3"));
        worst.compare(name, median(&values).unwrap(), row.number("median"));
        worst.compare(name, quantile(&values, 0.25).unwrap(), row.number("q1"));
        let limits = median_interval(&values, Level::NINETY_FIVE).unwrap();
        let ranks = median_ranks(values.len() as u64, Level::NINETY_FIVE);
        if row.text("median_lo").is_empty() {
            assert!(limits.is_none() && ranks.is_none(), "{name}");
            continue;
        }
        let limits = limits.unwrap();
        worst.compare(name, limits.lower(), row.number("median_lo"));
        worst.compare(name, limits.upper(), row.number("median_hi"));
        let mut coverage = Worst::of("coverage", 1e-12);
        coverage.compare(name, ranks.unwrap().coverage, row.number("coverage"));
        coverage.report();
    }
    worst.report();
}

#[test]
fn ranks_of_the_median_interval_are_those_of_scipy() {
    let mut worst = Worst::of("coverage of the median interval", 1e-11);
    for row in rows("extra_median_ranks.csv", 42) {
        let n = row.count("n");
        let found = median_ranks(n, Level::NINETY_FIVE);
        if row.text("rank_lo").is_empty() {
            assert_eq!(found, None, "{n}");
            continue;
        }
        let found = found.unwrap();
        assert_eq!((found.lower, found.upper), (row.count("rank_lo"), row.count("rank_hi")), "{n}");
        worst.compare(&n.to_string(), found.coverage, row.number("coverage"));
    }
    worst.report();
}
