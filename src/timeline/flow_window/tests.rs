use proptest::prelude::*;

use super::*;
use crate::quantity::Certainty;
use crate::timeline::moments;

fn at(minutes: i64) -> Offset {
    Offset::from_seconds(minutes * 60).unwrap()
}

fn history_of(sights: &[(Offset, Certainty, i64)], left_at: i64) -> FlowHistory {
    let times: Vec<_> = sights.iter().map(|s| (s.0, s.1)).collect();
    let sights = moments(&times)
        .into_iter()
        .zip(sights)
        .map(|(moment, sight)| FlowSight { moment, flow: TimiFlow::try_from(sight.2).unwrap() })
        .collect();
    FlowHistory::new(sights, at(left_at))
}

/// Exact sights as (minute, TIMI).
fn history(sights: &[(i64, i64)], left_at: i64) -> FlowHistory {
    let exact: Vec<_> = sights.iter().map(|s| (at(s.0), Certainty::Exact, s.1)).collect();
    history_of(&exact, left_at)
}

fn minutes(elapsed: Option<Elapsed>) -> Option<i64> {
    elapsed.and_then(Elapsed::stated).map(|seconds| seconds / 60)
}

// The next five tests are the check rows of the ischaemia interval, a measure of the house's own:
// first sight of TIMI 0-1 to the first later sight of TIMI 3. Expected values by arithmetic. The
// grades are those of the TIMI Study Group, N Engl J Med 1985;312:932 (from memory).

#[test]
fn flow_lost_at_12_and_back_at_27_is_15_minutes_of_which_8_to_partial_flow() {
    let history = history(&[(0, 3), (12, 0), (20, 2), (27, 3)], 27);
    let [episode] = history.episodes()[..] else { panic!("one episode") };
    assert_eq!(minutes(episode.lost_for()), Some(15));
    assert_eq!(minutes(episode.to_partial()), Some(8));
    assert_eq!(minutes(episode.longest_possible()), Some(27));
    assert!(episode.is_restored());
    assert_eq!(history.total().to_string(), "15 min");
}

#[test]
fn two_episodes_of_4_and_11_minutes_sum_to_15() {
    let history = history(&[(0, 3), (10, 1), (14, 3), (30, 0), (41, 3)], 60);
    let lost: Vec<_> = history.episodes().iter().map(|e| minutes(e.lost_for())).collect();
    assert_eq!(lost, [Some(4), Some(11)]);
    assert_eq!(minutes(history.total().elapsed), Some(15));
    assert_eq!(history.total().to_string(), "15 min in 2 episodes");
}

#[test]
fn flow_never_back_to_timi_3_is_not_restored_and_cut_off_on_leaving() {
    let history = history(&[(0, 3), (10, 0), (25, 2)], 60);
    let [episode] = history.episodes()[..] else { panic!("one episode") };
    assert!(!episode.is_restored());
    assert_eq!(minutes(episode.lost_for()), Some(50));
    assert_eq!(minutes(episode.to_partial()), Some(15));
    assert_eq!(history.total().to_string(), "at least 50 min, not restored");
}

#[test]
fn flow_that_is_only_reduced_is_no_loss() {
    let history = history(&[(0, 3), (5, 2), (9, 3)], 20);
    assert_eq!(history.episodes(), []);
    assert_eq!(history.total().to_string(), "none");
    assert_eq!(history.reduced().len(), 1);
}

#[test]
fn a_loss_without_a_time_has_no_stated_length() {
    // Its neighbours still bound it.
    let order_only =
        [(at(0), Certainty::Exact, 3), (at(9), Certainty::OrderOnly, 0), (at(20), Certainty::Exact, 3)];
    let total = history_of(&order_only, 20).total();
    assert_eq!(total.elapsed.unwrap().stated(), None);
    assert_eq!(total.to_string(), "between 0 and 20 min");
    // Without one on each side nothing does.
    let total = history_of(&order_only[1..], 20).total();
    assert_eq!(total.elapsed, None);
    assert_eq!(total.to_string(), "not known");
}

#[test]
fn falling_back_before_timi_3_is_the_same_episode() {
    let history = history(&[(0, 3), (10, 1), (20, 2), (25, 0), (40, 3)], 40);
    let [episode] = history.episodes()[..] else { panic!("one episode") };
    assert_eq!(minutes(episode.lost_for()), Some(30));
    assert_eq!(minutes(episode.to_partial()), Some(10));
    assert_eq!(episode.worst.grade(), 0);
    // As windows, the two stretches without flow are two.
    assert_eq!(history.lost().len(), 2);
}

#[test]
fn the_longest_possible_start_is_the_last_sight_of_partial_flow_too() {
    let history = history(&[(0, 3), (6, 2), (10, 0), (30, 3)], 30);
    assert_eq!(minutes(history.episodes()[0].longest_possible()), Some(24));
}

