use proptest::prelude::*;

use super::*;

fn count(events: u64, procedures: u64) -> Count {
    Count::new(events, procedures).unwrap()
}

#[test]
fn differences_are_those_that_newcombe_printed() {
    // Newcombe, Stat Med 1998;17:873, method 10 at 95 %. From memory.
    type Row = ((u64, u64), (u64, u64), f64, f64);
    let printed: [Row; 4] = [
        ((56, 70), (48, 80), 0.0524, 0.3339),
        ((9, 10), (3, 10), 0.1705, 0.8090),
        ((6, 7), (2, 7), 0.0582, 0.8062),
        ((5, 56), (0, 29), -0.0381, 0.1926),
    ];
    for (one, two, lower, upper) in printed {
        let found = newcombe(count(one.0, one.1), count(two.0, two.1), Level::NINETY_FIVE);
        let limits = found.interval();
        assert!((limits.lower() - lower).abs() <= 0.5e-4, "{one:?} {limits:?}");
        assert!((limits.upper() - upper).abs() <= 0.5e-4, "{one:?} {limits:?}");
    }
}

#[test]
fn a_difference_is_signed_first_minus_second() {
    let found = newcombe(count(9, 10), count(3, 10), Level::NINETY_FIVE);
    assert!((found.estimate() - 0.6).abs() < 1e-15);
    assert!(found.excludes_zero());
    assert!(!newcombe(count(0, 10), count(0, 20), Level::NINETY_FIVE).excludes_zero());
}

prop_compose! {
    fn any_count()(n in 1_u64..100_000)(k in prop_oneof![0..=n.min(3), 0..=n], n in Just(n)) -> Count {
        count(k, n)
    }
}

proptest! {
    #[test]
    fn swapping_the_proportions_mirrors_the_difference(one in any_count(), two in any_count()) {
        let there = newcombe(one, two, Level::NINETY_FIVE);
        let back = newcombe(two, one, Level::NINETY_FIVE);
        prop_assert!((there.interval().lower() + back.interval().upper()).abs() < 1e-12);
        prop_assert!((there.estimate() + back.estimate()).abs() < 1e-12);
    }

    #[test]
    fn the_limits_hold_the_difference_and_lie_within_minus_1_and_1(
        one in any_count(), two in any_count(), level in 0.5_f64..0.9999
    ) {
        let found = newcombe(one, two, Level::new(level).unwrap());
        prop_assert!(found.interval().contains(found.estimate()));
        prop_assert!(found.interval().lower() >= -1.0 - 1e-12);
        prop_assert!(found.interval().upper() <= 1.0 + 1e-12);
    }
}

#[test]
fn a_risk_ratio_with_a_zero_says_why_and_offers_the_difference() {
    let refused = risk_ratio(count(5, 56), count(0, 29), Level::NINETY_FIVE).unwrap_err();
    let difference = newcombe(count(5, 56), count(0, 29), Level::NINETY_FIVE);
    assert_eq!(refused, NoRiskRatio::NoEvents(difference));
    assert_eq!(refused.difference(), difference);
    let words = "a ratio needs an event on each side; look at the difference instead";
    assert_eq!(refused.to_string(), words);
    let all = risk_ratio(count(4, 4), count(9, 9), Level::NINETY_FIVE).unwrap_err();
    assert!(matches!(all, NoRiskRatio::AllEvents(_)));
    assert!(risk_ratio(count(4, 4), count(8, 9), Level::NINETY_FIVE).is_ok());
}

#[test]
fn a_risk_ratio_is_first_by_second() {
    let found = risk_ratio(count(56, 70), count(48, 80), Level::NINETY_FIVE).unwrap();
    assert!((found.estimate() - 4.0 / 3.0).abs() < 1e-15);
    assert!(found.excludes_one());
}

proptest! {
    #[test]
    fn swapping_the_proportions_turns_the_ratio_over(one in any_count(), two in any_count()) {
        prop_assume!(one.events() > 0 && two.events() > 0);
        prop_assume!(one.events() < one.procedures());
        let there = risk_ratio(one, two, Level::NINETY_FIVE).unwrap();
        let back = risk_ratio(two, one, Level::NINETY_FIVE).unwrap();
        prop_assert!(there.interval().contains(there.estimate()));
        prop_assert!((there.interval().lower() * back.interval().upper() - 1.0).abs() < 1e-12);
    }

    #[test]
    fn an_exact_test_is_a_probability_and_knows_no_order(one in any_count(), two in any_count()) {
        let p = fisher_exact(one, two);
        prop_assert!((0.0..=1.0 + 1e-12).contains(&p), "{p}");
        for other in [fisher_exact(two, one), fisher_exact(one.complement(), two.complement())] {
            prop_assert!((p - other).abs() <= 1e-9 * p, "{p} {other}");
        }
    }
}
