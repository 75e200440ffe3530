use proptest::prelude::*;

use super::*;

fn over(events: u64, procedures: u64) -> Exposure {
    Exposure::new(events, procedures).unwrap()
}

#[test]
fn limits_of_small_counts_are_those_of_the_published_tables() {
    // Limits of a Poisson mean at 95 %, from memory of published tables: 0, 1, 5 and 10 events.
    for (k, lower, upper) in
        [(0, 0.0, 3.6889), (1, 0.0253, 5.5716), (5, 1.6235, 11.6683), (10, 4.7954, 18.3904)]
    {
        let found = garwood(over(k, 1), Level::NINETY_FIVE);
        assert!((found.lower() - lower).abs() <= 0.51e-4, "{k}: {found:?}");
        assert!((found.upper() - upper).abs() <= 0.51e-4, "{k}: {found:?}");
    }
}

#[test]
fn a_procedure_can_hold_several_events() {
    assert!((over(12, 8).per_procedure() - 1.5).abs() < 1e-15);
    assert!(garwood(over(12, 8), Level::NINETY_FIVE).contains(1.5));
}

#[test]
fn impossible_exposures_are_refused() {
    assert_eq!(Exposure::new(1, 0), Err(ExposureError::NoProceduresAtRisk));
    let beyond = Count::MOST_PROCEDURES + 1;
    assert_eq!(Exposure::new(beyond, 1), Err(ExposureError::TooMany(beyond)));
    assert_eq!(Exposure::new(1, beyond), Err(ExposureError::TooMany(beyond)));
    assert_eq!(Exposure::new(1, u64::MAX), Err(ExposureError::TooMany(u64::MAX)));
}

#[test]
fn limits_are_those_computed_with_forty_digits() {
    // mpmath 1.3.0: roots of the regularised incomplete gamma function.
    let rows = [
        (3, 0.618_672_122_895_601_3, 8.767_273_069_742_326),
        (1_000, 938.973_018_407_695_2, 1_063.952_136_016_302),
        (100_000, 99_381.152_663_744_73, 100_621.744_739_743_88),
    ];
    for (k, lower, upper) in rows {
        let found = garwood(over(k, 1), Level::NINETY_FIVE);
        assert!((found.lower() / lower - 1.0).abs() < 1e-12, "{k}: {found:?}");
        assert!((found.upper() / upper - 1.0).abs() < 1e-12, "{k}: {found:?}");
    }
}

#[test]
fn without_events_on_a_side_a_limit_is_0_or_missing() {
    let level = Level::NINETY_FIVE;
    let first = rate_ratio(over(0, 300), over(4, 310), level).unwrap();
    assert_eq!((first.estimate(), first.interval().lower()), (Some(0.0), 0.0));
    let second = rate_ratio(over(7, 900), over(0, 850), level).unwrap();
    assert_eq!((second.estimate(), second.interval().upper()), (None, None));
    assert!(second.interval().excludes_one() && second.interval().contains(1e300));
    assert_eq!(rate_ratio(over(0, 900), over(0, 850), level), Err(NoEvents));
}

prop_compose! {
    fn any_exposure()(n in 1_u64..100_000)
        (k in prop_oneof![0..=3_u64, 0..=n, n..=3 * n], n in Just(n)) -> Exposure {
        over(k, n)
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn limits_hold_the_rate_and_widen_with_the_level(given in any_exposure(), level in 0.5_f64..0.99) {
        let inner = garwood(given, Level::new(level).unwrap());
        let outer = garwood(given, Level::new(level + 0.009).unwrap());
        prop_assert!(inner.contains(given.per_procedure()), "{inner:?}");
        prop_assert!(0.0 <= outer.lower() && outer.lower() <= inner.lower());
        prop_assert!(inner.upper() <= outer.upper());
    }

    #[test]
    fn swapping_the_rates_turns_the_ratio_over(one in any_exposure(), two in any_exposure()) {
        prop_assume!(one.events() + two.events() > 0);
        let there = rate_ratio(one, two, Level::NINETY_FIVE).unwrap();
        let back = rate_ratio(two, one, Level::NINETY_FIVE).unwrap();
        prop_assert!((there.p_exact() - back.p_exact()).abs() <= 1e-9 * there.p_exact());
        prop_assert!(there.p_mid() <= there.p_exact());
        match back.interval().upper() {
            Some(upper) => prop_assert!((there.interval().lower() * upper - 1.0).abs() < 1e-8),
            None => prop_assert_eq!(there.interval().lower(), 0.0),
        }
        if let Some(estimate) = there.estimate() {
            prop_assert!(there.interval().contains(estimate));
        }
    }

    #[test]
    fn limits_that_leave_out_1_go_with_a_small_p(one in any_exposure(), two in any_exposure()) {
        prop_assume!(one.events() + two.events() > 0);
        let found = rate_ratio(one, two, Level::NINETY_FIVE).unwrap();
        prop_assume!((found.p_exact() - 0.05).abs() > 1e-7);
        prop_assert_eq!(found.interval().excludes_one(), found.p_exact() < 0.05);
    }
}
