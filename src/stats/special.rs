//! The special functions behind the intervals; the one place that touches the numerical library.

use statrs::distribution::{ContinuousCDF, Normal};
use statrs::function::beta::beta_reg;
use statrs::function::gamma::{gamma_ur, ln_gamma};

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
    beta_parts(a, b, p).0
}

/// [`beta_quantile`] as odds, x/(1−x), with the same accuracy also where x is near 1.
pub(super) fn beta_odds_quantile(a: f64, b: f64, p: f64) -> f64 {
    let (share, rest) = beta_parts(a, b, p);
    share / rest
}

/// The quantile x and 1−x. The smaller one is sought, so that both keep their digits.
fn beta_parts(a: f64, b: f64, p: f64) -> (f64, f64) {
    if beta_reg(a, b, 0.5) < p {
        let rest = bisect(|x| beta_reg(b, a, x) < 1.0 - p);
        (1.0 - rest, rest)
    } else {
        let share = bisect(|x| beta_reg(a, b, x) < p);
        (share, 1.0 - share)
    }
}

/// The probability that a χ² variable with so many degrees of freedom, at least 1, lies above
/// `value`, at least 0. Good to 1e-12 relative where the answer is above 1e-300.
///
/// # Formula
/// ```text
/// Γ(f/2, x/2)/Γ(f/2)
/// ```
/// Also for one degree of freedom: the library's complementary error function is good to 1e-10 only.
pub(super) fn chi_square_above(value: f64, freedom: u32) -> f64 {
    if value <= 0.0 { 1.0 } else { gamma_ur(f64::from(freedom) / 2.0, value / 2.0) }
}

/// ψ(x + k) − ψ(x), the rise of the digamma function; `x` above 0, `k` a whole number. Good to
/// 1e-13 relative, also where both values are large and nearly equal.
///
/// # Formula
/// ```text
/// 1/x + 1/(x+1) + … + 1/(x+k−1);   for many terms, from y = x + 20 on:
/// ln(1 + k/y) + D(y + k) − D(y), D(y) = −1/2y − 1/12y² + 1/120y⁴ − 1/252y⁶ + 1/240y⁸
/// ```
/// # Source
/// Abramowitz & Stegun, Handbook of Mathematical Functions, 6.3.6 and 6.3.18 (from memory).
pub(super) fn digamma_rise(x: f64, k: u32) -> f64 {
    let terms = |from: f64, number: u32| -> f64 { (0..number).map(|j| 1.0 / (from + f64::from(j))).sum() };
    if k <= 40 {
        return terms(x, k);
    }
    let (y, k) = (x + 20.0, f64::from(k));
    let correction = |y: f64| {
        let square = y * y;
        -0.5 / y
            - (1.0 / 12.0 - (1.0 / 120.0 - (1.0 / 252.0 - 1.0 / 240.0 / square) / square) / square) / square
    };
    // The twenty first terms of x, less those past x + k, carry the sum from y to x.
    terms(x, 20) - terms(x + k, 20) + (k / y).ln_1p() + correction(y + k) - correction(y)
}

/// ln Γ(x + k) − ln Γ(x); `x` above 0, `k` a whole number. Good to 1e-15 of the larger logarithm.
pub(super) fn ln_gamma_rise(x: f64, k: u32) -> f64 {
    if k <= 40 {
        return (0..k).map(|j| (x + f64::from(j)).ln()).sum();
    }
    ln_gamma(x + f64::from(k)) - ln_gamma(x)
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
mod tests;
