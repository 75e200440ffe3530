//! The numerators: cases by month, for the whole, for each branch and for each mechanism.
//!
//! A case counts once in each. A chain of harms counts once for each of its mechanisms, once for
//! each branch they belong to, and once for the whole; so the whole is no sum of its parts.

use std::collections::BTreeMap;

use super::line::Subject;
use crate::case::Month;
use crate::vocabulary::MechanismSlug;

/// Cases by month; a month without one is absent.
pub type ByMonth = BTreeMap<Month, u32>;

static NONE: ByMonth = ByMonth::new();

/// Cases by month, for the whole, the branches and the mechanisms. What has none is empty.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Counts {
    pub(super) whole: ByMonth,
    pub(super) branches: BTreeMap<String, ByMonth>,
    pub(super) mechanisms: BTreeMap<MechanismSlug, ByMonth>,
}

impl Counts {
    /// The cases of one subject alone.
    #[must_use]
    pub fn of(subject: &Subject, months: ByMonth) -> Self {
        match subject {
            Subject::Whole => Self { whole: months, ..Self::default() },
            Subject::Branch(slug) => {
                Self { branches: BTreeMap::from([(slug.clone(), months)]), ..Self::default() }
            }
            Subject::Mechanism(slug) => {
                Self { mechanisms: BTreeMap::from([(slug.clone(), months)]), ..Self::default() }
            }
        }
    }

    /// Cases of a subject.
    #[must_use]
    pub fn subject(&self, subject: &Subject) -> &ByMonth {
        match subject {
            Subject::Whole => self.whole(),
            Subject::Branch(slug) => self.branch(slug),
            Subject::Mechanism(slug) => self.mechanism(slug),
        }
    }

    /// Cases with any complication.
    #[must_use]
    pub const fn whole(&self) -> &ByMonth {
        &self.whole
    }

    /// Cases with a complication of this branch.
    #[must_use]
    pub fn branch(&self, slug: &str) -> &ByMonth {
        self.branches.get(slug).unwrap_or(&NONE)
    }

    /// Cases with a complication of this mechanism.
    #[must_use]
    pub fn mechanism(&self, slug: &MechanismSlug) -> &ByMonth {
        self.mechanisms.get(slug).unwrap_or(&NONE)
    }
}
