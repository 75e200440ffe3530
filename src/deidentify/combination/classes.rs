//! Records that look alike.

use std::collections::HashMap;

use super::{Levels, Records};

/// The classes of records that share all that is shown of them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Classes {
    /// For each record, its class.
    class_of: Vec<usize>,
    /// For each class, how many records it has.
    sizes: Vec<usize>,
    /// For each class, its first record.
    first: Vec<usize>,
}

impl Classes {
    /// The class of a record.
    #[must_use]
    pub fn of(&self, record: usize) -> usize {
        self.class_of[record]
    }

    /// How many records look like this one, itself included.
    #[must_use]
    pub fn size_of(&self, record: usize) -> usize {
        self.sizes[self.class_of[record]]
    }

    /// How many records each class has.
    #[must_use]
    pub fn sizes(&self) -> &[usize] {
        &self.sizes
    }

    /// The first record of a class.
    #[must_use]
    pub fn first(&self, class: usize) -> usize {
        self.first[class]
    }

    /// The k of the whole: the size of the smallest class; `None` without records.
    #[must_use]
    pub fn k(&self) -> Option<usize> {
        self.sizes.iter().copied().min()
    }

    /// The classes with fewer than k records, the smallest first.
    #[must_use]
    pub fn under(&self, k: usize) -> Vec<usize> {
        let mut small: Vec<usize> = (0..self.sizes.len()).filter(|&class| self.sizes[class] < k).collect();
        small.sort_by_key(|&class| (self.sizes[class], class));
        small
    }

    /// How many records are in classes with fewer than k.
    #[must_use]
    pub fn records_under(&self, k: usize) -> usize {
        self.sizes.iter().filter(|size| **size < k).sum()
    }

    /// The records of each class, in the order of the records.
    #[must_use]
    pub fn members(&self) -> Vec<Vec<usize>> {
        let mut members = vec![Vec::new(); self.sizes.len()];
        for (record, class) in self.class_of.iter().enumerate() {
            members[*class].push(record);
        }
        members
    }
}

/// Up to so many combinations are counted in a table rather than sorted.
const TABLE: u64 = 1 << 20;

impl Records {
    /// The classes at these levels, numbered in the order of their first records.
    #[must_use]
    pub fn classes(&self, levels: &Levels) -> Classes {
        let mut numbers: HashMap<u64, usize> = HashMap::new();
        let mut classes =
            Classes { class_of: Vec::with_capacity(self.len()), sizes: Vec::new(), first: Vec::new() };
        for (record, code) in self.codes(levels).into_iter().enumerate() {
            let class = *numbers.entry(code).or_insert_with(|| {
                classes.sizes.push(0);
                classes.first.push(record);
                classes.sizes.len() - 1
            });
            classes.sizes[class] += 1;
            classes.class_of.push(class);
        }
        classes
    }

    /// How many records are in classes with fewer than k at these levels; as
    /// [`Classes::records_under`], without numbering the classes.
    pub(super) fn under(&self, levels: &Levels, k: usize) -> usize {
        let combinations: u64 =
            self.ladders.iter().zip(&levels.0).map(|(ladder, level)| ladder.groups(*level) as u64).product();
        let mut codes = self.codes(levels);
        if combinations <= TABLE {
            let mut counts = vec![0_usize; usize::try_from(combinations).unwrap_or(0)];
            for code in codes {
                counts[usize::try_from(code).unwrap_or(0)] += 1;
            }
            return counts.into_iter().filter(|count| *count < k).sum();
        }
        codes.sort_unstable();
        codes.chunk_by(|one, other| one == other).map(<[u64]>::len).filter(|size| *size < k).sum()
    }

    /// A number for what is shown of each record: the same for those that look alike.
    fn codes(&self, levels: &Levels) -> Vec<u64> {
        let mut codes = vec![0_u64; self.len()];
        for (fact, (ladder, level)) in self.ladders.iter().zip(&levels.0).enumerate() {
            let groups = ladder.groups(*level) as u64;
            if groups == 1 {
                continue;
            }
            for (code, row) in codes.iter_mut().zip(self.rows()) {
                *code = *code * groups + u64::from(ladder.group(row[fact], *level));
            }
        }
        codes
    }
}
