use proptest::prelude::*;

use super::*;
use crate::timeline::moments;
use crate::timeline::testing::{about, any_offset, any_times, any_times_and_doubted, at, exact, placed};
use Known::{No, Unsure, Yes};

fn result(drawn: i64, returned: impl Into<Option<i64>>) -> ResultTimes {
    ResultTimes { drawn: at(drawn), returned: returned.into().map(at) }
}

#[test]
fn an_event_is_known_from_its_own_place_on() {
    let found = moments(&[exact(10), placed(11), about(12, 30), exact(12)]);
    for (index, event) in found.iter().enumerate() {
        for (by, moment) in found.iter().enumerate() {
            let expected = if index <= by { Yes } else { No };
            assert_eq!(Known::event_by(*event, *moment), expected, "{index} by {by}");
        }
    }
}

#[test]
fn at_an_offset_an_event_may_have_been_or_not() {
    let found = moments(&[exact(10), about(20, 5), placed(28), exact(40), placed(41)]);
    let known = |event: usize, minutes: i64| Known::event_at(found[event], at(minutes));
    assert_eq!([known(0, 9), known(0, 10)], [No, Yes]);
    assert_eq!([known(1, 14), known(1, 15), known(1, 24), known(1, 25)], [No, Unsure, Unsure, Yes]);
    // Known by its order: between 15, the earliest of the one before it, and 40.
    assert_eq!([known(2, 14), known(2, 15), known(2, 39), known(2, 40)], [No, Unsure, Unsure, Yes]);
    // Nothing says how long after 40 the last one was.
    assert_eq!([known(4, 39), known(4, 40), known(4, 9000)], [No, Unsure, Unsure]);
}

#[test]
fn a_result_exists_when_it_returned_and_not_when_it_was_drawn() {
    let moment = moments(&[exact(60)])[0];
    assert_eq!(Known::result_by(result(10, 59), moment), Yes);
    assert_eq!(Known::result_by(result(10, 60), moment), Yes);
    assert_eq!(Known::result_by(result(10, 61), moment), No);
    assert_eq!(Known::result_by(result(60, 60), moment), Yes);
    assert_eq!(Known::result_by(result(61, 61), moment), No);
}

#[test]
fn within_the_range_of_an_uncertain_moment_nobody_can_say() {
    let moment = moments(&[about(60, 5)])[0];
    for (returned, expected) in [(54, Yes), (55, Yes), (56, Unsure), (60, Unsure), (65, Unsure), (66, No)] {
        assert_eq!(Known::result_by(result(0, returned), moment), expected, "{returned}");
    }
}

#[test]
fn a_moment_known_by_its_order_has_the_range_of_its_neighbours() {
    let moment = moments(&[exact(50), placed(55), exact(70)])[1];
    for (returned, expected) in [(50, Yes), (51, Unsure), (70, Unsure), (71, No)] {
        assert_eq!(Known::result_by(result(0, returned), moment), expected, "{returned}");
    }
}

#[test]
fn without_a_neighbour_on_one_side_only_the_other_side_can_be_told() {
    let found = moments(&[placed(5), exact(10), placed(20)]);
    // It was before 10, nobody knows how long.
    assert_eq!(Known::result_by(result(-90, -80), found[0]), Unsure);
    assert_eq!(Known::result_by(result(0, 11), found[0]), No);
    // It was after 10, nobody knows how long.
    assert_eq!(Known::result_by(result(0, 10), found[2]), Yes);
    assert_eq!(Known::result_by(result(0, 9000), found[2]), Unsure);
    let alone = moments(&[placed(5)])[0];
    assert_eq!(Known::result_by(result(0, 1), alone), Unsure);
}

#[test]
fn a_result_whose_return_is_not_recorded_is_unsure_once_it_was_drawn() {
    let moment = moments(&[exact(60)])[0];
    assert_eq!(Known::result_by(result(10, None), moment), Unsure);
    assert_eq!(Known::result_by(result(60, None), moment), Unsure);
    assert_eq!(Known::result_by(result(61, None), moment), No);
}

#[test]
fn a_return_before_the_sample_was_drawn_tells_nothing() {
    let moment = moments(&[exact(60)])[0];
    assert_eq!(Known::result_by(result(30, 5), moment), Unsure);
    assert_eq!(Known::result_by(result(90, 5), moment), No);
}

#[test]
fn an_offset_is_as_sharp_as_an_exact_moment() {
    assert_eq!(Known::result_at(result(10, 60), at(59)), No);
    assert_eq!(Known::result_at(result(10, 60), at(60)), Yes);
    assert_eq!(Known::result_at(result(10, None), at(60)), Unsure);
}

/// How sure it is that something was known, from no over unsure to yes.
fn rank(known: Known) -> u8 {
    match known {
        No => 0,
        Unsure => 1,
        Yes => 2,
    }
}

fn any_result() -> impl Strategy<Value = ResultTimes> {
    (any_offset(), prop::option::of(any_offset()))
        .prop_map(|(drawn, returned)| ResultTimes { drawn, returned })
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn what_is_known_by_a_moment_is_known_by_each_later_one(times in any_times(20), result in any_result()) {
        let mut found = moments(&times);
        found.sort_by_key(|moment| moment.place());
        for pair in found.windows(2) {
            let (earlier, later) = (pair[0], pair[1]);
            let ranks = |known: fn(ResultTimes, Moment) -> Known| (rank(known(result, earlier)), rank(known(result, later)));
            let (before, after) = ranks(Known::result_by);
            prop_assert!(before <= after, "{:?} then {:?}", earlier, later);
            for event in &found {
                prop_assert!(rank(Known::event_by(*event, earlier)) <= rank(Known::event_by(*event, later)));
            }
        }
    }

    #[test]
    fn what_is_known_at_an_offset_is_known_at_each_later_one(
        times in any_times(20), result in any_result(), a in any_offset(), b in any_offset(),
    ) {
        let (a, b) = (a.min(b), a.max(b));
        prop_assert!(rank(Known::result_at(result, a)) <= rank(Known::result_at(result, b)));
        for event in moments(&times) {
            prop_assert!(rank(Known::event_at(event, a)) <= rank(Known::event_at(event, b)));
        }
    }

    #[test]
    fn whoever_knows_an_event_knows_those_before_it(times in any_times(20), offset in any_offset()) {
        let mut found = moments(&times);
        found.sort_by_key(|moment| moment.place());
        for pair in found.windows(2) {
            prop_assert!(rank(Known::event_at(pair[0], offset)) >= rank(Known::event_at(pair[1], offset)));
        }
    }

    #[test]
    fn nothing_drawn_or_returned_later_is_ever_known(times in any_times(20), result in any_result()) {
        for moment in moments(&times) {
            let known = Known::result_by(result, moment);
            if result.drawn > moment.at() || result.returned.is_none_or(|returned| returned > moment.at()) {
                prop_assert_ne!(known, Yes);
            }
            if moment.not_after().is_some_and(|latest| result.drawn > latest) {
                prop_assert_eq!(known, No);
            }
        }
    }

    #[test]
    fn less_certainty_about_times_never_makes_an_answer_surer(
        (times, doubted) in any_times_and_doubted(20), result in any_result(), offset in any_offset(),
    ) {
        for (moment, vague) in moments(&times).into_iter().zip(moments(&doubted)) {
            for (sure, unsure) in [
                (Known::result_by(result, moment), Known::result_by(result, vague)),
                (Known::event_at(moment, offset), Known::event_at(vague, offset)),
            ] {
                prop_assert!(unsure == Unsure || unsure == sure);
            }
        }
    }
}
