use proptest::prelude::*;

use super::*;

fn counts(pairs: &[(u64, u64)]) -> Vec<Count> {
    pairs.iter().map(|(k, n)| Count::new(*k, *n).unwrap()).collect()
}

#[test]
fn a_prior_has_two_shapes_above_0() {
    for (a, b) in [(0.0, 1.0), (1.0, 0.0), (-1.0, 2.0), (f64::NAN, 1.0), (1.0, f64::INFINITY), (1e6, 1.0)] {
        assert_eq!(Prior::new(a, b), Err(PriorError), "{a} {b}");
    }
    assert!((Prior::new(2.0, 98.0).unwrap().mean() - 0.02).abs() < 1e-15);
}

#[test]
fn how_units_differ_is_not_seen_in_one() {
    assert_eq!(fit(&[]), Err(FitError::FewerThanTwoUnits));
    assert_eq!(fit(&counts(&[(3, 100)])), Err(FitError::FewerThanTwoUnits));
    let whole = Count::MOST_PROCEDURES;
    assert!(matches!(fit(&counts(&[(0, whole), (0, whole)])), Err(FitError::TooMany(_))));
}

#[test]
fn equal_units_show_no_difference_beyond_chance() {
    for pairs in [[(2, 100), (2, 100), (2, 100)], [(0, 50), (0, 10), (0, 7)], [(5, 5), (3, 3), (1, 1)]] {
        let found = fit(&counts(&pairs)).unwrap();
        let (events, procedures) = pairs.iter().fold((0, 0), |sum, pair| (sum.0 + pair.0, sum.1 + pair.1));
        let pooled = Count::new(events, procedures).unwrap();
        assert_eq!(found, Fit::NoDifferenceBeyondChance { pooled });
    }
}

#[test]
fn units_that_differ_greatly_keep_nearly_their_own_rates() {
    let units = counts(&[(0, 40), (40, 40), (0, 30), (30, 30)]);
    let Fit::Differ(prior) = fit(&units).unwrap() else { panic!("they differ") };
    assert!(prior.a() + prior.b() < 0.02, "{prior:?}");
    let shrunk = prior.shrink(units[1], Level::NINETY_FIVE);
    assert!(shrunk.mean() > 0.999);
}

#[test]
fn a_fit_beats_its_neighbours() {
    // The likelihood written out as a sum of logarithms, without the functions that the fit uses.
    let pairs = [(1_u32, 150_u32), (12, 240), (4, 180), (0, 90), (9, 160), (2, 200), (15, 310)];
    let likelihood = |a: f64, b: f64| -> f64 {
        let logs = |from: f64, many: u32| (0..many).map(|j| (from + f64::from(j)).ln()).sum::<f64>();
        pairs.iter().map(|(k, n)| logs(a, *k) + logs(b, n - k) - logs(a + b, *n)).sum()
    };
    let units = counts(&pairs.map(|(k, n)| (u64::from(k), u64::from(n))));
    let Fit::Differ(prior) = fit(&units).unwrap() else { panic!("they differ") };
    let best = likelihood(prior.a(), prior.b());
    for (up, side) in [(1.01, 1.0), (0.99, 1.0), (1.0, 1.01), (1.0, 0.99), (1.01, 1.01), (0.99, 0.99)] {
        assert!(likelihood(prior.a() * up, prior.b() * side) < best);
    }
}

prop_compose! {
    fn any_count()(n in 1_u64..5_000)(k in prop_oneof![0..=n.min(5), 0..=n], n in Just(n)) -> Count {
        Count::new(k, n).unwrap()
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn a_shrunken_rate_lies_between_the_rate_and_the_prior(
        unit in any_count(), a in 0.5_f64..50.0, b in 0.5_f64..500.0
    ) {
        let prior = Prior::new(a, b).unwrap();
        let shrunk = prior.shrink(unit, Level::NINETY_FIVE);
        let (low, high) = (unit.proportion().min(prior.mean()), unit.proportion().max(prior.mean()));
        prop_assert!(low - 1e-12 <= shrunk.mean() && shrunk.mean() <= high + 1e-12);
        prop_assert!(0.0 <= shrunk.interval().lower() && shrunk.interval().upper() <= 1.0);
        prop_assert!(shrunk.interval().lower() < shrunk.interval().upper());
    }

    #[test]
    fn a_fit_knows_no_order_and_lies_among_the_units(units in prop::collection::vec(any_count(), 2..8)) {
        let found = fit(&units).unwrap();
        let mut reversed = units.clone();
        reversed.reverse();
        match (found, fit(&reversed).unwrap()) {
            (Fit::Differ(one), Fit::Differ(other)) => {
                prop_assert!((one.mean() / other.mean() - 1.0).abs() < 1e-9);
                let rates = || units.iter().map(|unit| unit.proportion());
                let (low, high) = (rates().fold(1.0, f64::min), rates().fold(0.0, f64::max));
                prop_assert!(low <= one.mean() && one.mean() <= high, "{one:?}");
            }
            (one, other) => prop_assert_eq!(one, other),
        }
    }
}
