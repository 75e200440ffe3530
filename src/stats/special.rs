//! The special functions behind the intervals; the one place that touches the numerical library.

use statrs::distribution::{ContinuousCDF, Normal};
use statrs::function::beta::beta_reg;

/// The value that a standard normal variable stays below with probability `p`, `0 < p < 1`.
///
/// Good to 1e-13 relative for the levels tested below.
pub(super) fn normal_quantile(p: f64) -> f64 {
    Normal::standard().inverse_cdf(p)
}

/// The value that a Beta(`a`, `b`) variable stays below with probability `p`; `a`, `b` above 0,
/// `p` in a tail: above 0 and at most ¼, or at least ¾ and below 1.
///
/// Good to 1e-8 relative for `a + b` up to a million, to 1e-9 up to a hundred thousand. Not for
/// the middle of the distribution: the library's continued fraction stops after 140 steps whether
/// or not it has settled, and near the median of a wide one (shapes from 50,000) it has not.
///
/// Bisection on the regularised incomplete beta function, until two neighbouring numbers remain:
/// the library's own inverse loses all but three digits at 3 events in a million procedures.
/// Where the answer lies above a half it is found from the mirrored distribution, whose answer is
/// small and therefore keeps its digits.
///
/// # Formula
/// ```text
/// x with I_x(a, b) = p;    I_x(a, b) = 1 − I_(1−x)(b, a)
/// ```
pub(super) fn beta_quantile(a: f64, b: f64, p: f64) -> f64 {
    if beta_reg(a, b, 0.5) < p {
        1.0 - bisect(|x| beta_reg(b, a, x) < 1.0 - p)
    } else {
        bisect(|x| beta_reg(a, b, x) < p)
    }
}

/// The point in 0 to ½ where `is_below` turns from true to false.
///
/// Invariant: it is true at `low` (or `low` is 0) and false at `high`. Each step halves the gap,
/// and ends when no number lies between, after about 53 steps more than the leading zeros.
fn bisect(is_below: impl Fn(f64) -> bool) -> f64 {
    let (mut low, mut high) = (0.0_f64, 0.5_f64);
    loop {
        let middle = f64::midpoint(low, high);
        if middle <= low || middle >= high {
            return middle;
        }
        if is_below(middle) {
            low = middle;
        } else {
            high = middle;
        }
    }
}

#[cfg(test)]
mod tests {
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
        let table = include_str!("../../tests/check-values/beta_quantile.csv");
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
}
