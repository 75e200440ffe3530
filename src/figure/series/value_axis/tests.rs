use proptest::prelude::*;

use super::*;

fn ends(values: &[f64], limits: &[f64]) -> (bool, f64, f64) {
    let axis = ValueAxis::fit(values, limits);
    (axis.is_log, axis.from, axis.to)
}

#[test]
fn a_scale_is_linear_from_0_where_that_reads_well() {
    assert_eq!(ends(&[89.0, 104.0, 151.0], &[133.5, 178.0]), (false, 0.0, 200.0));
    assert_eq!(ends(&[2.0, 60.0], &[]), (false, 0.0, 80.0));
    assert_eq!(ends(&[5.0, 5.0], &[]), (false, 0.0, 6.0));
    assert_eq!(ends(&[0.0, 0.0], &[]), (false, 0.0, 1.0));
    assert_eq!(ends(&[], &[]), (false, 0.0, 1.0));
}

#[test]
fn a_scale_of_values_that_lie_close_together_shows_them_without_blowing_up_small_changes() {
    assert_eq!(ends(&[136.0, 139.0, 141.0], &[]), (false, 110.0, 160.0));
    assert_eq!(ends(&[14.2, 8.9], &[11.2, 9.2]), (false, 8.0, 16.0));
}

#[test]
fn a_scale_is_log_when_the_highest_is_more_than_thirty_times_the_lowest() {
    assert_eq!(ends(&[10.0, 300.0], &[]), (false, 0.0, 400.0));
    assert_eq!(ends(&[10.0, 301.0], &[]), (true, 5.0, 500.0));
    // One value of 3000 times its limit: the limits count too.
    assert!(ends(&[42_000.0], &[14.0, 70.0, 490.0, 980.0]).0);
    // Limits far above the values do not: none of them is drawn.
    assert!(!ends(&[5.0, 9.0], &[14.0, 70.0, 490.0, 980.0]).0);
    // A signed quantity has no log scale; a zero or a slip below it does not prevent one.
    assert!(!ends(&[-8.0, 0.1, 4.0], &[]).0);
    assert!(ends(&[-3.0, 0.0, 9.0, 1480.0], &[]).0);
}

#[test]
fn on_a_log_scale_equal_factors_are_equal_steps() {
    let axis = ValueAxis::fit(&[1.0, 5000.0], &[]);
    let y = |value: f64| axis.y(value).unwrap();
    let step = y(10.0) - y(100.0);
    assert!(step > 10.0 && (y(100.0) - y(1000.0) - step).abs() < 1e-9);
    assert!((y(100.0) - y(200.0) - std::f64::consts::LOG10_2 * step).abs() < 1e-9);
    assert_eq!(axis.y(0.0), None);
}

#[test]
fn a_limit_is_drawn_up_to_twice_the_highest_value() {
    let place = |limit: f64| ValueAxis::fit(&[10.0, 20.0], &[limit]).place(limit);
    assert_eq!(place(40.0), Place::On);
    assert_eq!(place(40.1), Place::Above);
}

#[test]
fn a_log_scale_reaches_limits_within_ten_times_above_and_a_hundred_times_below() {
    let values = [50.0, 2000.0];
    let place = |limit: f64| ValueAxis::fit(&values, &[limit]).place(limit);
    assert_eq!([20_000.0, 20_001.0, 0.5, 0.1].map(place), [Place::On, Place::Above, Place::On, Place::Below]);
}

#[test]
fn the_ticks_of_a_log_scale_are_one_two_and_five_or_powers_of_ten() {
    assert_eq!(
        ValueAxis::fit(&[9.0, 400.0], &[]).ticks,
        [5.0, 10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0]
    );
    assert_eq!(ValueAxis::fit(&[9.0, 90_000.0], &[]).ticks, [10.0, 100.0, 1000.0, 10_000.0, 100_000.0]);
}

fn any_value() -> impl Strategy<Value = f64> {
    let near = prop_oneof![-10.0..2000.0, Just(0.0), 1e-9..1e-6, 1e9..1e12];
    near.prop_map(|value| number::plotted(value).unwrap())
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, cases: 500, ..ProptestConfig::default() })]

    #[test]
    fn any_values_have_their_place_in_their_order(
        values in prop::collection::vec(any_value(), 0..8),
        limits in prop::collection::vec(any_value(), 0..6),
    ) {
        let axis = ValueAxis::fit(&values, &limits);
        prop_assert!((1..=16).contains(&axis.ticks.len()), "{:?}", axis.ticks);
        let mut sorted = values;
        sorted.sort_by(f64::total_cmp);
        let mut last = f64::INFINITY;
        for value in sorted {
            let Some(y) = axis.y(value) else {
                prop_assert!(axis.is_log && value <= 0.0, "{} on {:?}", value, axis);
                continue;
            };
            prop_assert!((0.0..=HEIGHT).contains(&y) && y <= last + 1e-9);
            last = y;
        }
    }
}
