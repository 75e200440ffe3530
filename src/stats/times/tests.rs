use proptest::prelude::*;

use super::*;
use Waited::{AtLeast, Until};

/// Weeks in remission of 21 children under 6-mercaptopurine: Freireich et al., Blood 1963;21:699,
/// as textbooks of survival analysis print it. From memory.
fn treated() -> Vec<Waited> {
    let until = [6, 6, 6, 7, 10, 13, 16, 22, 23].map(|week| Until(f64::from(week)));
    let at_least = [6, 9, 10, 11, 17, 19, 20, 25, 32, 32, 34, 35].map(|week| AtLeast(f64::from(week)));
    until.into_iter().chain(at_least).collect()
}

#[test]
fn medians_of_waits_are_those_that_textbooks_print() {
    assert_eq!(treated().len(), 21);
    assert_eq!(median_of_waits(&treated()), Ok(Until(23.0)));
    // The 21 children without it, all of whom relapsed: median 8 weeks.
    let placebo = [1, 1, 2, 2, 3, 4, 4, 5, 5, 8, 8, 8, 8, 11, 11, 12, 12, 15, 17, 22, 23];
    let placebo = placebo.map(|week| Until(f64::from(week)));
    assert_eq!(median_of_waits(&placebo), Ok(Until(8.0)));
}

#[test]
fn a_median_that_is_not_reached_is_at_least_the_longest_time() {
    assert_eq!(median_of_waits(&[Until(5.0), AtLeast(9.0), AtLeast(30.0)]), Ok(AtLeast(30.0)));
    assert_eq!(median_of_waits(&[AtLeast(9.0)]), Ok(AtLeast(9.0)));
    assert_eq!(median_of_waits(&[Until(5.0), AtLeast(9.0)]), Ok(Until(5.0)));
    // Who broke off at the moment when others came was still waiting just before: 1 − 1/2.
    assert_eq!(median_of_waits(&[AtLeast(5.0), Until(5.0)]), Ok(Until(5.0)));
    assert_eq!(median_of_waits(&[AtLeast(4.0), Until(5.0), AtLeast(6.0), AtLeast(7.0)]), Ok(AtLeast(7.0)));
}

#[test]
fn without_times_or_with_bad_ones_there_is_no_number() {
    assert_eq!(median(&[]), Err(TimesError::NoTimes));
    assert_eq!(median_of_waits(&[]), Err(TimesError::NoTimes));
    assert_eq!(quartiles(&[1.0, f64::NAN]), Err(TimesError::NotANumber));
    assert_eq!(median_of_waits(&[Until(f64::INFINITY)]), Err(TimesError::NotANumber));
    assert_eq!(median_of_waits(&[AtLeast(-1.0)]), Err(TimesError::Negative));
    for share in [-0.1, 1.1, f64::NAN] {
        assert_eq!(quantile(&[1.0], share), Err(TimesError::Share));
    }
    assert_eq!(median_interval(&[1.0; 5], Level::NINETY_FIVE), Ok(None));
    assert_eq!(median_ranks(0, Level::NINETY_FIVE), None);
}

#[test]
fn one_time_is_its_own_median_and_the_ends_are_the_extremes() {
    assert_eq!(median(&[7.0]), Ok(7.0));
    assert_eq!(quantile(&[3.0, 1.0, 2.0], 0.0), Ok(1.0));
    assert_eq!(quantile(&[3.0, 1.0, 2.0], 1.0), Ok(3.0));
}

proptest! {
    #[test]
    fn the_order_of_times_does_not_matter_and_the_median_lies_within_its_limits(
        times in prop::collection::vec(0.0_f64..500.0, 6..80)
    ) {
        let turned: Vec<f64> = times.iter().rev().copied().collect();
        prop_assert_eq!(quartiles(&times), quartiles(&turned));
        let found = quartiles(&times).unwrap();
        prop_assert!(found.first <= found.median && found.median <= found.third);
        let limits = median_interval(&times, Level::NINETY_FIVE).unwrap().unwrap();
        prop_assert!(limits.contains(found.median));
    }

    #[test]
    fn without_broken_off_waits_the_median_is_the_lower_middle_time(
        times in prop::collection::vec(0_u16..500, 1..80)
    ) {
        let mut sorted: Vec<f64> = times.iter().copied().map(f64::from).collect();
        let waits: Vec<Waited> = sorted.iter().copied().map(Until).collect();
        sorted.sort_by(f64::total_cmp);
        let middle = sorted[sorted.len().div_ceil(2) - 1];
        prop_assert_eq!(median_of_waits(&waits), Ok(Until(middle)));
    }

    #[test]
    fn a_wait_that_breaks_off_never_makes_the_median_shorter(
        times in prop::collection::vec((0_u16..500, any::<bool>()), 1..60)
    ) {
        let came: Vec<Waited> = times.iter().map(|(time, _)| Until(f64::from(*time))).collect();
        let some: Vec<Waited> = times
            .iter()
            .map(|(time, broken)| if *broken { AtLeast(f64::from(*time)) } else { Until(f64::from(*time)) })
            .collect();
        let (all, some) = (median_of_waits(&came).unwrap(), median_of_waits(&some).unwrap());
        prop_assert!(some.time() >= all.time());
    }
}
