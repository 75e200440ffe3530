//! Probabilities of a binomial count, kept to full relative accuracy in both tails: charts judge
//! by probabilities near 0.001, and a run-length or a rank is decided by which side of it one falls.

use std::f64::consts::{LN_2, PI};

/// How many events there are among `n` procedures with the same probability of an event each.
#[derive(Debug, Clone, Copy)]
pub(super) struct Binomial {
    n: u64,
    p: f64,
}

impl Binomial {
    /// `n` procedures, `p` above 0 and below 1.
    pub(super) const fn new(n: u64, p: f64) -> Self {
        Self { n, p }
    }

    /// The probability of exactly `k` events.
    ///
    /// # Formula
    /// ```text
    /// ln P = δ(n) − δ(k) − δ(n−k) − D(k, np) − D(n−k, nq) + ½ ln(n / 2πk(n−k))
    /// with δ(x) = ln x! − Stirling's formula, D(x, m) = x ln(x/m) + m − x
    /// ```
    /// # Source
    /// Loader, Fast and accurate computation of binomial probabilities, 2000 (from memory).
    pub(super) fn at(self, k: u64) -> f64 {
        let (n, q) = (self.n as f64, 1.0 - self.p);
        if k > self.n {
            return 0.0;
        }
        if k == 0 {
            return (n * (-self.p).ln_1p()).exp();
        }
        if k == self.n {
            return (n * self.p.ln()).exp();
        }
        let (x, rest) = (k as f64, (self.n - k) as f64);
        let stirling = stirling_error(self.n) - stirling_error(k) - stirling_error(self.n - k);
        let deviance = deviance(x, n * self.p) + deviance(rest, n * q);
        (stirling - deviance).exp() * (n / (2.0 * PI * x * rest)).sqrt()
    }

    /// The probability of `k` events or more.
    pub(super) fn at_least(self, k: u64) -> f64 {
        if k == 0 {
            return 1.0;
        }
        if self.is_above_mean(k) { self.upper_tail(k) } else { 1.0 - self.lower_tail(k - 1) }
    }

    /// The probability of `k` events or fewer.
    pub(super) fn at_most(self, k: u64) -> f64 {
        if k >= self.n {
            return 1.0;
        }
        if self.is_above_mean(k) { 1.0 - self.upper_tail(k + 1) } else { self.lower_tail(k) }
    }

    /// Each tail is summed away from the mean, where its terms fall; the other is what is left of 1.
    /// Summed towards the mean they would start from a term that may be too small for a number.
    fn is_above_mean(self, k: u64) -> bool {
        k as f64 > self.n as f64 * self.p
    }

    fn upper_tail(self, k: u64) -> f64 {
        let odds = self.p / (1.0 - self.p);
        let (mut term, mut sum) = (self.at(k), 0.0);
        for j in k..=self.n {
            sum += term;
            if term <= sum * 1e-18 {
                break;
            }
            term *= (self.n - j) as f64 / (j + 1) as f64 * odds;
        }
        sum
    }

    fn lower_tail(self, k: u64) -> f64 {
        let odds = (1.0 - self.p) / self.p;
        let (mut term, mut sum) = (self.at(k), 0.0);
        for j in (0..=k).rev() {
            sum += term;
            if term <= sum * 1e-18 {
                break;
            }
            term *= j as f64 / (self.n - j + 1) as f64 * odds;
        }
        sum
    }

    /// The fewest events that `share` of all such counts stay at or below.
    pub(super) fn quantile(self, share: f64) -> u64 {
        least(self.n, |k| self.at_most(k) >= share)
    }

    /// The largest count that is not improbably high: more have a probability of at most `tail`.
    pub(super) fn largest_ordinary(self, tail: f64) -> u64 {
        least(self.n, |k| k == self.n || self.at_least(k + 1) <= tail)
    }

    /// The smallest count that is not improbably low: fewer have a probability of at most `tail`.
    pub(super) fn smallest_ordinary(self, tail: f64) -> u64 {
        least(self.n, |k| self.at_most(k) > tail)
    }
}

/// The least number up to `most` from which on something holds; it holds at `most`.
pub(super) fn least(most: u64, holds: impl Fn(u64) -> bool) -> u64 {
    let (mut low, mut high) = (0, most);
    while low < high {
        let middle = low + (high - low) / 2;
        if holds(middle) {
            high = middle;
        } else {
            low = middle + 1;
        }
    }
    high
}

/// The logarithm of the number of ways to choose `k` of `n`; `k` at most `n`.
pub(super) fn ln_choose(n: u64, k: u64) -> f64 {
    // P(k of n at ½) = C(n, k) / 2ⁿ.
    Binomial::new(n, 0.5).at(k).ln() + n as f64 * LN_2
}

