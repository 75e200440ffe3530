//! One record among the others: how many look like it at every set of levels.

use super::{Levels, Records};

/// A record with the number of records like it, itself included, at every set of levels.
#[derive(Debug, Clone)]
pub struct OneRecord {
    /// How many levels each ladder has.
    levels: Vec<usize>,
    /// The numbers, the last ladder's level varying quickest.
    sizes: Vec<usize>,
}

/// What hiding one fact alone would do for a record.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Telling {
    /// The fact, by the number of its ladder.
    pub fact: usize,
    /// How many records would look like it, itself included.
    pub hidden: usize,
}

impl Records {
    /// A record among the others.
    #[must_use]
    pub fn one(&self, record: usize) -> OneRecord {
        let levels: Vec<usize> = self.ladders.iter().map(super::Ladder::levels).collect();
        let mut one = OneRecord { sizes: vec![0; levels.iter().product()], levels };
        let own = self.row(record);
        for row in self.rows() {
            // Two records look alike from the levels on where each fact meets, and at all above.
            let meeting: Option<Vec<usize>> = self
                .ladders
                .iter()
                .zip(own.iter().zip(row))
                .map(|(ladder, (own, other))| ladder.meeting(*own, *other))
                .collect();
            if let Some(meeting) = meeting {
                let place = one.place(&meeting);
                one.sizes[place] += 1;
            }
        }
        one.add_up();
        one
    }

    /// The least general levels, none below `floor`, at which a record is one of at least k.
    #[must_use]
    pub fn propose_for(&self, one: &OneRecord, k: usize, floor: &Levels) -> Option<Levels> {
        let reached = self.sets(floor).into_iter().filter(|set| one.size(set) >= k);
        reached.min_by_key(|set| (self.weight(set), set.clone()))
    }
}

impl OneRecord {
    /// How many records look like it at these levels, itself included.
    #[must_use]
    pub fn size(&self, levels: &Levels) -> usize {
        self.sizes[self.place(&levels.0)]
    }

    /// What hiding each fact that is not hidden yet would do, what helps most first.
    #[must_use]
    pub fn telling(&self, levels: &Levels) -> Vec<Telling> {
        let mut all: Vec<Telling> = (0..self.levels.len())
            .filter(|&fact| levels.0[fact] + 1 < self.levels[fact])
            .map(|fact| {
                let mut without = levels.clone();
                without.0[fact] = self.levels[fact] - 1;
                Telling { fact, hidden: self.size(&without) }
            })
            .collect();
        all.sort_by_key(|telling| (std::cmp::Reverse(telling.hidden), telling.fact));
        all
    }

    fn place(&self, levels: &[usize]) -> usize {
        self.levels.iter().zip(levels).fold(0, |place, (count, level)| place * count + level)
    }

    /// From the records that meet at exactly these levels to those that meet there or below.
    fn add_up(&mut self) {
        let mut stride = 1;
        for count in self.levels.iter().rev().copied() {
            for place in 0..self.sizes.len() {
                if place / stride % count > 0 {
                    self.sizes[place] += self.sizes[place - stride];
                }
            }
            stride *= count;
        }
    }
}
