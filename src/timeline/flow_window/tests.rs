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
    fn the_order_in_which_exact_sights_are_given_does_not_matter(sights in any_sights()) {
        let mut sights: Vec<_> = sights.into_iter().map(|s| (s.0, Certainty::Exact, s.2)).collect();
        sights.sort_by_key(|s| s.0);
        sights.dedup_by_key(|s| s.0);
        let forward = history_of(&sights, 300);
        sights.reverse();
        prop_assert_eq!(forward, history_of(&sights, 300));
    }
}
