//! Small numbers: what is hidden in what leaves the department, on paper or as a file.
//!
//! A count of one or two, beside a month and a mechanism, can point to a patient. So counts from 1 up
//! to a limit are hidden (primary suppression), and further ones wherever a total would give a hidden
//! one back, or would show that it is below the limit (secondary suppression). Zero is shown: no case
//! stands behind it, so it points to nobody, and hiding it would hide that a harm did not happen.
//!
//! The reader against whom this holds knows the limit, knows that what is hidden beside shown numbers
//! is not zero, and has one table with its totals. It does not hold against a reader with the record,
//! or with two reports over periods that overlap: their difference is a third table.
//!
//! What else leaves with a count has to be hidden with it: the rate, its interval, and every
//! difference with it ([`Shown::with`]); and a number of procedures that is itself below the limit,
//! because there are no more events than procedures.
//!
//! # Source
//! Cell size suppression policy of the Centers for Medicare & Medicaid Services (2024; as stated by
//! the Research Data Assistance Center): cells of 1 to 10 are not shown, zero is, and no such cell may
//! be derived from other cells or percentages. Small numbers publishing guidelines of the Washington
//! State Department of Health (2017): non-zero counts below 10 and the rates from them are suppressed,
//! with secondary suppression so that subtraction does not bring them back. That the limit is 5 where a
//! department does not say otherwise: common practice.

use std::fmt;
use std::str::FromStr;

use super::words::whole_number;

mod tree;

pub use tree::{BranchEvents, ShownBranch, ShownTree, tree};

/// The smallest count above zero that leaves the department: 1 to 50, 5 unless said otherwise. With 1
/// nothing is hidden.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct SmallestCount(u64);

/// Not a smallest count.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error(
    "The smallest count that leaves the department is a whole number from 1 to {most}; with 1 nothing is hidden.",
    most = SmallestCount::MOST
)]
pub struct SmallestCountError;

impl SmallestCount {
    /// The largest limit.
    pub const MOST: u64 = 50;
    /// The limit with which nothing is hidden.
    pub const HIDES_NOTHING: Self = Self(1);

    /// The limit as a number.
    #[must_use]
    pub const fn get(self) -> u64 {
        self.0
    }

    /// Whether a count is too small to be shown: above zero and below the limit.
    #[must_use]
    pub const fn hides(self, count: u64) -> bool {
        0 < count && count < self.0
    }

    /// Whether a part of a whole is too small to be shown, or leaves too little of it: two parts that
    /// share a whole give each other back.
    #[must_use]
    pub fn hides_part(self, part: u64, whole: Option<u64>) -> bool {
        let rest = whole.and_then(|whole| whole.checked_sub(part));
        self.hides(part) || rest.is_some_and(|rest| self.hides(rest))
    }

    /// What stands under a table, in a sentence; `None` when nothing is hidden.
    #[must_use]
    pub fn note(self) -> Option<String> {
        let small = match self.0 {
            0 | 1 => return None,
            2 => "Counts of 1".to_owned(),
            smallest => format!("Counts from 1 to {}", smallest - 1),
        };
        Some(format!(
            "{small} are hidden, with what is computed from them, and so are others from which one of them could be worked out."
        ))
    }

    /// Whether what is left of a total for so many hidden cells gives one of them back, or shows that
    /// all are small. Each hidden cell is at least 1, so none is larger than what the others leave.
    /// Where less than that is left, cases count in several cells, and the total tells nothing.
    fn given_back(self, left: Option<u64>, hidden: usize) -> bool {
        let (Some(left), Ok(hidden)) = (left, u64::try_from(hidden)) else { return false };
        match hidden {
            0 => false,
            1 => left > 0,
            _ => left >= hidden && left - (hidden - 1) < self.0,
        }
    }
}

impl Default for SmallestCount {
    fn default() -> Self {
        Self(5)
    }
}