#[test]
fn a_vessel_without_flow_at_the_first_look_has_no_longest_possible_start() {
    let history = history(&[(0, 0), (30, 3)], 30);
    let [episode] = history.episodes()[..] else { panic!("one episode") };
    assert_eq!(episode.last_open, None);
    assert_eq!(episode.longest_possible(), None);
    assert_eq!(minutes(episode.lost_for()), Some(30));
}

#[test]
fn estimated_times_give_a_range() {
    let within = Certainty::within(2).unwrap();
    let history = history_of(&[(at(0), Certainty::Exact, 3), (at(12), within, 0), (at(50), within, 3)], 60);
    assert_eq!(history.total().to_string(), "38 min (34 to 42)");
}

#[test]
fn at_the_same_time_the_sight_recorded_later_holds() {
    let lost = history(&[(0, 3), (10, 3), (10, 0)], 15);
    assert_eq!(minutes(lost.total().elapsed), Some(5));
    let back = history(&[(0, 3), (10, 0), (10, 3)], 15);
    assert_eq!(minutes(back.total().elapsed), Some(0));
    assert!(back.total().restored);
}

#[test]
fn steps_merge_repeated_sights_of_one_grade() {
    let steps = history(&[(0, 3), (5, 3), (10, 1), (11, 0), (20, 3)], 30).steps();
    let seen: Vec<_> = steps.iter().map(|s| (s.from.at(), s.until.map(Moment::at), s.flow.grade())).collect();
    assert_eq!(
        seen,
        [(at(0), Some(at(10)), 3), (at(10), Some(at(11)), 1), (at(11), Some(at(20)), 0), (at(20), None, 3)]
    );
}

#[test]
fn a_lost_window_runs_over_grades_0_and_1_and_tells_the_worst() {
    let lost = history(&[(0, 3), (10, 1), (11, 0), (14, 1), (20, 2)], 30).lost();
    assert_eq!(lost.len(), 1);
    assert_eq!((lost[0].from.at(), lost[0].until.map(Moment::at)), (at(10), Some(at(20))));
    assert_eq!(lost[0].flow.grade(), 0);
}

// Windows, by arithmetic on invented sights; the grades as above.

/// Each window as (from, minutes, whether it is cut off).
fn windows(steps: &[FlowStep]) -> Vec<(Offset, Option<i64>, bool)> {
    steps.iter().map(|step| (step.from.at(), minutes(step.lasted()), step.is_censored())).collect()
}

#[test]
fn windows_of_no_flow_and_of_reduced_flow_say_how_long_they_lasted() {
    let history = history(&[(0, 3), (10, 0), (20, 2), (24, 1), (31, 2), (40, 3), (50, 2)], 62);
    assert_eq!(windows(&history.lost()), [(at(10), Some(10), false), (at(24), Some(7), false)]);
    assert_eq!(
        windows(&history.reduced()),
        [(at(20), Some(4), false), (at(31), Some(9), false), (at(50), Some(12), true)]
    );
    assert_eq!(history.total_without_flow().to_string(), "17 min in 2 windows");
    assert_eq!(history.total_reduced().to_string(), "at least 25 min in 3 windows, to the last event");
    // The episode runs to TIMI 3 and holds the reduced flow on the way there.
    assert_eq!(history.total().to_string(), "30 min");
}

#[test]
fn a_window_that_runs_to_the_end_lasted_at_least_so_long() {
    let history = history(&[(0, 3), (10, 2)], 45);
    assert_eq!(windows(&history.reduced()), [(at(10), Some(35), true)]);
    assert_eq!(history.total_reduced().to_string(), "at least 35 min, to the last event");
    assert_eq!(history.total_without_flow().to_string(), "none");
    assert!(!history.total_without_flow().censored);
}

#[test]
fn a_window_between_estimated_times_has_a_shortest_and_a_longest() {
    let within = Certainty::within(2).unwrap();
    let sights = [(at(0), Certainty::Exact, 3), (at(12), within, 2), (at(50), Certainty::Exact, 3)];
    let lasted = history_of(&sights, 60).reduced()[0].lasted().unwrap();
    assert_eq!((lasted.shortest(), lasted.stated(), lasted.longest()), (36 * 60, Some(38 * 60), 40 * 60));
    assert_eq!(history_of(&sights, 60).total_reduced().to_string(), "38 min (36 to 40)");
}

#[test]
fn a_window_without_a_time_is_bounded_by_its_neighbours_or_unknown() {
    let sights =
        [(at(0), Certainty::Exact, 3), (at(9), Certainty::OrderOnly, 2), (at(20), Certainty::Exact, 3)];
    assert_eq!(history_of(&sights, 20).total_reduced().to_string(), "between 0 and 20 min");
    let history = history_of(&sights[1..], 20);
    assert_eq!(history.reduced()[0].lasted(), None);
    assert_eq!(history.total_reduced().to_string(), "not known");
}

