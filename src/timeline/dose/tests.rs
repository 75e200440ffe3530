use proptest::prelude::*;

use super::*;
use crate::timeline::moments;
use crate::timeline::testing::{any_times, exact};

/// Twelve events, five minutes apart.
fn events() -> Vec<Moment> {
    moments(&(0..12).map(|n| exact(n * 5)).collect::<Vec<_>>())
}

/// Readings as (place, amount).
fn history(readings: &[(usize, i64)]) -> DoseHistory {
    let events = events();
    let reading = |&(place, amount): &(usize, i64)| DoseReading::new(events[place], amount).unwrap();
    DoseHistory::new(readings.iter().map(reading).collect())
}

fn by(history: &DoseHistory, place: usize) -> (i64, Option<i64>) {
    let given = history.by(events()[place]);
    (given.at_least, given.at_most)
}

// Expected values of the next tests: by arithmetic, on invented readings.

#[test]
fn a_reading_at_that_very_event_gives_the_amount() {
    let history = history(&[(2, 60), (5, 110), (9, 180)]);
    assert_eq!(by(&history, 5), (110, Some(110)));
    assert_eq!(history.by(events()[5]).exactly(), Some(110));
}

#[test]
fn between_two_readings_the_dose_lies_between_them() {
    let history = history(&[(2, 60), (5, 110), (9, 180)]);
    assert_eq!(by(&history, 3), (60, Some(110)));
    assert_eq!(by(&history, 8), (110, Some(180)));
    assert_eq!(history.by(events()[8]).exactly(), None);
}

#[test]
fn before_the_first_reading_it_is_at_least_nothing_and_after_the_last_without_a_top() {
    let history = history(&[(2, 60), (5, 110)]);
    assert_eq!(by(&history, 0), (0, Some(60)));
    assert_eq!(by(&history, 11), (110, None));
    assert_eq!(history.by(events()[11]).exactly(), None);
}

#[test]
fn two_equal_readings_say_that_nothing_was_given_in_between() {
    assert_eq!(history(&[(2, 60), (5, 60)]).by(events()[3]).exactly(), Some(60));
}

#[test]
fn without_a_reading_nothing_is_known() {
    let none = DoseHistory::default();
    assert_eq!(by(&none, 3), (0, None));
    assert_eq!(none.total(), None);
    assert_eq!(none.falls(), []);
}

#[test]
fn the_total_is_the_highest_reading() {
    assert_eq!(history(&[(2, 60), (5, 110)]).total(), Some(110));
    assert_eq!(history(&[(2, 60), (5, 110), (7, 90)]).total(), Some(110));
}

#[test]
fn readings_that_fall_are_named_with_the_highest_before_them() {
    assert_eq!(history(&[(2, 60), (5, 60), (9, 180)]).falls(), []);
    assert_eq!(history(&[(1, 100), (3, 80), (5, 90), (7, 120), (9, 110)]).falls(), [(1, 3), (1, 5), (7, 9)]);
    // Of two as high, the later.
    assert_eq!(history(&[(1, 100), (3, 100), (5, 90)]).falls(), [(3, 5)]);
}

#[test]
fn where_readings_fall_the_least_stands_and_the_most_is_not_told() {
    let history = history(&[(1, 100), (3, 80), (5, 90), (7, 120)]);
    assert_eq!(by(&history, 0), (0, Some(80)));
    // 100 was read, and 80 after it.
    assert_eq!(by(&history, 1), (100, None));
    assert_eq!(by(&history, 3), (100, None));
    assert_eq!(by(&history, 5), (100, None));
    assert_eq!(by(&history, 6), (100, Some(120)));
    assert_eq!(by(&history, 7), (120, Some(120)));
}

#[test]
fn of_two_readings_at_one_event_the_higher_holds() {
    let twice = history(&[(2, 60), (2, 75), (5, 110)]);
    assert_eq!(by(&twice, 2), (75, Some(75)));
    assert_eq!(twice, history(&[(5, 110), (2, 75), (2, 60)]));
    assert_eq!(twice.readings().len(), 2);
}

#[test]
fn an_amount_below_nothing_is_refused() {
    assert_eq!(DoseReading::new(events()[0], -1), Err(DoseError));
    assert_eq!(DoseReading::new(events()[0], 0).map(DoseReading::amount), Ok(0));
    assert_eq!(DoseError.to_string(), "A dose so far is 0 or more.");
}

