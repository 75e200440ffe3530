use super::*;

fn at(minutes: i64) -> Offset {
    Offset::from_seconds(minutes * 60).unwrap()
}

fn axis(minutes: &[i64]) -> TimeAxis {
    TimeAxis::fit(minutes.iter().map(|&m| at(m)), 100.0, 950.0)
}

fn breaks(minutes: &[i64]) -> Vec<String> {
    axis(minutes).breaks().map(|gap| gap.label).collect()
}

/// A busy hour and a half: an event every three minutes.
fn busy() -> Vec<i64> {
    (0..30).map(|n| n * 3).collect()
}

fn busy_and(late: &[i64]) -> Vec<i64> {
    busy().into_iter().chain(late.iter().copied()).collect()
}

#[test]
fn an_unbroken_axis_is_linear() {
    let axis = axis(&[0, 10, 20, 40]);
    let step = axis.x(at(20)) - axis.x(at(10));
    assert!((axis.x(at(40)) - axis.x(at(20)) - 2.0 * step).abs() < 1e-9);
    assert!((axis.x(at(0)) - 120.0).abs() < 1e-9);
    assert!((axis.x(at(40)) - 930.0).abs() < 1e-9);
}

#[test]
fn an_event_hours_after_a_busy_start_is_behind_a_break_with_its_length() {
    assert_eq!(breaks(&busy_and(&[360])), ["4 h 33 min"]);
    assert_eq!(breaks(&busy_and(&[2880])), ["46 h 33 min"]);
    assert_eq!(breaks(&busy_and(&[360, 2880])), ["4 h 33 min", "42 h"]);
    assert_eq!(breaks(&busy_and(&[1440, 2880, 4320])).len(), 3);
}

#[test]
fn the_busy_part_keeps_most_of_the_room() {
    let axis = axis(&busy_and(&[360, 2880]));
    assert!(axis.x(at(87)) - axis.x(at(0)) > 500.0);
}

#[test]
fn both_sides_of_a_break_have_one_scale() {
    let axis = axis(&busy_and(&[360, 380]));
    let before = axis.x(at(20)) - axis.x(at(0));
    let after = axis.x(at(380)) - axis.x(at(360));
    assert!((before - after).abs() < 1e-9);
}

#[test]
fn gaps_that_a_reader_can_live_with_are_not_cut() {
    assert!(breaks(&busy()).is_empty());
    assert!(breaks(&busy_and(&[110, 130])).is_empty());
    assert!(breaks(&[0, 60, 120, 180, 240, 300, 360]).is_empty());
    assert!(breaks(&[0, 600]).is_empty());
}

#[test]
fn a_value_every_morning_gets_a_smaller_scale_and_says_so() {
    let late: Vec<i64> = (1..=10).map(|day| day * 1440).collect();
    let breaks = breaks(&busy_and(&late));
    assert_eq!(breaks, ["22 h 33 min, then a smaller scale"]);
}

#[test]
fn a_case_of_one_moment_has_it_in_the_middle() {
    assert!((axis(&[0]).x(at(0)) - 525.0).abs() < 1e-9);
}

#[test]
fn places_follow_the_order_of_time_across_breaks() {
    let minutes = busy_and(&[360, 2880, -600]);
    let axis = axis(&minutes);
    let mut sorted = minutes;
    sorted.sort_unstable();
    for pair in sorted.windows(2) {
        assert!(axis.x(at(pair[0])) < axis.x(at(pair[1])), "{pair:?}");
    }
    // A moment that is cut out lies within its break, and one beyond the axis at its end.
    assert!(axis.x(at(87)) < axis.x(at(200)) && axis.x(at(200)) < axis.x(at(360)));
    assert!((axis.x(at(9000)) - 950.0).abs() < 21.0);
}
