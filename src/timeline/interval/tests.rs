use proptest::prelude::*;

use super::*;

fn at(minutes: i64) -> Offset {
    Offset::from_seconds(minutes * 60).unwrap()
}

fn exact(minutes: i64) -> (Offset, Certainty) {
    (at(minutes), Certainty::Exact)
}

fn about(minutes: i64, spread: i64) -> (Offset, Certainty) {
    (at(minutes), Certainty::within(spread).unwrap())
}

fn placed(minutes: i64) -> (Offset, Certainty) {
    (at(minutes), Certainty::OrderOnly)
}

fn elapsed(times: &[(Offset, Certainty)], from: usize, to: usize) -> Option<Elapsed> {
    let moments = moments(times);
    Elapsed::between(moments[from], moments[to])
}

fn written(times: &[(Offset, Certainty)], from: usize, to: usize) -> String {
    elapsed(times, from, to).unwrap().to_string()
}

#[test]
fn exact_times_give_one_number_and_estimates_a_range() {
    assert_eq!(written(&[exact(12), exact(50)], 0, 1), "38 min");
    assert_eq!(written(&[about(12, 2), about(50, 2)], 0, 1), "38 min (34 to 42)");
    assert_eq!(written(&[exact(10), about(11, 5)], 0, 1), "1 min (0 to 6)");
}

#[test]
fn a_time_known_by_its_order_lies_between_its_neighbours() {
    let times = [exact(0), placed(8), exact(20)];
    assert_eq!(moments(&times)[1].bounds(), Some((at(0), at(20))));
    assert_eq!(written(&times, 1, 2), "between 0 and 20 min");
    assert_eq!(elapsed(&times, 1, 2).unwrap().stated(), None);
}

#[test]
fn the_nearest_bound_counts_even_when_a_further_event_sets_it() {
    // The estimate before it may have been at 7, but the event at 10 came before that.
    let times = [exact(10), about(12, 5), placed(13), about(15, 8), exact(18)];
    assert_eq!(moments(&times)[2].bounds(), Some((at(10), at(18))));
}

#[test]
fn without_a_neighbour_on_one_side_an_order_only_time_is_unknown() {
    for times in [[placed(0), exact(20)], [exact(0), placed(20)], [placed(0), placed(20)]] {
        assert_eq!(elapsed(&times, 0, 1), None);
    }
}

#[test]
fn two_order_only_times_between_the_same_neighbours_share_their_bounds() {
    let times = [exact(0), placed(5), placed(9), exact(12)];
    assert_eq!(written(&times, 1, 2), "between 0 and 12 min");
}

#[test]
fn the_same_moment_is_no_time_from_itself_however_uncertain() {
    for time in [exact(5), about(5, 9), placed(5)] {
        assert_eq!(elapsed(&[time], 0, 0), Some(Elapsed::NONE));
    }
}

#[test]
fn an_earlier_moment_is_not_reached_from_a_later_one() {
    assert_eq!(elapsed(&[exact(5), exact(4)], 0, 1), None);
    assert!(elapsed(&[exact(5), exact(4)], 1, 0).is_some());
}

#[test]
fn among_equal_times_the_one_given_first_comes_first() {
    let found = moments(&[exact(3), exact(1), exact(3)]);
    assert_eq!(found.iter().map(|m| m.place()).collect::<Vec<_>>(), [1, 0, 2]);
}

#[test]
fn a_duration_is_written_in_the_units_that_fit_its_length() {
    let cases: [(i64, &str); 16] = [
        (0, "0 s"),
        (59, "59 s"),
        (60, "1 min"),
        (90, "1 min 30 s"),
        (599, "9 min 59 s"),
        (600, "10 min"),
        (629, "10 min"),
        (630, "11 min"),
        (37 * 60 + 40, "38 min"),
        (7169, "119 min"),
        (7170, "2 h"),
        (7500, "2 h 5 min"),
        (36 * 3600, "36 h"),
        (48 * 3600 - 1801, "47 h 30 min"),
        (48 * 3600 - 1800, "2 d"),
        (76 * 3600, "3 d 4 h"),
    ];
    for (seconds, words) in cases {
        let times =
            [(Offset::ZERO, Certainty::Exact), (Offset::from_seconds(seconds).unwrap(), Certainty::Exact)];
        assert_eq!(written(&times, 0, 1), words, "{seconds} s");
    }
}

#[test]
fn a_range_over_two_units_writes_both() {
    assert_eq!(written(&[exact(0), about(2, 1)], 0, 1), "2 min (1 to 3)");
    assert_eq!(written(&[exact(0), about(115, 20)], 0, 1), "115 min (95 min to 2 h 15 min)");
    assert_eq!(written(&[exact(0), about(1, 1)], 0, 1), "1 min (0 to 2)");
}

fn any_times() -> impl Strategy<Value = Vec<(Offset, Certainty)>> {
    let certainty = prop_oneof![
        Just(Certainty::Exact),
        (1_i64..=240).prop_map(|m| Certainty::within(m).unwrap()),
        Just(Certainty::OrderOnly),
    ];
    let offset = (-Offset::LIMIT..=Offset::LIMIT).prop_map(|s| Offset::from_seconds(s).unwrap());
    prop::collection::vec((offset, certainty), 1..25)
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn bounds_hold_the_moment_and_an_interval_holds_what_is_stated(times in any_times()) {
        let found = moments(&times);
        for moment in &found {
            if let Some((earliest, latest)) = moment.bounds() {
                prop_assert!(earliest <= moment.at() && moment.at() <= latest);
            }
        }
        for from in &found {
            for to in &found {
                if let Some(elapsed) = Elapsed::between(*from, *to) {
                    prop_assert!(0 <= elapsed.shortest() && elapsed.shortest() <= elapsed.longest());
                    if let Some(stated) = elapsed.stated() {
                        prop_assert!(elapsed.shortest() <= stated && stated <= elapsed.longest());
                    }
                    prop_assert!(!elapsed.to_string().is_empty());
                }
            }
        }
    }

    #[test]
    fn the_order_in_which_events_are_given_changes_nothing_but_ties(times in any_times()) {
        let mut unique = times;
        unique.sort_by_key(|t| t.0);
        unique.dedup_by_key(|t| t.0);
        let forward = moments(&unique);
        unique.reverse();
        let mut backward = moments(&unique);
        backward.reverse();
        prop_assert_eq!(forward, backward);
    }
}
