use proptest::prelude::*;

use super::*;
use crate::stats::proportion::Level;

fn table(cells: [u64; 4]) -> Table {
    Table::new(cells).unwrap()
}

fn close(found: f64, expected: f64, allowed: f64) {
    assert!(((found - expected) / expected).abs() <= allowed, "{found}, not {expected}");
}

#[test]
fn the_lady_who_tasted_tea_found_three_of_four_cups() {
    // Fisher, The Design of Experiments, 1935 (from memory): 3 of 4 right. The tables with 3 or 4
    // right, and their mirror images, are 34 of 70.
    close(table([3, 1, 1, 3]).fisher_exact(), 34.0 / 70.0, 1e-14);
}

#[test]
fn an_exact_test_of_large_margins_is_quick_and_keeps_its_digits() {
    // Equal halves of ten million each: the observed table is the most probable one.
    let half = 5_000_000;
    close(table([half, half, half, half]).fisher_exact(), 1.0, 1e-12);
    // All events on one side: the only other table as likely is the mirror image, 2/C(2n, n).
    let expected = 2.0 / (1..=300_u32).map(|i| f64::from(300 + i) / f64::from(i)).product::<f64>();
    close(table([300, 0, 0, 300]).fisher_exact(), expected, 1e-10);
}

#[test]
fn large_tables_keep_their_digits() {
    // mpmath 1.3.0 at 40 digits: sums of the probabilities, roots on ln ψ by the secant method.
    let given = table([40, 99_960, 15, 99_985]);
    let found = odds_ratio(given, Level::NINETY_FIVE).unwrap();
    close(found.conditional().unwrap(), 2.667_321_471_878_791, 1e-12);
    close(found.exact().lower(), 1.441_533_505_034_366_3, 1e-12);
    close(found.exact().upper().unwrap(), 5.198_194_964_768_851_3, 1e-12);
    close(found.p_mid(), 0.000_684_450_065_355_100_6, 1e-12);
    close(given.fisher_exact(), 0.001_014_262_651_899_111_4, 1e-12);
    let million = table([2_500, 497_500, 2_400, 497_600]);
    close(million.fisher_exact(), 0.156_252_781_381_070_67, 1e-12);
    close(odds_ratio(million, Level::NINETY_FIVE).unwrap().p_mid(), 0.152_154_456_504_252_62, 1e-12);
}

#[test]
fn an_odds_ratio_with_one_procedure_a_row_has_a_closed_form() {
    // One of two procedures had it: P(x = 1) = ψ/(1+ψ), so the limits of x = 1 are known by hand.
    let given = table([1, 0, 0, 1]);
    let found = odds_ratio(given, Level::NINETY_FIVE).unwrap();
    assert_eq!((found.conditional(), found.exact().upper()), (None, None));
    close(found.exact().lower(), 0.025 / 0.975, 1e-12);
    // Half of ψ/(1+ψ) is 0.025.
    close(mid_p_limits(given, Level::NINETY_FIVE).unwrap().lower(), 0.05 / 0.95, 1e-12);
    close(found.p_mid(), 0.5, 1e-12);
}

#[test]
fn a_table_with_an_empty_margin_says_nothing() {
    for cells in [[0, 0, 3, 4], [3, 4, 0, 0], [0, 3, 0, 4], [3, 0, 4, 0], [0, 0, 0, 0]] {
        assert!(table(cells).has_empty_margin());
        assert_eq!(odds_ratio(table(cells), Level::NINETY_FIVE), Err(EmptyMargin));
        assert_eq!(mid_p_limits(table(cells), Level::NINETY_FIVE), Err(EmptyMargin));
        assert_eq!(table(cells).fisher_exact(), 1.0);
        assert_eq!(table(cells).sample_odds_ratio(), None);
    }
}

#[test]
fn tables_that_hold_too_much_are_refused() {
    assert_eq!(Table::new([Table::MOST, 1, 0, 0]), Err(TooManyInTable));
    assert_eq!(Table::new([u64::MAX, 1, 0, 0]), Err(TooManyInTable));
    assert!(Table::new([Table::MOST, 0, 0, 0]).is_ok());
}

#[test]
fn strata_that_add_nothing_are_skipped_and_counted() {
    let whole = [table([12, 8, 6, 14]), table([5, 15, 3, 27])];
    let more = [whole[0], table([0, 9, 0, 4]), whole[1], table([0, 0, 3, 2]), Table::default()];
    let (one, other) = (
        mantel_haenszel(&whole, Level::NINETY_FIVE).unwrap(),
        mantel_haenszel(&more, Level::NINETY_FIVE).unwrap(),
    );
    assert_eq!((other.used(), other.skipped()), (2, 3));
    assert_eq!((one.estimate(), one.interval()), (other.estimate(), other.interval()));
    // Skipped strata still stand in the crude table.
    close(other.crude().unwrap(), 17.0 * 47.0 / (32.0 * 12.0), 1e-14);
}

