//! The probability that a rate fell, against quadrature in scipy and with 30 digits.

use relook::stats::fell::{NoEventsAtAll, probability_fell};
use relook::stats::proportion::Count;

use super::{Row, Worst, rows};

fn periods(row: &Row) -> (Count, Count) {
    let count = |events, procedures| Count::new(row.count(events), row.count(procedures)).unwrap();
    (count("k_before", "n_before"), count("k_after", "n_after"))
}

#[test]
fn probabilities_are_those_of_scipy() {
    let mut worst = Worst::of("probability that a rate fell", 1e-9);
    for row in rows("probability_rate_fell.csv", 5) {
        let (before, after) = periods(&row);
        let found = probability_fell(before, after).unwrap();
        worst.compare(&format!("{before:?} {after:?}"), found, row.number("p_after_lower_jeffreys"));
    }
    worst.report();
}

#[test]
fn probabilities_are_those_computed_with_thirty_digits() {
    let mut worst = Worst::of("probability that a rate fell, 30 digits", 1e-12);
    let mut refused = 0;
    for row in rows("extra_probability_rate_fell.csv", 7) {
        let (before, after) = periods(&row);
        match probability_fell(before, after) {
            Ok(found) => {
                worst.compare(&format!("{before:?} {after:?}"), found, row.number("p_after_lower_jeffreys"));
            }
            // 0/200 and 0/600: the formula says 0.67, which is why it is not asked.
            Err(NoEventsAtAll) => {
                assert_eq!((before.events(), after.events()), (0, 0));
                assert!(row.number("p_after_lower_jeffreys") > 0.66);
                refused += 1;
            }
        }
    }
    assert_eq!(refused, 1);
    worst.report();
}
