use super::*;

fn relative_error(found: f64, expected: f64) -> f64 {
    ((found - expected) / expected).abs()
}

#[test]
fn normal_quantiles_are_the_published_ones() {
    // From memory of published tables of the normal distribution.
    for (p, z) in [
        (0.95, 1.644_853_626_951_472_2),
        (0.975, 1.959_963_984_540_054),
        (0.995, 2.575_829_303_548_900_4),
        (0.999, 3.090_232_306_167_813),
    ] {
        assert!(relative_error(normal_quantile(p), z) < 1e-13, "{p}");
        assert!(relative_error(normal_quantile(1.0 - p), -z) < 1e-12, "{p}");
    }
}

#[test]
fn beta_quantiles_are_those_computed_with_fifty_digits() {
    // mpmath 1.4.1; see tests/check-values/README.md.
    let table = include_str!("../../../tests/check-values/beta_quantile.csv");
    let mut compared = 0;
    let mut worst = [0.0_f64; 2];
    for line in table.lines().skip(1) {
        let numbers: Vec<f64> = line.split(',').map(|text| text.parse().unwrap()).collect();
        let [a, b, p, expected] = numbers[..] else { panic!("four numbers, not {line}") };
        let error = relative_error(beta_quantile(a, b, p), expected);
        let band = usize::from(a + b > 1e6);
        assert!(error <= [1e-9, 1e-8][band], "{line}: error {error:e}");
        worst[band] = worst[band].max(error);
        compared += 1;
    }
    assert_eq!(compared, 168);
    println!("beta quantile, worst relative error: {:.1e}, at a million {:.1e}", worst[0], worst[1]);
}

#[test]
fn beta_quantiles_with_a_closed_form_are_that_form() {
    // Beta(1, b): 1 − (1 − p)^(1/b). Beta(a, 1): p^(1/a). Both follow from the definition.
    for shape in [1.0_f64, 2.0, 20.0, 1e3, 1e5] {
        for p in [0.001_f64, 0.025, 0.5, 0.975, 0.999] {
            let first = -((-p).ln_1p() / shape).exp_m1();
            assert!(relative_error(beta_quantile(1.0, shape, p), first) < 1e-9);
            let last = (p.ln() / shape).exp();
            assert!(relative_error(beta_quantile(shape, 1.0, p), last) < 1e-9);
        }
    }
}

#[test]
fn a_symmetric_beta_has_its_median_at_a_half() {
    for shape in [0.5, 1.0, 7.0, 1e4] {
        assert!(relative_error(beta_quantile(shape, shape, 0.5), 0.5) < 1e-9);
    }
}

#[test]
fn odds_of_a_beta_quantile_are_those_of_the_quantile_and_mirror() {
    for (a, b) in [(1.0, 20.0), (3.0, 4.0), (40.0, 2.0), (1000.0, 1.0)] {
        for p in [0.001, 0.025, 0.975, 0.999] {
            let odds = beta_odds_quantile(a, b, p);
            let share = beta_quantile(a, b, p);
            assert!(relative_error(odds / (1.0 + odds), share) < 1e-12);
            assert!(relative_error(1.0 / odds, beta_odds_quantile(b, a, 1.0 - p)) < 1e-9);
        }
    }
}

#[test]
fn chi_square_tails_are_the_published_ones_and_those_with_a_closed_form() {
    // From memory of published tables: 5 % points for 1, 2, 5 and 10 degrees of freedom.
    for (freedom, point) in [(1, 3.841_459), (2, 5.991_465), (5, 11.070_498), (10, 18.307_038)] {
        assert!((chi_square_above(point, freedom) - 0.05).abs() < 1e-7, "{freedom}");
        assert_eq!(chi_square_above(0.0, freedom), 1.0);
    }
    // Two degrees of freedom: e^(−x/2). Four: e^(−x/2)·(1 + x/2).
    for value in [1e-6_f64, 0.5, 3.0, 40.0, 1000.0] {
        let half = value / 2.0;
        assert!(relative_error(chi_square_above(value, 2), (-half).exp()) < 1e-12, "{value}");
        assert!(relative_error(chi_square_above(value, 4), (-half).exp() * (1.0 + half)) < 1e-12);
    }
    // One degree of freedom: mpmath 1.3.0 at 30 digits, erfc(√(x/2)).
    for (value, expected) in [
        (0.1, 0.751_829_634_045_849_2),
        (8.528_536_542_043_5, 0.003_496_207_135_660_671_2),
        (85.009_497_034_733_58, 2.969_354_243_718_947e-20),
    ] {
        assert!(relative_error(chi_square_above(value, 1), expected) < 1e-12, "{value}");
    }
    // And it is a squared normal variable.
    for p in [0.2, 0.01, 1e-6] {
        let z = normal_quantile(p / 2.0);
        assert!(relative_error(chi_square_above(z * z, 1), p) < 1e-11, "{p}");
    }
}

#[test]
fn rises_of_the_digamma_function_are_sums_of_reciprocals() {
    for x in [1e-6_f64, 0.3, 1.85, 60.0, 1e4, 1e6] {
        for k in [0, 1, 40, 41, 100, 5_000] {
            let sum: f64 = (0..k).rev().map(|j| 1.0 / (x + f64::from(j))).sum();
            let found = digamma_rise(x, k);
            assert!((found - sum).abs() <= 1e-13 * sum, "{x} {k}: {found} {sum}");
        }
    }
}

#[test]
fn rises_of_the_logarithm_of_gamma_are_sums_of_logarithms() {
    for x in [0.3_f64, 1.85, 60.0, 1e4] {
        for k in [0, 1, 40, 41, 100, 5_000] {
            let sum: f64 = (0..k).map(|j| (x + f64::from(j)).ln()).sum();
            assert!((ln_gamma_rise(x, k) - sum).abs() <= 1e-12 * sum.abs().max(1.0), "{x} {k}");
        }
    }
}
