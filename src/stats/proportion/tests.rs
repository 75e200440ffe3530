use proptest::prelude::*;

use super::*;

fn count(events: u64, procedures: u64) -> Count {
    Count::new(events, procedures).unwrap()
}

/// Whether both limits round to what was printed with so many decimals.
fn prints_as(interval: Interval, decimals: i32, lower: f64, upper: f64) -> bool {
    let half_unit = 0.5 * 10_f64.powi(-decimals) * 1.000_001;
    (interval.lower() - lower).abs() <= half_unit && (interval.upper() - upper).abs() <= half_unit
}

#[test]
fn intervals_are_those_that_newcombe_printed() {
    // Newcombe, Stat Med 1998;17:857, at 95 %: methods 3 (score) and 5 (exact). From memory.
    type Row = ((u64, u64), (f64, f64), (f64, f64));
    let printed: [Row; 4] = [
        ((81, 263), (0.2553, 0.3662), (0.2527, 0.3676)),
        ((15, 148), (0.0624, 0.1605), (0.0578, 0.1617)),
        ((0, 20), (0.0, 0.1611), (0.0, 0.1684)),
        ((1, 29), (0.0061, 0.1718), (0.0009, 0.1776)),
    ];
    for ((k, n), score, exact) in printed {
        let given = count(k, n);
        let found = wilson(given, Level::NINETY_FIVE);
        assert!(prints_as(found, 4, score.0, score.1), "{k}/{n}: {found:?}");
        let found = clopper_pearson(given, Level::NINETY_FIVE);
        assert!(prints_as(found, 4, exact.0, exact.1), "{k}/{n}: {found:?}");
    }
}

#[test]
fn the_exact_interval_is_that_of_the_nist_handbook() {
    // NIST/SEMATECH e-Handbook of Statistical Methods, 7.2.4.2: 4 of 20 at 90 %. Printed (from
    // memory) 0.071354 to 0.401029; its upper limit is from a spreadsheet search and is one unit
    // high in the last digit, hence five decimals there.
    let found = clopper_pearson(count(4, 20), Level::NINETY);
    assert!((found.lower() - 0.071_354).abs() < 0.5e-6, "{found:?}");
    assert!((found.upper() - 0.401_029).abs() < 1.5e-6, "{found:?}");
}

#[test]
fn no_procedures_at_risk_is_an_error_and_never_a_rate() {
    assert_eq!(Count::new(0, 0), Err(CountError::NoProceduresAtRisk));
    assert_eq!(Count::new(3, 0), Err(CountError::NoProceduresAtRisk));
    assert_eq!(Count::new(0, 0).unwrap_err().to_string(), "no procedures at risk");
}

#[test]
fn impossible_counts_are_refused() {
    assert_eq!(Count::new(3, 2), Err(CountError::MoreEventsThanProcedures { events: 3, procedures: 2 }));
    let beyond = Count::MOST_PROCEDURES + 1;
    assert_eq!(Count::new(0, beyond), Err(CountError::TooManyProcedures(beyond)));
    assert!(Count::new(Count::MOST_PROCEDURES, Count::MOST_PROCEDURES).is_ok());
}

#[test]
fn a_level_is_at_least_a_half_and_below_1() {
    for bad in [0.0, 0.49, 1.0, -0.1, 95.0, f64::NAN, f64::INFINITY] {
        assert_eq!(Level::new(bad), Err(LevelError), "{bad}");
    }
    assert_eq!(Level::new(0.95), Ok(Level::NINETY_FIVE));
}

#[test]
fn without_events_the_lower_limit_is_exactly_0_and_with_all_the_upper_is_exactly_1() {
    for n in [1, 2, 7, 100, 1_000_000] {
        for interval in [wilson, clopper_pearson, jeffreys] {
            let none = interval(count(0, n), Level::NINETY_FIVE);
            assert!(none.lower() == 0.0 && none.upper() > 0.0, "0/{n}");
            let all = interval(count(n, n), Level::NINETY_FIVE);
            assert!(all.upper() == 1.0 && all.lower() < 1.0, "{n}/{n}");
        }
    }
}

