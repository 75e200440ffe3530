//! Time boxes are whole minutes that fit or say by how much they do not.

use proptest::prelude::*;

use super::*;
use crate::conference::samples::conference;

fn minutes(number: i64) -> Minutes {
    Minutes::try_from(number).unwrap()
}

#[test]
fn minutes_are_a_whole_number_from_1_to_240() {
    for (text, number) in [("1", 1), (" 25 ", 25), ("240", 240), ("007", 7)] {
        assert_eq!(text.parse::<Minutes>().map(Minutes::get), Ok(number), "{text}");
    }
    for bad in ["", " ", "0", "241", "-5", "+5", "2.5", "1e1", "25 min", "٢٥", "99999999999999999999", "<b>"]
    {
        assert_eq!(bad.parse::<Minutes>(), Err(MinutesError), "{bad}");
    }
    for bad in [i64::MIN, -1, 0, 241, 256 + 25, i64::MAX] {
        assert_eq!(Minutes::try_from(bad), Err(MinutesError), "{bad}");
    }
}

#[test]
fn two_cases_and_carried_over_actions_fill_the_usual_hour() {
    let fit = Fit::of(&conference(60, Some(10), &[25, 25]));
    assert!(fit.fits());
    assert_eq!(
        fit.in_words(),
        "Of 60 minutes: 10 for carried-over actions and 50 for two cases. It fits exactly."
    );
    assert_eq!(fit.to_do(), None);
}

#[test]
fn what_is_left_or_too_much_is_said_in_words() {
    for (length, carried, boxes, says) in [
        (60, Some(10), &[25][..], "25 for one case. 25 minutes are left."),
        (60, Some(9), &[25, 25], "50 for two cases. 1 minute is left."),
        (60, None, &[], "Of 60 minutes: nothing is planned yet. 60 minutes are left."),
        (60, Some(10), &[25, 25, 25], "It does not fit: 25 minutes too much. Shorten a box"),
        (60, Some(11), &[25, 25], "It does not fit: 1 minute too much."),
        (1, None, &[240; 12], "It does not fit: 2879 minutes too much."),
    ] {
        let words = Fit::of(&conference(length, carried, boxes)).in_words();
        assert!(words.contains(says), "{words}");
    }
}

#[test]
fn the_usual_box_is_split_as_is_common_practice() {
    // Two cases of 25 minutes: 5 situation and background, 5 timeline with stop points, 10 discussion, 5
    // lessons and actions (common practice).
    assert_eq!(Split::of(Minutes::USUAL_CASE).unwrap().0, [5, 5, 10, 5]);
    assert_eq!(Split::of(minutes(50)).unwrap().0, [10, 10, 20, 10]);
    assert_eq!(Split::of(minutes(30)).unwrap().0, [6, 6, 12, 6]);
    assert_eq!(Split::of(minutes(9)), None);
    assert_eq!(
        Split::of(minutes(25)).unwrap().in_words(),
        "5 situation and background, 5 timeline with stop points, 10 discussion and 5 lessons and actions"
    );
}

proptest! {
    #[test]
    fn a_split_adds_up_to_its_box_and_discussion_has_the_most(number in 10_i64..=240) {
        let parts = Split::of(minutes(number)).unwrap().0;
        prop_assert_eq!(i64::from(parts.iter().sum::<u32>()), number);
        prop_assert!(parts.iter().all(|part| *part >= 1 && *part <= parts[2]));
    }

    #[test]
    fn what_is_left_and_what_is_over_add_up(
        length in 1_i64..=240,
        carried in prop::option::of(1_i64..=240),
        boxes in prop::collection::vec(1_i64..=240, 0..12),
    ) {
        let fit = Fit::of(&conference(length, carried, &boxes));
        let planned = carried.unwrap_or(0) + boxes.iter().sum::<i64>();
        prop_assert_eq!(i64::from(fit.left()) - i64::from(fit.over()), length - planned);
        prop_assert!(fit.left() == 0 || fit.over() == 0);
        prop_assert_eq!(fit.fits(), planned <= length);
    }
}
