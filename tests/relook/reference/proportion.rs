//! One proportion against scipy and statsmodels.

use relook::stats::proportion::{
    Count, Interval, Level, clopper_pearson, jeffreys, jeffreys_posterior, wilson,
};

use super::{Row, Worst, rows};

fn given(row: &Row) -> (Count, Level, String) {
    let (k, n, level) = (row.count("k"), row.count("n"), row.number("level"));
    (Count::new(k, n).unwrap(), Level::new(level).unwrap(), format!("{k}/{n} at {level}"))
}

/// Compares both limits of a method over the whole file, in two bands: from a million procedures
/// the incomplete beta function itself carries no more than eight digits.
fn check(
    names: [&'static str; 2],
    columns: [&str; 2],
    allowed: [f64; 2],
    method: fn(Count, Level) -> Interval,
) {
    let mut bands = [Worst::of(names[0], allowed[0]), Worst::of(names[1], allowed[1])];
    for row in rows("proportion.csv", 130) {
        let (count, level, place) = given(&row);
        let worst = &mut bands[usize::from(count.procedures() >= 1_000_000)];
        let found = method(count, level);
        worst.compare(&place, found.lower(), row.number(columns[0]));
        worst.compare(&place, found.upper(), row.number(columns[1]));
    }
    bands.into_iter().for_each(Worst::report);
}

#[test]
fn wilson_limits_are_those_of_statsmodels() {
    check(["Wilson, n to 5,000", "Wilson, n of 1,000,000"], ["wilson_lo", "wilson_hi"], [1e-9, 1e-9], wilson);
}

#[test]
fn exact_limits_are_those_of_statsmodels() {
    check(
        ["exact, n to 5,000", "exact, n of 1,000,000"],
        ["exact_lo", "exact_hi"],
        [1e-9, 1e-8],
        clopper_pearson,
    );
}

#[test]
fn jeffreys_posterior_limits_are_those_of_statsmodels() {
    check(
        ["Jeffreys, n to 5,000", "Jeffreys, n of 1,000,000"],
        ["jeffreys_lo", "jeffreys_hi"],
        [1e-9, 1e-8],
        jeffreys_posterior,
    );
}

#[test]
fn jeffreys_limits_differ_from_the_posterior_only_at_the_ends() {
    for row in rows("proportion.csv", 130) {
        let (count, level, place) = given(&row);
        let (closed, posterior) = (jeffreys(count, level), jeffreys_posterior(count, level));
        let lower = if count.events() == 0 { 0.0 } else { posterior.lower() };
        let all = count.events() == count.procedures();
        let upper = if all { 1.0 } else { posterior.upper() };
        assert_eq!((closed.lower(), closed.upper()), (lower, upper), "{place}");
    }
}

#[test]
fn zero_event_bounds_are_the_computed_ones_and_are_told_apart() {
    let mut one_sided = Worst::of("no events, one-sided 95 % bound", 1e-12);
    let mut two_sided = Worst::of("no events, two-sided 97.5 % point", 1e-12);
    for row in rows("extra_zero_events.csv", 8) {
        let n = row.count("n");
        let count = Count::new(0, n).unwrap();
        let bounds = count.zero_events(Level::NINETY_FIVE).unwrap();
        let place = format!("0/{n}");
        one_sided.compare(&place, bounds.one_sided_upper(), row.number("one_sided_95_upper"));
        two_sided.compare(&place, bounds.two_sided_upper(), row.number("two_sided_97_5_upper"));
        let exact = clopper_pearson(count, Level::NINETY_FIVE);
        two_sided.compare(&place, exact.upper(), row.number("two_sided_97_5_upper"));
        // The rule of three is another number: nothing here may return it.
        assert!((bounds.one_sided_upper() - row.number("rule_of_three")).abs() > 1e-9);
    }
    one_sided.report();
    two_sided.report();
}