#[test]
fn zero_event_bounds_are_offered_only_without_events() {
    assert!(count(1, 10).zero_events(Level::NINETY_FIVE).is_none());
    let bounds = count(0, 10).zero_events(Level::NINETY_FIVE).unwrap();
    let exact = clopper_pearson(count(0, 10), Level::NINETY_FIVE);
    assert_eq!(bounds.two_sided_upper(), exact.upper());
    assert!(bounds.one_sided_upper() < bounds.two_sided_upper());
}

const INTERVALS: [fn(Count, Level) -> Interval; 3] = [wilson, clopper_pearson, jeffreys];

prop_compose! {
    fn any_count()(n in prop_oneof![1_u64..40, 1_u64..5_000, 1_u64..1_000_000])
        (k in prop_oneof![0..=n.min(5), 0..=n, n - n.min(5)..=n], n in Just(n)) -> Count {
        count(k, n)
    }
}

proptest! {
    #[test]
    fn an_interval_holds_its_estimate_and_lies_within_0_and_1(
        given in any_count(), level in 0.5_f64..0.9999
    ) {
        for interval in INTERVALS {
            let found = interval(given, Level::new(level).unwrap());
            prop_assert!(found.contains(given.proportion()), "{given:?} {found:?}");
            prop_assert!(0.0 <= found.lower() && found.upper() <= 1.0, "{found:?}");
        }
    }

    #[test]
    fn an_interval_of_the_complement_is_the_mirror_image(
        given in any_count(), level in 0.5_f64..0.9999
    ) {
        let level = Level::new(level).unwrap();
        for interval in INTERVALS {
            let one = interval(given, level);
            let other = interval(given.complement(), level);
            prop_assert!((one.lower() - (1.0 - other.upper())).abs() < 1e-9);
            prop_assert!((one.upper() - (1.0 - other.lower())).abs() < 1e-9);
        }
    }

    #[test]
    fn more_confidence_never_makes_an_interval_narrower(
        given in any_count(), low in 0.5_f64..0.99, more in 0.0001_f64..0.009
    ) {
        for interval in INTERVALS {
            let inner = interval(given, Level::new(low).unwrap());
            let outer = interval(given, Level::new(low + more).unwrap());
            prop_assert!(outer.lower() <= inner.lower() && inner.upper() <= outer.upper());
        }
    }

    #[test]
    fn the_exact_interval_is_at_least_as_wide_as_jeffreys(given in any_count()) {
        let exact = clopper_pearson(given, Level::NINETY_FIVE);
        let posterior = jeffreys_posterior(given, Level::NINETY_FIVE);
        prop_assert!(exact.lower() <= posterior.lower() + 1e-12);
        prop_assert!(posterior.upper() <= exact.upper() + 1e-12);
    }

    #[test]
    fn an_exact_limit_leaves_the_stated_tail(n in 1_u64..60, share in 0.0_f64..1.0) {
        // Straight from the definition, by adding binomial probabilities.
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, clippy::cast_precision_loss)]
        let k = (share * (n as f64 + 1.0)) as u64;
        let given = count(k.min(n), n);
        let found = clopper_pearson(given, Level::NINETY_FIVE);
        if given.events() > 0 {
            let above = binomial_tail(given.events()..=n, n, found.lower());
            prop_assert!((above - 0.025).abs() < 1e-9, "{above}");
        }
        if given.events() < n {
            let below = binomial_tail(0..=given.events(), n, found.upper());
            prop_assert!((below - 0.025).abs() < 1e-9, "{below}");
        }
    }
}

/// The probability that so many of `n` procedures have the event, by products of ratios.
fn binomial_tail(range: std::ops::RangeInclusive<u64>, n: u64, p: f64) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "n is below 60")]
    let probability = |k: u64| -> f64 {
        let ways: f64 = (1..=k).map(|i| (n - k + i) as f64 / i as f64).product();
        ways * p.powi(i32::try_from(k).unwrap()) * (1.0 - p).powi(i32::try_from(n - k).unwrap())
    };
    range.map(probability).sum()
}
