//! Which cases an account may see: the one rule that lists, pages, files and meetings follow.

use super::stored::StoredCase;
use super::words::Stage;
use crate::accounts::{Role, User};

/// The cases that are open to somebody's eyes.
///
/// Counts and rates are made from every case and show numbers alone; whatever shows a case, or words of
/// one, asks here or, in SQL, [`super::store::push_sight`].
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sight {
    /// Every case: who signs and keeps.
    All,
    /// What this account recorded, and what was presented.
    OwnAndPresented(i64),
    /// What was presented.
    Presented,
}

impl Sight {
    /// What an account sees.
    #[must_use]
    pub const fn of(user: &User) -> Self {
        match user.role {
            Role::Attending | Role::QualityLead => Self::All,
            Role::Fellow => Self::OwnAndPresented(user.id),
            Role::Reader => Self::Presented,
        }
    }

    /// Whether a case in this stage, recorded by this account, is seen.
    #[must_use]
    pub fn sees(self, stage: Stage, recorded_by: Option<i64>) -> bool {
        match self {
            Self::All => true,
            Self::OwnAndPresented(user) => recorded_by == Some(user) || is_presented(stage),
            Self::Presented => is_presented(stage),
        }
    }

    /// Whether this case is seen.
    #[must_use]
    pub fn sees_case(self, case: &StoredCase) -> bool {
        self.sees(case.head.stage, case.recorded_by)
    }
}

/// Whether a case in this stage was shown to the department.
#[must_use]
pub const fn is_presented(stage: Stage) -> bool {
    matches!(stage, Stage::Presented | Stage::Closed)
}

#[cfg(test)]
mod tests {
    use super::Sight;
    use crate::case::Stage;

    #[test]
    fn each_sight_sees_what_the_design_gives_it() {
        let (own, other) = (Some(7), Some(8));
        for stage in Stage::ALL.iter().copied() {
            let presented = matches!(stage, Stage::Presented | Stage::Closed);
            for by in [own, other, None] {
                assert!(Sight::All.sees(stage, by));
                assert_eq!(Sight::OwnAndPresented(7).sees(stage, by), presented || by == own);
                assert_eq!(Sight::Presented.sees(stage, by), presented);
            }
        }
    }
}
