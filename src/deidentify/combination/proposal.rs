//! The least general levels at which every record is one of k.

use super::{Levels, Records};

/// Levels at which all records, but for a few that are left out, are each one of at least k.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Proposal {
    /// How high each fact stands.
    pub levels: Levels,
    /// How many records are still in smaller classes and have to be left out.
    pub left_out: usize,
    /// How much is lost: the mean height of the levels on their ladders, in thousandths.
    pub loss: usize,
}

impl Records {
    /// The least general levels, none of them below `floor`, at which at most so many records are in
    /// classes with fewer than k. Of those that lose equally much, the first in the order of
    /// their levels. `None` when not even the tops of the ladders reach that.
    #[must_use]
    pub fn propose(&self, k: usize, floor: &Levels, left_out_at_most: usize) -> Option<Proposal> {
        let passes = |levels: &Levels| self.under(levels, k) <= left_out_at_most;
        let mut best = self.at_the_top();
        if !passes(&best) {
            return None;
        }
        // Down from the top while it passes: a first answer, so that few sets are left to look at.
        while let Some(lower) = self.steps_down(&best, floor).into_iter().find(|levels| passes(levels)) {
            best = lower;
        }
        // All that lose less, the most general first: what fails there fails further down as well,
        // because classes only grow when a fact is told more generally.
        let mut rest: Vec<(u64, Levels)> =
            self.sets(floor).into_iter().map(|set| (self.weight(&set), set)).collect();
        rest.sort_unstable_by(|one, other| other.cmp(one));
        let mut best = (self.weight(&best), best);
        let mut failed: Vec<Levels> = Vec::new();
        for set in rest {
            if set >= best || failed.iter().any(|failed| failed.covers(&set.1)) {
                continue;
            }
            if passes(&set.1) {
                best = set;
            } else {
                failed.push(set.1);
            }
        }
        let (_, levels) = best;
        Some(Proposal { left_out: self.under(&levels, k), loss: self.loss(&levels), levels })
    }

    /// How much a set of levels loses: the mean height on the ladders, each counted as often as its fact is
    /// worth, in thousandths.
    #[must_use]
    pub fn loss(&self, levels: &Levels) -> usize {
        let whole = self.weight(&self.at_the_top()).max(1);
        usize::try_from(self.weight(levels) * 1000 / whole).unwrap_or(1000)
    }

    /// The sum of the heights on the ladders, over a denominator that all share.
    pub(super) fn weight(&self, levels: &Levels) -> u64 {
        let heights =
            || self.ladders.iter().map(|ladder| ladder.levels() as u64 - 1).filter(|height| *height > 0);
        let common = heights().fold(1, least_common_multiple);
        let each = self.ladders.iter().zip(&levels.0).filter(|(ladder, _)| ladder.levels() > 1);
        each.map(|(ladder, level)| ladder.times() * *level as u64 * (common / (ladder.levels() as u64 - 1)))
            .sum()
    }

    /// The sets one step less general that are not below the floor, the one that loses least first.
    fn steps_down(&self, from: &Levels, floor: &Levels) -> Vec<Levels> {
        let mut steps: Vec<Levels> = (0..from.0.len())
            .filter(|&fact| from.0[fact] > floor.0[fact])
            .map(|fact| {
                let mut lower = from.clone();
                lower.0[fact] -= 1;
                lower
            })
            .collect();
        steps.sort_by_key(|levels| self.weight(levels));
        steps
    }

    /// Every set of levels that is not below the floor.
    pub(super) fn sets(&self, floor: &Levels) -> Vec<Levels> {
        let mut sets = vec![Levels(Vec::new())];
        for (ladder, low) in self.ladders.iter().zip(&floor.0) {
            sets = sets
                .iter()
                .flat_map(|set| {
                    (*low..ladder.levels())
                        .map(|level| Levels(set.0.iter().copied().chain([level]).collect()))
                })
                .collect();
        }
        sets
    }
}

fn least_common_multiple(one: u64, other: u64) -> u64 {
    let (mut a, mut b) = (one, other);
    while b > 0 {
        (a, b) = (b, a % b);
    }
    one / a * other
}