#[test]
fn a_window_cut_off_of_which_only_bounds_are_known_tells_the_least_alone() {
    let order_only = |minutes, grade| (at(minutes), Certainty::OrderOnly, grade);
    let exact = |minutes, grade| (at(minutes), Certainty::Exact, grade);
    let history = history_of(&[exact(0, 3), order_only(9, 0), exact(20, 1)], 50);
    assert_eq!(history.total_without_flow().to_string(), "at least 30 min, to the last event");
    assert_eq!(history.total().to_string(), "at least 30 min, not restored");
    let history = history_of(&[exact(0, 3), order_only(9, 0), exact(20, 1)], 20);
    assert_eq!(history.total().to_string(), "not known, not restored");
}

#[test]
fn a_sum_is_no_longer_than_all_that_it_lies_in() {
    // Two losses somewhere within twenty minutes are not forty minutes.
    let order_only = |minutes, grade| (at(minutes), Certainty::OrderOnly, grade);
    let exact = |minutes, grade| (at(minutes), Certainty::Exact, grade);
    let sights = [exact(0, 3), order_only(5, 0), order_only(8, 3), order_only(12, 0), exact(20, 3)];
    let history = history_of(&sights, 30);
    let total = history.total();
    assert_eq!((total.episodes, total.elapsed.unwrap().longest()), (2, 20 * 60));
    assert_eq!(total.to_string(), "between 0 and 20 min in 2 episodes");
    assert_eq!(history.total_without_flow().to_string(), "between 0 and 20 min in 2 windows");
}

#[test]
fn a_vessel_never_seen_has_no_steps_and_no_loss() {
    let history = FlowHistory::new(Vec::new(), at(30));
    assert_eq!(history.steps(), []);
    assert_eq!(history.total().to_string(), "none");
}

#[test]
fn a_sight_after_the_last_event_moves_the_end() {
    assert_eq!(minutes(history(&[(10, 0), (45, 0)], 20).total().elapsed), Some(35));
}

fn any_sights() -> impl Strategy<Value = Vec<(Offset, Certainty, i64)>> {
    let certainty = prop_oneof![
        4 => Just(Certainty::Exact),
        1 => (1_i64..=30).prop_map(|m| Certainty::within(m).unwrap()),
        1 => Just(Certainty::OrderOnly),
    ];
    let sight = ((-60_i64..300).prop_map(at), certainty, 0_i64..=3);
    prop::collection::vec(sight, 0..20)
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn episodes_never_overlap_and_only_the_last_is_open(sights in any_sights()) {
        let episodes = history_of(&sights, 300).episodes();
        for pair in episodes.windows(2) {
            let end = pair[0].restored;
            prop_assert!(end.is_some_and(|end| end.place() < pair[1].start.place()));
        }
        for episode in &episodes {
            prop_assert!(episode.worst.is_lost());
            let stated = |elapsed: Option<Elapsed>| elapsed.and_then(Elapsed::stated);
            if let (Some(lost), Some(longest)) =
                (stated(episode.lost_for()), stated(episode.longest_possible()))
            {
                prop_assert!(longest >= lost);
            }
        }
    }

    #[test]
    fn steps_follow_each_other_without_gaps_and_change_grade(sights in any_sights()) {
        let steps = history_of(&sights, 300).steps();
        for pair in steps.windows(2) {
            prop_assert_eq!(pair[0].until, Some(pair[1].from));
            prop_assert_ne!(pair[0].flow, pair[1].flow);
        }
        if let Some(last) = steps.last() {
            prop_assert_eq!(last.until, None);
        }
    }

    #[test]
    fn with_exact_times_the_windows_and_the_rest_make_up_the_whole_record(sights in any_sights()) {
        let exact: Vec<_> = sights.into_iter().map(|s| (s.0, Certainty::Exact, s.2)).collect();
        let history = history_of(&exact, 300);
        let seconds = |elapsed: Option<Elapsed>| elapsed.unwrap().stated().unwrap();
        let full: i64 =
            history.steps().iter().filter(|s| s.flow.grade() == 3).map(|s| seconds(s.lasted())).sum();
        let (lost, reduced) = (history.total_without_flow(), history.total_reduced());
        let first = history.sights().first().map_or(at(300), |s| s.moment.at());
        prop_assert_eq!(
            seconds(lost.elapsed) + seconds(reduced.elapsed) + full,
            at(300).seconds() - first.seconds()
        );
        // An episode holds its windows without flow, and at most all reduced flow beside them.
        let episodes = seconds(history.total().elapsed);
        prop_assert!(seconds(lost.elapsed) <= episodes);
        prop_assert!(episodes <= seconds(lost.elapsed) + seconds(reduced.elapsed));
        prop_assert!(!(lost.censored && reduced.censored));
    }

    #[test]
    fn the_order_in_which_exact_sights_are_given_does_not_matter(sights in any_sights()) {
        let mut sights: Vec<_> = sights.into_iter().map(|s| (s.0, Certainty::Exact, s.2)).collect();
        sights.sort_by_key(|s| s.0);
        sights.dedup_by_key(|s| s.0);
        let forward = history_of(&sights, 300);
        sights.reverse();
        prop_assert_eq!(forward, history_of(&sights, 300));
    }
}
