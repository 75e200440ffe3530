use super::*;

fn close(found: f64, expected: f64) {
    assert!(((found - expected) / expected).abs() < 1e-13, "{found:e}, not {expected:e}");
}

#[test]
fn small_distributions_are_those_written_out_by_hand() {
    let coins = Discrete::binomial(4, 1.0, FOR_TAILS);
    for (k, ways) in [1.0, 4.0, 6.0, 4.0, 1.0].into_iter().enumerate() {
        close(coins.probability(u32::try_from(k).unwrap()), ways / 16.0);
    }
    close(coins.at_most(1), 5.0 / 16.0);
    close(coins.at_least(1), 15.0 / 16.0);
    close(coins.mean(), 2.0);
    close(coins.doubled_tail(1, 1.0), 10.0 / 16.0);
    close(coins.doubled_tail(1, 0.5), 6.0 / 16.0);
    // Fisher's lady and the tea: four cups of eight, all found, 1 in 70.
    let tea = Margins { first_row: 4, second_row: 4, first_column: 4 };
    let tea = Discrete::first_cell(tea, 1.0, FOR_TAILS);
    close(tea.at_least(4), 1.0 / 70.0);
    close(tea.as_likely_or_less(4, 1e-7), 2.0 / 70.0);
    let rare = Discrete::poisson(0.5, FOR_TAILS);
    close(rare.probability(0), (-0.5_f64).exp());
    close(rare.at_least(1), -(-0.5_f64).exp_m1());
}

#[test]
fn numbers_outside_the_range_have_no_probability() {
    let margins = Margins { first_row: 5, second_row: 3, first_column: 6 };
    assert_eq!(margins.range(), 3..=5);
    let cell = Discrete::first_cell(margins, 1.0, FOR_TAILS);
    assert_eq!((cell.probability(2), cell.probability(6)), (0.0, 0.0));
    assert_eq!((cell.at_most(2), cell.at_least(6)), (0.0, 0.0));
    close(cell.at_most(7), 1.0);
    close(cell.at_least(0), 1.0);
}

#[test]
fn a_wide_distribution_keeps_its_digits() {
    // Half of ten million: the largest probability is 1/√(πn/2) · (1 − 1/(4n)), by Stirling.
    let n = 10_000_000;
    let coins = Discrete::binomial(n, 1.0, FOR_LIMITS);
    let width = f64::from(n);
    let expected = (1.0 - 0.25 / width) / (std::f64::consts::PI * width / 2.0).sqrt();
    assert!((coins.probability(n / 2) / expected - 1.0).abs() < 1e-12);
    assert!((coins.mean() - width / 2.0).abs() < 1e-6);
}

#[test]
fn a_root_is_found_far_from_where_the_search_begins() {
    for root in [1e-200, 3e-7, 1.0, 42.0, 1e200] {
        for near in [0.0, 1e-3, 1.0, 1e9, f64::INFINITY] {
            let found = positive_root(near, |x| x < root);
            assert!((found / root - 1.0).abs() < 1e-12, "{root} from {near}: {found}");
        }
    }
}

/// A binomial probability from whole numbers, as far as they go.
fn exact(n: u32, k: u32, p: f64) -> f64 {
    let mut ways = 1_u128;
    for j in 0..k {
        ways = ways * u128::from(n - j) / u128::from(j + 1);
    }
    let power = |x: f64, times: u32| x.powi(i32::try_from(times).unwrap());
    ways as f64 * power(p, k) * power(1.0 - p, n - k)
}

fn events(n: u32, p: f64) -> Discrete {
    Discrete::binomial(n, p / (1.0 - p), FOR_TAILS)
}

#[test]
fn binomial_tails_are_those_of_the_definition_however_small() {
    for n in [1, 2, 7, 15, 16, 17, 40, 60] {
        for p in [0.001, 0.024, 0.3, 0.5, 0.9] {
            let found = events(n, p);
            for k in 0..=n {
                let near = |found: f64, expected: f64| {
                    let error = (found / expected - 1.0).abs();
                    assert!(error < 1e-12, "{k} of {n} at {p}: {error:e}");
                };
                near(found.probability(k), exact(n, k, p));
                near(found.at_least(k), (k..=n).rev().map(|j| exact(n, j, p)).sum());
                near(found.at_most(k), (0..=k).map(|j| exact(n, j, p)).sum());
            }
        }
    }
}

#[test]
fn tails_of_many_procedures_meet() {
    for (n, p, k) in [(100_000, 0.01, 1_000), (1_000_000, 0.000_3, 310), (10_000_000, 0.5, 4_999_000)] {
        let found = events(n, p);
        let both = found.at_least(k + 1) + found.at_most(k);
        assert!((both - 1.0).abs() < 1e-12, "{n} {p} {k}: {both}");
    }
}

#[test]
fn far_from_the_mean_one_tail_is_everything() {
    let few = events(398, 0.006);
    assert!((few.at_most(397) - 1.0).abs() < 1e-15);
    assert!((few.at_least(1) - (1.0 - 0.994_f64.powi(398))).abs() < 1e-14);
    let many = events(2_000_000, 0.5);
    assert_eq!((many.at_least(1), many.at_least(1_500_000), many.at_most(1_500_000)), (1.0, 0.0, 1.0));
    assert!(many.at_most(500_000) == 0.0 && many.at_least(1_500_000).is_sign_positive());
    // All there is, is 1 to the last digit.
    for (n, p) in [(3, 0.3), (150, 0.02), (1_839, 0.011), (20_000, 0.4)] {
        assert_eq!((events(n, p).at_least(0), events(n, p).at_most(n)), (1.0, 1.0), "{n} at {p}");
    }
}

#[test]
fn ordinary_numbers_end_where_the_tail_says() {
    // Of two coins, a tail of just ¼ is reached: at 0 from below, at 1 from above.
    let coins = Discrete::binomial(2, 1.0, FOR_TAILS);
    assert_eq!((coins.quantile_from_below(0.25), coins.quantile_from_above(0.25)), ((0, 0.0), (1, 0.0)));
    let (found, tail) = (events(240, 0.024), 0.00135);
    let most = found.quantile_from_above(tail).0;
    assert!(found.at_least(most + 1) <= tail && found.at_least(most) > tail);
    assert_eq!(found.quantile_from_below(tail).0, 0);
    assert_eq!(events(1, 0.01).quantile_from_above(tail).0, 1);
    let more = events(1_000, 0.024);
    let fewest = more.quantile_from_below(tail).0;
    assert!(fewest > 0 && more.at_most(fewest - 1) < tail && more.at_most(fewest) >= tail);
}
