//! Combinations of plain facts that could tell who somebody is: k-anonymity over quasi-identifiers.
//!
//! A month, an age, a sex, a rare mechanism name nobody; together they may fit one case alone.
//! Records that share all their values form a class, and its size is their k. Each fact has a
//! [`Ladder`]: a month can be told as its quarter or its year, an age as a band, anything as hidden.
//! A set of [`Levels`] says how high each fact stands; the least general set at which every class
//! has k records is the [`Proposal`].
//!
//! # Source
//! Samarati, "Protecting respondents' identities in microdata release", IEEE TKDE 2001;13:1010:
//! generalisation ladders, the lattice of levels, a bound on records left out (from memory). Sweeney,
//! "k-anonymity", Int J Uncertainty Fuzziness Knowl-Based Syst 2002;10:557: classes and k; and
//! "Achieving k-anonymity privacy protection using generalization and suppression", same issue, 571:
//! the loss used here is one minus its precision, the mean height of the levels on their ladders
//! (from memory), in which a fact may count several times ([`Ladder::worth`]). What it does not give: protection where a whole class shares the same outcome
//! (Machanavajjhala et al., ICDE 2006, from memory), or against who knows more than these facts.

mod classes;
mod ladder;
mod one;
mod proposal;

#[cfg(test)]
mod tests;

pub use classes::Classes;
pub use ladder::{Ladder, LadderError};
pub use one::{OneRecord, Telling};
pub use proposal::Proposal;

/// How high each fact stands on its ladder; 0 is as recorded. In the order of the ladders.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Levels(pub Vec<usize>);

impl Levels {
    /// Whether every fact stands at least as high as in another set.
    #[must_use]
    pub fn covers(&self, other: &Self) -> bool {
        self.0.len() == other.0.len() && self.0.iter().zip(&other.0).all(|(own, other)| own >= other)
    }
}

/// Why records cannot be taken together.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum RecordsError {
    /// More sets of levels than are looked through one by one.
    #[error("These ladders have more than {} sets of levels together.", Records::MOST_SETS)]
    TooManySets,
    /// More combinations of values than can be numbered.
    #[error("These facts have too many values together.")]
    TooManyValues,
    /// A record has another number of values than there are ladders, or a value that its ladder lacks.
    #[error("A record does not fit the ladders.")]
    NoFit,
}

/// Records by their quasi-identifiers, each with the ladder it can climb.
#[derive(Debug, Clone)]
pub struct Records {
    ladders: Vec<Ladder>,
    /// The values of each record, as places on their ladders, record by record.
    values: Vec<u32>,
}

impl Records {
    /// The most sets of levels: the search for a proposal looks at them one by one.
    pub const MOST_SETS: usize = 20_000;

    /// No records yet.
    ///
    /// # Errors
    /// When the ladders have too many sets of levels, or too many values, together.
    pub fn new(ladders: Vec<Ladder>) -> Result<Self, RecordsError> {
        let sets = ladders.iter().try_fold(1_usize, |sets, ladder| sets.checked_mul(ladder.levels()));
        if sets.is_none_or(|sets| sets > Self::MOST_SETS) {
            return Err(RecordsError::TooManySets);
        }
        let values = ladders.iter().try_fold(1_u64, |all, ladder| all.checked_mul(ladder.groups(0) as u64));
        if values.is_none() {
            return Err(RecordsError::TooManyValues);
        }
        Ok(Self { ladders, values: Vec::new() })
    }

    /// Adds a record: for each ladder the number of its value.
    ///
    /// # Errors
    /// When it does not fit the ladders.
    pub fn push(&mut self, values: &[usize]) -> Result<(), RecordsError> {
        let fits = values.len() == self.ladders.len()
            && values.iter().zip(&self.ladders).all(|(value, ladder)| *value < ladder.values());
        if !fits {
            return Err(RecordsError::NoFit);
        }
        self.values.extend(values.iter().map(|value| u32::try_from(*value).unwrap_or(u32::MAX)));
        Ok(())
    }

    /// How many records there are.
    #[must_use]
    pub fn len(&self) -> usize {
        self.values.len().checked_div(self.ladders.len()).unwrap_or(0)
    }

    /// Whether there are none.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.values.is_empty()
    }

    /// The ladders, in their order.
    #[must_use]
    pub fn ladders(&self) -> &[Ladder] {
        &self.ladders
    }

    /// What a record shows of a fact at these levels.
    #[must_use]
    pub fn shown(&self, record: usize, fact: usize, levels: &Levels) -> &str {
        self.ladders[fact].shown(self.row(record)[fact], levels.0[fact])
    }

    /// Everything as it is recorded.
    #[must_use]
    pub fn as_recorded(&self) -> Levels {
        Levels(vec![0; self.ladders.len()])
    }

    /// Everything at the top of its ladder.
    #[must_use]
    pub fn at_the_top(&self) -> Levels {
        Levels(self.ladders.iter().map(|ladder| ladder.levels() - 1).collect())
    }

    fn row(&self, record: usize) -> &[u32] {
        let width = self.ladders.len();
        &self.values[record * width..(record + 1) * width]
    }

    fn rows(&self) -> impl Iterator<Item = &[u32]> {
        self.values.chunks_exact(self.ladders.len().max(1))
    }
}
