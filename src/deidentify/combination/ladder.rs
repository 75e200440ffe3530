//! The ways to tell one fact, from as recorded to hidden.

use std::collections::BTreeMap;

/// Why steps are no ladder.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum LadderError {
    /// It has no level.
    #[error("A ladder has at least one level.")]
    Empty,
    /// A value is not told at every level.
    #[error("Each value is told at each level.")]
    Uneven,
    /// Two values that a level tells alike are told apart further up.
    #[error("What one level tells alike, no level above tells apart.")]
    Parts,
}

/// A fact with the ways to tell it; each level tells alike at least what the one below it does.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Ladder {
    /// For each level and each value, the group it falls into there.
    group_of: Vec<Vec<u32>>,
    /// For each level, what is shown of each group.
    shown: Vec<Vec<String>>,
    values: usize,
    /// How many times its height counts in what is lost.
    worth: u32,
}

impl Ladder {
    /// A ladder from its values: for each, what is shown of it at each level from the lowest on.
    ///
    /// # Errors
    /// When there is no level, a value lacks one, or a level tells apart what one below tells alike.
    pub fn new(levels: usize, values: &[Vec<String>]) -> Result<Self, LadderError> {
        if levels == 0 {
            return Err(LadderError::Empty);
        }
        if values.iter().any(|value| value.len() != levels) {
            return Err(LadderError::Uneven);
        }
        let mut ladder = Self { group_of: Vec::new(), shown: Vec::new(), values: values.len(), worth: 1 };
        for level in 0..levels {
            let mut numbers: BTreeMap<&str, u32> = BTreeMap::new();
            let mut shown = Vec::new();
            let groups: Vec<u32> = values
                .iter()
                .map(|value| {
                    *numbers.entry(&value[level]).or_insert_with(|| {
                        shown.push(value[level].clone());
                        u32::try_from(shown.len() - 1).unwrap_or(u32::MAX)
                    })
                })
                .collect();
            ladder.group_of.push(groups);
            ladder.shown.push(shown);
        }
        let parts = (1..levels).any(|level| {
            let mut above: BTreeMap<u32, u32> = BTreeMap::new();
            ladder.group_of[level - 1]
                .iter()
                .zip(&ladder.group_of[level])
                .any(|(below, own)| *above.entry(*below).or_insert(*own) != *own)
        });
        if parts { Err(LadderError::Parts) } else { Ok(ladder) }
    }

    /// The ladder of a fact that is worth more than others: its height counts so many times in what a set
    /// of levels loses.
    #[must_use]
    pub fn worth(self, times: u32) -> Self {
        Self { worth: times, ..self }
    }

    /// How many times its height counts.
    pub(super) const fn times(&self) -> u64 {
        self.worth as u64
    }

    /// How many levels it has.
    #[must_use]
    pub fn levels(&self) -> usize {
        self.group_of.len()
    }

    /// How many values it has.
    #[must_use]
    pub const fn values(&self) -> usize {
        self.values
    }

    /// How many groups a level tells apart; at least 1.
    pub(super) fn groups(&self, level: usize) -> usize {
        self.shown[level].len().max(1)
    }

    pub(super) fn group(&self, value: u32, level: usize) -> u32 {
        self.group_of[level][value as usize]
    }

    pub(super) fn shown(&self, value: u32, level: usize) -> &str {
        &self.shown[level][self.group(value, level) as usize]
    }

    /// The lowest level that tells two values alike.
    pub(super) fn meeting(&self, one: u32, other: u32) -> Option<usize> {
        (0..self.levels()).find(|&level| self.group(one, level) == self.group(other, level))
    }
}
