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
    /// What this account recorded, and what was presented and is not held back.
    OwnAndPresented(i64),
    /// What was presented and is not held back.
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

    /// Whether a case in this stage, recorded by this account, is seen. One that is held back because it
    /// may hold identifiers is seen by those alone who can settle them.
    #[must_use]
    pub fn sees(self, stage: Stage, recorded_by: Option<i64>, held: bool) -> bool {
        let shown = is_presented(stage) && !held;
        match self {
            Self::All => true,
            Self::OwnAndPresented(user) => recorded_by == Some(user) || shown,
            Self::Presented => shown,
        }
    }

    /// Whether this case is seen.
    #[must_use]
    pub fn sees_case(self, case: &StoredCase) -> bool {
        self.sees(case.head.stage, case.recorded_by, case.is_held())
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
            for (by, held) in [own, other, None].into_iter().flat_map(|by| [(by, false), (by, true)]) {
                let shown = presented && !held;
                assert!(Sight::All.sees(stage, by, held));
                assert_eq!(Sight::OwnAndPresented(7).sees(stage, by, held), shown || by == own);
                assert_eq!(Sight::Presented.sees(stage, by, held), shown);
            }
        }
    }
}
