//! The middle of judgements on an ordered scale.

/// The middle of judgements. Steps are ordered but have no distance, so there is no mean of two:
/// where the two judgements in the middle differ, the median is between them, and is said so.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Median {
    /// This step, by its index.
    At(usize),
    /// Between these two steps, the lower first.
    Between(usize, usize),
}

impl Median {
    /// Of the counts of the steps, from the least to the most; `None` without a judgement.
    #[must_use]
    pub fn of(counts: &[u32]) -> Option<Self> {
        let all: u64 = counts.iter().map(|&count| u64::from(count)).sum();
        // The ranks of the two in the middle, which are one for an odd number.
        let (low, high) = (step_of(counts, all.checked_sub(1)? / 2)?, step_of(counts, all / 2)?);
        Some(if low == high { Self::At(low) } else { Self::Between(low, high) })
    }

    /// The step, twice, or the two steps.
    #[must_use]
    pub const fn steps(self) -> (usize, usize) {
        match self {
            Self::At(step) => (step, step),
            Self::Between(low, high) => (low, high),
        }
    }
}

/// The step of the judgement with a rank, counted from 0.
fn step_of(counts: &[u32], rank: u64) -> Option<usize> {
    let mut before = 0;
    counts.iter().position(|&count| {
        before += u64::from(count);
        before > rank
    })
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;
    use Median::{At, Between};

    #[test]
    fn the_median_is_a_step_or_lies_between_two() {
        for (counts, median) in [
            (&[][..], None),
            (&[0, 0], None),
            (&[0, 1, 0], Some(At(1))),
            (&[1, 0, 1], Some(Between(0, 2))),
            (&[1, 1, 1], Some(At(1))),
            (&[2, 1, 1], Some(Between(0, 1))),
            (&[3, 1, 1], Some(At(0))),
            (&[0, 2, 2, 0], Some(Between(1, 2))),
            (&[u32::MAX, u32::MAX], Some(Between(0, 1))),
        ] {
            assert_eq!(Median::of(counts), median, "{counts:?}");
        }
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        /// Against the judgements written out and sorted.
        #[test]
        fn it_is_the_middle_of_the_sorted_judgements(counts in prop::collection::vec(0..6_u32, 1..7)) {
            let sorted: Vec<usize> =
                counts.iter().enumerate().flat_map(|(step, &count)| vec![step; count as usize]).collect();
            let middle = if sorted.is_empty() {
                None
            } else {
                Some((sorted[(sorted.len() - 1) / 2], sorted[sorted.len() / 2]))
            };
            prop_assert_eq!(Median::of(&counts).map(Median::steps), middle);
        }
    }
}