/// `ln n!` minus Stirling's formula `½ ln(2πn) + n ln n − n`; `n` at least 1.
fn stirling_error(n: u64) -> f64 {
    let x = n as f64;
    if n < 16 {
        let factorial: f64 = (1..=n).map(|j| j as f64).product();
        return factorial.ln() - (0.5 * (2.0 * PI * x).ln() + x * x.ln() - x);
    }
    let square = x * x;
    let series = 1.0 / 1680.0 - 1.0 / 1188.0 / square;
    (1.0 / 12.0 - (1.0 / 360.0 - (1.0 / 1260.0 - series / square) / square) / square) / x
}

/// `x ln(x/m) + m − x` for positive `x` and `m`, without loss where they are near each other.
fn deviance(x: f64, m: f64) -> f64 {
    let part = (x - m) / (x + m);
    if part.abs() >= 0.1 {
        return x * (x / m).ln() + m - x;
    }
    // ln(x/m) = 2 atanh(part), as its power series.
    let square = part * part;
    let (mut sum, mut power) = ((x - m) * part, 2.0 * x * part);
    for j in 1..1000 {
        power *= square;
        let next = sum + power / f64::from(2 * j + 1);
        if next == sum {
            break;
        }
        sum = next;
    }
    sum
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The same from whole numbers, as far as they go.
    fn exact(n: u64, k: u64, p: f64) -> f64 {
        let mut ways = 1_u128;
        for j in 0..k {
            ways = ways * u128::from(n - j) / u128::from(j + 1);
        }
        let power = |x: f64, times: u64| x.powi(i32::try_from(times).unwrap());
        ways as f64 * power(p, k) * power(1.0 - p, n - k)
    }

    #[test]
    fn probabilities_are_those_of_the_definition() {
        for n in [1, 2, 7, 15, 16, 17, 40, 60] {
            for p in [0.001, 0.024, 0.3, 0.5, 0.9] {
                let binomial = Binomial::new(n, p);
                for k in 0..=n {
                    let expected = exact(n, k, p);
                    let error = (binomial.at(k) / expected - 1.0).abs();
                    assert!(error < 1e-12, "{k} of {n} at {p}: {error:e}");
                    let above: f64 = (k..=n).rev().map(|j| exact(n, j, p)).sum();
                    assert!((binomial.at_least(k) / above - 1.0).abs() < 1e-12, "{k} of {n} at {p}");
                    let below: f64 = (0..=k).map(|j| exact(n, j, p)).sum();
                    assert!((binomial.at_most(k) / below - 1.0).abs() < 1e-12, "{k} of {n} at {p}");
                }
            }
        }
    }

    #[test]
    fn tails_of_many_procedures_meet() {
        for (n, p, k) in [(100_000, 0.01, 1_000), (1_000_000, 0.000_3, 310), (10_000_000, 0.5, 4_999_000)] {
            let binomial = Binomial::new(n, p);
            let both = binomial.at_least(k + 1) + binomial.at_most(k);
            assert!((both - 1.0).abs() < 1e-9, "{n} {p} {k}: {both}");
        }
    }

    #[test]
    fn far_from_the_mean_one_tail_is_everything() {
        let binomial = Binomial::new(398, 0.006);
        assert!(
            (binomial.at_most(397) - 1.0).abs() < 1e-15
                && (binomial.at_least(1) - (1.0 - 0.994_f64.powi(398))).abs() < 1e-14
        );
        let many = Binomial::new(2_000_000, 0.5);
        assert!(many.at_least(1) == 1.0 && many.at_least(1_500_000) == 0.0 && many.at_most(1_500_000) == 1.0);
    }

    #[test]
    fn ordinary_counts_end_where_the_tail_says() {
        let binomial = Binomial::new(240, 0.024);
        let most = binomial.largest_ordinary(0.00135);
        assert!(binomial.at_least(most + 1) <= 0.00135 && binomial.at_least(most) > 0.00135);
        assert_eq!(binomial.smallest_ordinary(0.00135), 0);
        assert_eq!(Binomial::new(1, 0.01).largest_ordinary(0.00135), 1);
        let fewest = Binomial::new(1_000, 0.024).smallest_ordinary(0.00135);
        assert!(fewest > 0);
        assert!(Binomial::new(1_000, 0.024).at_most(fewest - 1) <= 0.00135);
    }

    #[test]
    fn ways_to_choose_are_those_of_pascal() {
        assert!((ln_choose(10, 5).exp() - 252.0).abs() < 1e-9);
        assert!((ln_choose(60, 30).exp() / 118_264_581_564_861_424.0 - 1.0).abs() < 1e-12);
        assert!(ln_choose(9, 0).abs() < 1e-12 && ln_choose(9, 9).abs() < 1e-12);
    }
}