/// The moments of a case in order, and readings at some of them.
fn any_case() -> impl Strategy<Value = (Vec<Moment>, Vec<DoseReading>)> {
    let amounts =
        prop::collection::vec(prop::option::weighted(0.5, prop_oneof![0_i64..6, 0_i64..=i64::MAX]), 20);
    (any_times(20), amounts).prop_map(|(times, amounts)| {
        let mut found = moments(&times);
        found.sort_by_key(|moment| moment.place());
        let reading =
            |(&moment, amount): (&Moment, Option<i64>)| Some(DoseReading::new(moment, amount?).unwrap());
        let readings = found.iter().zip(amounts).filter_map(reading).collect();
        (found, readings)
    })
}

/// The same, with readings that never fall.
fn any_rising_case() -> impl Strategy<Value = (Vec<Moment>, Vec<DoseReading>)> {
    any_case().prop_map(|(found, readings)| {
        let mut amounts: Vec<i64> = readings.iter().map(|reading| reading.amount()).collect();
        amounts.sort_unstable();
        let rising = readings.iter().zip(amounts);
        let readings = rising.map(|(r, amount)| DoseReading::new(r.moment(), amount).unwrap()).collect();
        (found, readings)
    })
}

/// The most, where no limit is more than any.
fn top(given: Given) -> i128 {
    given.at_most.map_or(i128::MAX, i128::from)
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn what_was_given_never_grows_less((found, readings) in any_rising_case()) {
        let history = DoseHistory::new(readings);
        prop_assert_eq!(history.falls(), []);
        let given: Vec<Given> = found.iter().map(|&moment| history.by(moment)).collect();
        for pair in given.windows(2) {
            prop_assert!(pair[0].at_least <= pair[1].at_least);
            prop_assert!(top(pair[0]) <= top(pair[1]));
        }
    }

    #[test]
    fn what_was_given_holds_each_reading_at_its_event((_, readings) in any_rising_case()) {
        let history = DoseHistory::new(readings.clone());
        for reading in readings {
            prop_assert_eq!(history.by(reading.moment()).exactly(), Some(reading.amount()));
        }
    }

    #[test]
    fn with_readings_that_fall_both_bounds_still_never_sink((found, readings) in any_case()) {
        let history = DoseHistory::new(readings.clone());
        let given: Vec<Given> = found.iter().map(|&moment| history.by(moment)).collect();
        for (index, earlier) in given.iter().enumerate() {
            prop_assert!(earlier.at_most.is_none_or(|most| most >= earlier.at_least));
            for later in &given[index..] {
                prop_assert!(earlier.at_least <= later.at_least);
                if let (Some(before), Some(after)) = (earlier.at_most, later.at_most) {
                    prop_assert!(before <= after);
                }
            }
        }
        // Each reading is within, but for one that is lower than an earlier one.
        let falls = history.falls();
        for reading in readings {
            let given = history.by(reading.moment());
            let fell = falls.iter().any(|&(_, place)| place == reading.moment().place());
            prop_assert_eq!(given.at_least > reading.amount(), fell);
            prop_assert!(top(given) >= i128::from(reading.amount()));
        }
    }

    #[test]
    fn the_falls_are_the_readings_below_an_earlier_one((_, readings) in any_case()) {
        let named: Vec<usize> = DoseHistory::new(readings.clone()).falls().iter().map(|fall| fall.1).collect();
        let below = |(index, reading): (usize, &DoseReading)| {
            readings[..index].iter().any(|before| before.amount() > reading.amount()).then(|| reading.moment().place())
        };
        let expected: Vec<usize> = readings.iter().enumerate().filter_map(below).collect();
        prop_assert_eq!(named, expected);
    }

    #[test]
    fn the_order_in_which_readings_are_given_does_not_matter(
        (readings, shuffled) in any_case().prop_flat_map(|(_, readings)| {
            (Just(readings.clone()), Just(readings).prop_shuffle())
        }),
    ) {
        prop_assert_eq!(DoseHistory::new(readings), DoseHistory::new(shuffled));
    }

    #[test]
    fn the_total_is_what_was_given_by_the_last_event((found, readings) in any_case()) {
        let history = DoseHistory::new(readings);
        if let Some(&last) = found.last() {
            prop_assert_eq!(history.by(last).at_least, history.total().unwrap_or(0));
        }
    }
}
