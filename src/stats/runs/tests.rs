use proptest::prelude::*;

use super::*;

fn signal(rule: RunRule, points: impl IntoIterator<Item = usize>) -> RunSignal {
    RunSignal { rule, points: points.into_iter().collect() }
}

#[test]
fn a_shift_names_its_points_and_passes_over_the_median() {
    //                0    1    2    3    4    5    6    7    8    9
    let values = [2.0, 6.0, 7.0, 5.0, 8.0, 6.0, 9.0, 7.0, 3.0, 6.0];
    let found = shift(&values, 5.0).unwrap();
    assert_eq!(found, [signal(RunRule::Shift, [1, 2, 4, 5, 6, 7])]);
    assert_eq!(shift(&values[..7], 5.0).unwrap(), []);
}

#[test]
fn a_trend_names_its_points_with_equal_neighbours() {
    let values = [3.0, 1.0, 1.0, 2.0, 3.0, 3.0, 4.0, 5.0, 5.0, 2.0];
    assert_eq!(trend(&values).unwrap(), [signal(RunRule::Trend, 1..=8)]);
    assert_eq!(longest_trend(&values), 5);
    // Four levels are no trend; five falling are.
    assert_eq!(trend(&[1.0, 2.0, 3.0, 4.0]).unwrap(), []);
    assert_eq!(trend(&[9.0, 7.0, 5.0, 3.0, 1.0, 2.0]).unwrap(), [signal(RunRule::Trend, 0..=4)]);
}

#[test]
fn a_long_run_and_few_crossings_name_their_points() {
    let values: Vec<f64> = [4.0, 6.0].into_iter().cycle().take(8).chain([6.0; 12]).collect();
    let found = anhoej(&values, 5.0).unwrap();
    // 20 points: round(log₂ 20 + 3) = 7. The last of the first eight lies above too.
    assert_eq!((found.useful, found.longest_limit, found.longest_run), (20, 7, 13));
    assert!(found.signals.contains(&signal(RunRule::LongRun, 7..20)));
    let few = found.crossings < found.crossings_limit;
    assert_eq!(found.signals.contains(&signal(RunRule::FewCrossings, 0..20)), few);
    let blocks: Vec<f64> = [4.0; 6].into_iter().chain([6.0; 6]).collect();
    let found = anhoej(&blocks, 5.0).unwrap();
    assert_eq!(found.signals, [signal(RunRule::FewCrossings, 0..12)]);
}

#[test]
fn limits_are_those_that_a_calculator_gives() {
    // The 5 % quantile of a binomial with 9, 19 and 23 and ½; rounded log₂ n + 3.
    for (n, crossings, longest) in [(10, 2, 6), (20, 6, 7), (24, 8, 8)] {
        let values: Vec<f64> = [4.0, 6.0].into_iter().cycle().take(n).collect();
        let found = anhoej(&values, 5.0).unwrap();
        assert_eq!((found.crossings_limit, found.longest_limit), (crossings, longest), "{n}");
        assert_eq!(found.signals, []);
    }
}

#[test]
fn without_a_point_off_the_median_or_with_a_median_of_0_there_is_no_verdict() {
    assert_eq!(anhoej(&[], 5.0), Err(RunsError::NoUsefulPoints));
    assert_eq!(shift(&[5.0; 9], 5.0), Err(RunsError::NoUsefulPoints));
    // Rare events: eight empty months and seven with one would otherwise look like one long run.
    let rare: Vec<f64> = [0.0; 8].into_iter().chain([1.0; 7]).collect();
    assert_eq!(anhoej(&rare, 0.0), Err(RunsError::MedianIsZero));
    assert_eq!(number_of_runs(&rare, 0.0), Err(RunsError::MedianIsZero));
    for bad in [f64::NAN, -1.0] {
        assert_eq!(anhoej(&[1.0, bad], 5.0), Err(RunsError::BadValue));
        assert_eq!(trend(&[1.0, bad]), Err(RunsError::BadValue));
        assert_eq!(shift(&[1.0, 2.0], bad), Err(RunsError::BadValue));
    }
    assert_eq!(trend(&[]), Ok(vec![]));
    assert_eq!((longest_trend(&[]), longest_trend(&[4.0])), (0, 1));
}

#[test]
fn runs_have_no_limits_below_ten_points_and_have_them_for_many() {
    assert_eq!(RunsLimits::of(9), None);
    let many = RunsLimits::of(1_000).unwrap();
    // Near normal: 501 ± 1.96 · 15.8.
    assert!((many.fewest as f64 - 470.0).abs() <= 2.0 && (many.most as f64 - 532.0).abs() <= 2.0, "{many:?}");
}

proptest! {
    #[test]
    fn a_series_upside_down_or_backwards_has_the_same_runs(
        values in prop::collection::vec(0_u8..10, 1..60)
    ) {
        let values: Vec<f64> = values.into_iter().map(f64::from).collect();
        let mirrored: Vec<f64> = values.iter().map(|value| 9.0 - value).collect();
        let backwards: Vec<f64> = values.iter().rev().copied().collect();
        // 4.5 lies between values, so every point is useful.
        let found = anhoej(&values, 4.5).unwrap();
        prop_assert_eq!(&found, &anhoej(&mirrored, 4.5).unwrap());
        let back = anhoej(&backwards, 4.5).unwrap();
        prop_assert_eq!(
            (found.longest_run, found.crossings, found.signals.len()),
            (back.longest_run, back.crossings, back.signals.len())
        );
        prop_assert_eq!(longest_trend(&values), longest_trend(&backwards));
        prop_assert_eq!(longest_trend(&values), longest_trend(&mirrored));
        prop_assert_eq!(found.crossings + 1, number_of_runs(&values, 4.5).unwrap().runs);
    }

    #[test]
    fn points_of_a_shift_lie_on_one_side(values in prop::collection::vec(0_u8..10, 1..60)) {
        let values: Vec<f64> = values.into_iter().map(f64::from).collect();
        for signal in shift(&values, 5.0).unwrap_or_default() {
            let above = values[signal.points[0]] > 5.0;
            prop_assert!(signal.points.len() >= SHIFT);
            prop_assert!(signal.points.iter().all(|&at| values[at] != 5.0 && (values[at] > 5.0) == above));
            prop_assert!(signal.points.is_sorted());
        }
    }
}
