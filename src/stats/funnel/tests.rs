use proptest::prelude::*;

use super::*;

fn target(proportion: f64) -> Target {
    Target::new(proportion).unwrap()
}

#[test]
fn limits_of_two_procedures_are_those_worked_out_by_hand() {
    // n = 2 at ½: P(R = 0) = ¼, P(R = 1) = ½. Lower, q = ¼ at level ½: r = 0, share 0. Upper, q = ¾:
    // P(R ≤ 1) = ¾, so r = 1 and share 0.
    let found = limits(2, target(0.5), Level::new(0.5).unwrap()).unwrap();
    assert!((found.lower().interpolated() - 0.0).abs() < 1e-15);
    assert!((found.upper().interpolated() - 0.5).abs() < 1e-15);
    assert_eq!((found.lower().quantile(), found.upper().quantile()), (0, 1));
    // At level 0.9, q = 0.05: r = 0, share (0.25 − 0.05)/0.25 = 0.8, limit −0.4; upper, q = 0.95:
    // r = 2, share 0.05/0.25 = 0.2, limit 0.9.
    let found = limits(2, target(0.5), Level::NINETY).unwrap();
    assert!((found.lower().interpolated() + 0.4).abs() < 1e-14);
    assert_eq!((found.lower().clipped(), found.lower().quantile()), (0.0, 0));
    assert!((found.upper().interpolated() - 0.9).abs() < 1e-14);
    assert_eq!(found.upper().quantile(), 2);
}

#[test]
fn what_has_no_limits_is_refused() {
    for bad in [0.0, 1.0, -0.1, 1.1, f64::NAN] {
        assert_eq!(Target::new(bad), Err(FunnelError::NoTarget), "{bad}");
    }
    let ask = |procedures| limits(procedures, target(0.02), Level::NINETY_FIVE);
    assert_eq!(ask(0), Err(FunnelError::NoProceduresAtRisk));
    let beyond = Count::MOST_PROCEDURES + 1;
    assert_eq!(ask(beyond), Err(FunnelError::TooManyProcedures(beyond)));
    assert!(ask(Count::MOST_PROCEDURES).is_ok());
}

#[test]
fn a_mean_of_z_squared_is_that_worked_out_by_hand() {
    // 10 and 30 of 100 at 0.2: both 10 from 20, variance 16, z² = 6.25.
    let units = [Count::new(10, 100).unwrap(), Count::new(30, 100).unwrap()];
    let found = overdispersion(&units, target(0.2)).unwrap();
    assert!((found.mean_z_squared() - 6.25).abs() < 1e-12);
    // χ² of 12.5 with two degrees of freedom: e^(−6.25).
    assert!((found.p_value() / (-6.25_f64).exp() - 1.0).abs() < 1e-12);
    assert_eq!(found.units(), 2);
    assert!(overdispersion(&[], target(0.2)).is_none());
}

proptest! {
    #[test]
    fn limits_enclose_the_target_and_widen_with_the_level(
        n in prop_oneof![1_u64..50, 1_u64..20_000], p in 0.001_f64..0.999, level in 0.5_f64..0.99
    ) {
        let inner = limits(n, target(p), Level::new(level).unwrap()).unwrap();
        let outer = limits(n, target(p), Level::new(level + 0.009).unwrap()).unwrap();
        prop_assert!(inner.lower().interpolated() <= inner.upper().interpolated());
        prop_assert!(outer.lower().interpolated() <= inner.lower().interpolated());
        prop_assert!(inner.upper().interpolated() <= outer.upper().interpolated());
    }

    #[test]
    fn quantiles_are_the_smallest_numbers_with_so_much_at_or_below(n in 1_u64..200, p in 0.01_f64..0.99) {
        let found = limits(n, target(p), Level::NINETY_FIVE).unwrap();
        let below = |k: u64| -> f64 {
            let events = Discrete::binomial(u32::try_from(n).unwrap(), p / (1.0 - p), FOR_LIMITS);
            events.at_most(u32::try_from(k).unwrap())
        };
        for (limit, q) in [(found.lower(), 0.025), (found.upper(), 0.975)] {
            let r = limit.quantile();
            prop_assert!(below(r) >= q - 1e-12);
            prop_assert!(r == 0 || below(r - 1) < q + 1e-12);
        }
    }
}