#[test]
fn strata_of_which_none_tells_anything_are_not_pooled() {
    assert_eq!(mantel_haenszel(&[], Level::NINETY_FIVE), Err(PoolError::NothingToPool));
    let silent = [table([0, 9, 0, 4]), table([3, 0, 5, 0])];
    assert_eq!(mantel_haenszel(&silent, Level::NINETY_FIVE), Err(PoolError::NothingToPool));
    let one_sided = [table([0, 9, 3, 4]), table([0, 2, 5, 1])];
    assert_eq!(mantel_haenszel(&one_sided, Level::NINETY_FIVE), Err(PoolError::NotFinite));
    let other_side = [table([9, 0, 3, 4]), table([2, 1, 0, 5])];
    assert!(mantel_haenszel(&other_side, Level::NINETY_FIVE).is_err());
}

#[test]
fn one_stratum_pooled_is_its_own_sample_odds_ratio() {
    let alone = table([8, 4, 10, 30]);
    let pooled = mantel_haenszel(&[alone], Level::NINETY_FIVE).unwrap();
    close(pooled.estimate(), alone.sample_odds_ratio().unwrap(), 1e-14);
    // For one stratum the variance is Woolf's: the sum of the reciprocals of the cells.
    let width = (pooled.interval().upper() / pooled.interval().lower()).ln();
    close(width, 2.0 * 1.959_963_984_540_054 * (1.0_f64 / 8.0 + 0.25 + 0.1 + 1.0 / 30.0).sqrt(), 1e-12);
}

#[test]
fn strata_that_point_opposite_ways_are_seen() {
    let (up, down) = (table([40, 10, 10, 40]), table([10, 40, 40, 10]));
    let slightly_down = table([10, 11, 11, 10]);
    let level = Level::NINETY_FIVE;
    assert_eq!(directions(&[up, up], level), Directions::Same);
    assert_eq!(directions(&[up, slightly_down], level), Directions::Mixed);
    assert_eq!(directions(&[up, slightly_down, down], level), Directions::Opposite);
    assert_eq!(directions(&[up, table([0, 0, 5, 5])], level), Directions::Same);
    assert_eq!(directions(&[], level), Directions::Same);
}

prop_compose! {
    fn any_table()(scale in prop_oneof![Just(5_u64), Just(60), Just(3_000)])
        (cells in [0..=scale, 0..=scale, 0..=scale, 0..=scale]) -> Table {
        table(cells)
    }
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(96))]

    #[test]
    fn limits_hold_the_estimate_and_lie_within_each_other(given in any_table(), level in 0.5_f64..0.999) {
        prop_assume!(!given.has_empty_margin());
        let level = Level::new(level).unwrap();
        let found = odds_ratio(given, level).unwrap();
        let (exact, mid_p) = (found.exact(), mid_p_limits(given, level).unwrap());
        prop_assert!(exact.lower() <= mid_p.lower());
        let infinite = f64::INFINITY;
        let above = |upper: Option<f64>| upper.unwrap_or(infinite);
        prop_assert!(above(mid_p.upper()) <= above(exact.upper()));
        let estimate = found.conditional().unwrap_or(infinite);
        prop_assert!(mid_p.lower() <= estimate && estimate <= above(mid_p.upper()), "{found:?}");
    }

    #[test]
    fn swapping_the_rows_turns_the_odds_ratio_over(given in any_table()) {
        prop_assume!(!given.has_empty_margin());
        let [a, b, c, d] = given.cells();
        let there = odds_ratio(given, Level::NINETY_FIVE).unwrap();
        let back = odds_ratio(table([c, d, a, b]), Level::NINETY_FIVE).unwrap();
        prop_assert!((there.p_mid() - back.p_mid()).abs() < 1e-10);
        match back.exact().upper() {
            Some(upper) => prop_assert!((there.exact().lower() * upper - 1.0).abs() < 1e-10),
            None => prop_assert_eq!(there.exact().lower(), 0.0),
        }
        match (there.conditional(), back.conditional()) {
            (Some(one), Some(other)) => prop_assert!((one * other - 1.0).abs() < 1e-10),
            (one, other) => prop_assert_eq!(one.or(other), Some(0.0)),
        }
    }

    #[test]
    fn limits_that_leave_out_1_go_with_a_small_tail(given in any_table()) {
        prop_assume!(!given.has_empty_margin());
        let found = odds_ratio(given, Level::NINETY_FIVE).unwrap();
        // Both are the same half tails at ψ = 1.
        prop_assume!((found.p_mid() - 0.05).abs() > 1e-9);
        let limits = mid_p_limits(given, Level::NINETY_FIVE).unwrap();
        prop_assert_eq!(limits.excludes_one(), found.p_mid() < 0.05);
    }
}
