//! How far a department's reviewers agree, over its cases.

use super::{Judgement, Step, disagree};
use crate::stats::agreement::{AgreementError, Scale, krippendorff_alpha};

/// Below so many cases with two judgements the agreement is not shown: it would say more about single
/// judgements than about the department. Our own convention.
pub const CASES_AT_LEAST: usize = 5;

/// How many reviews give a mean of this reliability, when one has `single`: the Spearman–Brown formula
/// solved for the number (Spearman, Brown, Br J Psychol 1910;3 (from memory)). Rounded up.
///
/// Both are shares between 0 and 1, without the ends; none otherwise.
#[must_use]
pub fn reviews_needed(single: f64, wanted: f64) -> Option<u32> {
    let share = |value: f64| value > 0.0 && value < 1.0;
    if !share(single) || !share(wanted) {
        return None;
    }
    let needed = (wanted * (1.0 - single)) / (single * (1.0 - wanted));
    // Twelve that came out as 12.000000000000002 are twelve.
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "positive, and far below the limit"
    )]
    (needed < 1e6).then(|| (needed - 1e-9).ceil().max(1.0) as u32)
}

/// The agreement of a department over its cases.
#[derive(Debug, Clone, PartialEq)]
pub struct Agreement {
    /// Cases that at least two reviewers judged, each before seeing any other.
    pub cases: usize,
    /// Their judgements.
    pub judgements: usize,
    /// Cases whose reviewers are far apart.
    pub disagreed: usize,
    /// Krippendorff's alpha over avoidability, as ordered steps.
    pub avoidability: Result<f64, AgreementError>,
    /// The same over care.
    pub care: Result<f64, AgreementError>,
}

impl Agreement {
    /// The agreement over the own judgements of each case; none of fewer than [`CASES_AT_LEAST`] cases
    /// that two reviewers judged.
    #[must_use]
    pub fn of<'j>(cases: impl IntoIterator<Item = &'j Vec<Judgement>>) -> Option<Self> {
        let judged: Vec<&Vec<Judgement>> = cases.into_iter().filter(|given| given.len() >= 2).collect();
        if judged.len() < CASES_AT_LEAST {
            return None;
        }
        #[expect(clippy::cast_precision_loss, reason = "a rank is at most 6")]
        let alpha = |rank: fn(&Judgement) -> usize| {
            let table: Vec<Vec<f64>> =
                judged.iter().map(|given| given.iter().map(|one| rank(one) as f64).collect()).collect();
            krippendorff_alpha(&table, Scale::Ordinal)
        };
        Some(Self {
            cases: judged.len(),
            judgements: judged.iter().map(|given| given.len()).sum(),
            disagreed: judged.iter().filter(|given| disagree(given.iter())).count(),
            avoidability: alpha(|given| given.avoidability.rank()),
            care: alpha(|given| given.care.rank()),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::review::judgement::{Avoidability, Care};

    /// BMJ Qual Saf 2017;26:408: at a reliability of 0.25 twelve reviews are needed for 0.8.
    #[test]
    fn twelve_reviews_are_needed_at_a_reliability_of_a_quarter() {
        assert_eq!(reviews_needed(0.25, 0.8), Some(12));
        assert_eq!(reviews_needed(0.8, 0.8), Some(1));
        // Hayward & Hofer, JAMA 2001;286:415: two reviewers reached 0.34; one then has 0.34 / (2 - 0.34).
        assert_eq!(reviews_needed(0.34 / 1.66, 0.34), Some(2));
        assert!([0.0, 1.0, -0.1, f64::NAN].iter().all(|single| reviews_needed(*single, 0.8).is_none()));
    }

    fn judged(rank: i64) -> Judgement {
        Judgement { avoidability: Avoidability::of_rank(rank).unwrap(), care: Care::AsMost, remark: None }
    }

    #[test]
    fn agreement_is_over_cases_that_two_have_judged() {
        let case = |ranks: &[i64]| ranks.iter().copied().map(judged).collect::<Vec<_>>();
        let four = [case(&[1, 1]), case(&[2, 2]), case(&[3, 3]), case(&[6, 6]), case(&[4])];
        assert_eq!(Agreement::of(&four), None, "one judgement is no agreement");
        let five = [case(&[1, 1]), case(&[2, 2]), case(&[3, 3]), case(&[6, 6]), case(&[4, 4]), case(&[1])];
        let found = Agreement::of(&five).unwrap();
        assert_eq!((found.cases, found.judgements, found.disagreed), (5, 10, 0));
        assert_eq!(found.avoidability, Ok(1.0));
        assert_eq!(found.care, Err(AgreementError::OneCategory), "nobody differed in anything");
        let apart = [case(&[1, 6]), case(&[6, 1]), case(&[1, 6]), case(&[6, 1]), case(&[1, 6])];
        let found = Agreement::of(&apart).unwrap();
        assert_eq!(found.disagreed, 5);
        assert!(found.avoidability.unwrap() < 0.0, "less than chance");
    }
}
