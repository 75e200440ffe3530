//! Does a feature go with a mechanism? Tables of two by two, their odds ratio, and strata pooled.
//!
//! Among complicated procedures only, an association says "goes with this mechanism rather than
//! another". It never says "causes" or "raises the risk of".

mod odds_ratio;
mod pooled;

pub use odds_ratio::{EmptyMargin, OddsRatio, mid_p_limits, odds_ratio};
pub use pooled::{Directions, PoolError, Pooled, directions, mantel_haenszel};

use super::discrete::{Discrete, FOR_TAILS, Margins};
use super::proportion::Count;

/// Counts by two features, in two rows and two columns:
///
/// ```text
///                   with mechanism   without it
/// with feature            a              b
/// without feature         c              d
/// ```
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Table {
    a: u32,
    b: u32,
    c: u32,
    d: u32,
}

/// The cells together hold more than the arithmetic is good for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("the cells of the table hold more than can be counted here")]
pub struct TooManyInTable;

impl Table {
    /// The most that the four cells can hold together: two counts of [`Count::MOST_PROCEDURES`].
    pub const MOST: u64 = 2 * Count::MOST_PROCEDURES;

    /// The four cells, row by row. A row or a column may be empty.
    ///
    /// # Errors
    /// [`TooManyInTable`] when the cells together hold more than [`Self::MOST`].
    pub fn new([a, b, c, d]: [u64; 4]) -> Result<Self, TooManyInTable> {
        let total = [a, b, c, d].into_iter().try_fold(0_u64, u64::checked_add);
        if total.is_none_or(|total| total > Self::MOST) {
            return Err(TooManyInTable);
        }
        let cell = |number: u64| u32::try_from(number).map_err(|_| TooManyInTable);
        Ok(Self { a: cell(a)?, b: cell(b)?, c: cell(c)?, d: cell(d)? })
    }

    /// Two counts as rows: events in the first column, procedures without one in the second.
    #[must_use]
    pub fn of(first: Count, second: Count) -> Self {
        let (a, b) = first.split();
        let (c, d) = second.split();
        Self { a, b, c, d }
    }

    /// The four cells, row by row.
    #[must_use]
    pub fn cells(self) -> [u64; 4] {
        [self.a, self.b, self.c, self.d].map(u64::from)
    }

    /// The odds ratio as it is read off the table. The conditional estimate of [`odds_ratio`] is
    /// nearer to 1; a page that shows either says which.
    ///
    /// `None` when a cell of `b` and `c` is 0: then it is infinite, or nothing at all.
    ///
    /// # Formula
    /// ```text
    /// ad/bc
    /// ```
    #[must_use]
    pub fn sample_odds_ratio(self) -> Option<f64> {
        let [a, b, c, d] = self.numbers();
        (b * c > 0.0).then(|| a * d / (b * c))
    }

    /// Fisher's exact test of "no association", two-sided, 0 to 1: the probability, given the
    /// margins, of all tables as likely as this one or less. Good to 1e-12 relative down to 1e-290;
    /// below about 1e-300 it is 0. With an empty row or column it is 1.
    ///
    /// Two probabilities count as equal when they differ by less than 1e-7 of themselves: equal ones
    /// come out unequal in their last digits.
    ///
    /// # Source
    /// Fisher, Statistical Methods for Research Workers, 5th edition 1934 (from memory); adding up all
    /// tables as likely or less is common practice, and so is the tolerance.
    #[must_use]
    pub fn fisher_exact(self) -> f64 {
        let tables = Discrete::first_cell(self.margins(), 1.0, FOR_TAILS);
        tables.as_likely_or_less(self.a, 1e-7)
    }

    /// Whether a row or a column is empty: such a table says nothing about an association.
    #[must_use]
    pub const fn has_empty_margin(self) -> bool {
        self.a + self.b == 0 || self.c + self.d == 0 || self.a + self.c == 0 || self.b + self.d == 0
    }

    fn numbers(self) -> [f64; 4] {
        [self.a, self.b, self.c, self.d].map(f64::from)
    }

    const fn margins(self) -> Margins {
        Margins { first_row: self.a + self.b, second_row: self.c + self.d, first_column: self.a + self.c }
    }
}

#[cfg(test)]
mod tests;
