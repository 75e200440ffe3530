//! The odds ratio of one table, exact given its margins.

use super::{Discrete, FOR_TAILS, Table};
use crate::stats::discrete::{FOR_LIMITS, positive_root};
use crate::stats::proportion::Level;
use crate::stats::ratio::RatioInterval;

/// The conditional odds ratio of a table, and how sure it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OddsRatio {
    conditional: Option<f64>,
    exact: RatioInterval,
    p_mid: f64,
}

impl OddsRatio {
    /// The conditional maximum likelihood estimate, 0 or more; `None` when it is infinite, as when
    /// `b` or `c` is 0.
    #[must_use]
    pub const fn conditional(self) -> Option<f64> {
        self.conditional
    }

    /// The exact limits: at least the stated confidence.
    #[must_use]
    pub const fn exact(self) -> RatioInterval {
        self.exact
    }

    /// The mid-P value of "no association": twice the smaller tail with half the probability of the
    /// observed table, at most 1.
    #[must_use]
    pub const fn p_mid(self) -> f64 {
        self.p_mid
    }
}

/// A row or a column of the table is empty.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("a row or a column of the table is empty, so it says nothing about an association")]
pub struct EmptyMargin;

/// The odds ratio given the margins of the table. Good to 1e-10 relative in tables of up to a
/// million.
///
/// # Formula
/// ```text
/// P(x; ψ) ∝ C(a+b, x)·C(c+d, a+c−x)·ψˣ for the first cell;   estimate: the mean of x is a
/// exact limits: P(x ≥ a) = α/2 and P(x ≤ a) = α/2
/// ```
/// The roots are sought on ln ψ.
/// # Source
/// Cornfield, Proc Third Berkeley Symp 1956;4:135 for the exact limits; Berry & Armitage,
/// Statistician 1995;44:417 for the mid-P value (both from memory).
/// # Errors
/// [`EmptyMargin`] when a row or a column is empty.
pub fn odds_ratio(table: Table, level: Level) -> Result<OddsRatio, EmptyMargin> {
    if table.has_empty_margin() {
        return Err(EmptyMargin);
    }
    let even = Discrete::first_cell(table.margins(), 1.0, FOR_TAILS);
    Ok(OddsRatio {
        conditional: estimate(table),
        exact: limits(table, level, 1.0),
        p_mid: even.doubled_tail(table.a, 0.5),
    })
}

/// The mid-P limits of the odds ratio: narrower than the exact ones, with the stated confidence on
/// average only. Good to 1e-10 relative in tables of up to a million.
///
/// # Formula
/// ```text
/// as for the exact limits of [`odds_ratio`], with half of P(x = a) in each tail
/// ```
/// # Source
/// Berry & Armitage, Statistician 1995;44:417 (from memory).
/// # Errors
/// [`EmptyMargin`] when a row or a column is empty.
pub fn mid_p_limits(table: Table, level: Level) -> Result<RatioInterval, EmptyMargin> {
    if table.has_empty_margin() { Err(EmptyMargin) } else { Ok(limits(table, level, 0.5)) }
}

/// A value near the odds ratio, with a half added to each cell, from which to search.
fn near(table: Table) -> f64 {
    let [a, b, c, d] = table.numbers().map(|cell| cell + 0.5);
    (a / b) * (d / c)
}

fn estimate(table: Table) -> Option<f64> {
    let range = table.margins().range();
    if table.a == *range.end() {
        return None;
    }
    if table.a == *range.start() {
        return Some(0.0);
    }
    let observed = f64::from(table.a);
    let mean = |ratio| Discrete::first_cell(table.margins(), ratio, FOR_LIMITS).mean();
    Some(positive_root(near(table), |ratio| mean(ratio) < observed))
}

/// The limits at which each tail, with this share of the observed table, has half of what the level
/// leaves.
fn limits(table: Table, level: Level, share: f64) -> RatioInterval {
    let (margins, a, tail) = (table.margins(), table.a, level.tail());
    let cell = |ratio| Discrete::first_cell(margins, ratio, FOR_LIMITS);
    let without = 1.0 - share;
    let lower = (a > *margins.range().start()).then(|| {
        positive_root(near(table), |ratio| {
            let cell = cell(ratio);
            cell.at_least(a) - without * cell.probability(a) < tail
        })
    });
    let upper = (a < *margins.range().end()).then(|| {
        positive_root(near(table), |ratio| {
            let cell = cell(ratio);
            cell.at_most(a) - without * cell.probability(a) > tail
        })
    });
    RatioInterval::new(lower.unwrap_or(0.0), upper)
}