impl TryFrom<u64> for SmallestCount {
    type Error = SmallestCountError;
    fn try_from(smallest: u64) -> Result<Self, Self::Error> {
        if (1..=Self::MOST).contains(&smallest) { Ok(Self(smallest)) } else { Err(SmallestCountError) }
    }
}

impl FromStr for SmallestCount {
    type Err = SmallestCountError;
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let text = text.trim();
        if !text.bytes().all(|b| b.is_ascii_digit()) {
            return Err(SmallestCountError);
        }
        text.parse::<u64>().map_err(|_| SmallestCountError)?.try_into()
    }
}

impl fmt::Display for SmallestCount {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

/// A count as it leaves the department.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shown {
    /// The count.
    Count(u64),
    /// It is hidden: because it is small, or because a small one could be worked out from it.
    Hidden,
}

impl Shown {
    /// What stands in place of a hidden number.
    pub const HIDDEN: &'static str = "hidden";

    /// Whether it is hidden.
    #[must_use]
    pub const fn is_hidden(self) -> bool {
        matches!(self, Self::Hidden)
    }

    /// What is computed from the count, such as its rate; `None` when the count is hidden. For a
    /// difference, both counts: `now.with(before.with(difference))`.
    #[must_use]
    pub fn with<T>(self, computed: T) -> Option<T> {
        (!self.is_hidden()).then_some(computed)
    }

    fn of(count: u64, hidden: bool) -> Self {
        if hidden { Self::Hidden } else { Self::Count(count) }
    }
}

impl fmt::Display for Shown {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Count(count) => f.write_str(&whole_number(*count)),
            Self::Hidden => f.write_str(Self::HIDDEN),
        }
    }
}

/// A row whose cells add up to a total, such as the months of a year, and the total.
///
/// The total comes first, as [`tree`] or another table left it, because it stands in several places:
///
/// - A total that is hidden, or too small to be shown, hides the whole row, zeros too: each month that
///   is known to have had an event would be a lower bound of it.
/// - Otherwise small cells are hidden. While what the shown cells leave of the total gives them back,
///   the next smallest cell above zero is hidden too.
/// - When there is no such cell left, zeros are hidden as well, so that the total can stay: any cell
///   can then be anything from 0 to the total.
/// - Only a row of a single cell takes its total with it.
///
/// Two rows are each treated on their own. Rows that stand under each other with a total for each
/// column need more than this: print the rows without the columns' totals.
#[must_use]
pub fn row(cells: &[u64], total: Shown, smallest: SmallestCount) -> (Vec<Shown>, Shown) {
    let sum = match total {
        Shown::Count(sum) if !smallest.hides(sum) => sum,
        _ => return (vec![Shown::Hidden; cells.len()], Shown::Hidden),
    };
    let mut hidden: Vec<bool> = cells.iter().map(|&cell| smallest.hides(cell)).collect();
    let shown =
        |hidden: &[bool]| cells.iter().zip(hidden).map(|(&cell, &out)| Shown::of(cell, out)).collect();
    loop {
        let (left, few) = left_of(sum, cells.iter().copied().zip(hidden.iter().copied()));
        if !smallest.given_back(left, few) {
            return (shown(&hidden), total);
        }
        let next = (0..cells.len()).filter(|&at| !hidden[at] && cells[at] > 0).min_by_key(|&at| cells[at]);
        match next {
            Some(at) => hidden[at] = true,
            None if cells.len() > 1 => return (vec![Shown::Hidden; cells.len()], total),
            None => return (vec![Shown::Hidden; cells.len()], Shown::Hidden),
        }
    }
}

/// What the shown cells leave of a total, `None` where they are more than it, and for how many hidden
/// cells.
fn left_of(total: u64, cells: impl Iterator<Item = (u64, bool)>) -> (Option<u64>, usize) {
    cells.fold((Some(total), 0), |(left, few), (cell, hidden)| {
        if hidden { (left, few + 1) } else { (left.and_then(|left| left.checked_sub(cell)), few) }
    })
}

#[cfg(test)]
mod tests;
