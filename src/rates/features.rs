//! Which features go with a mechanism rather than with another: odds ratios among complicated cases,
//! corrected for how many were looked at, and rates where the procedures with a feature are counted.

use crate::case::traits::Trait;
use crate::stats::association::{OddsRatio, Table, odds_ratio};
use crate::stats::many::benjamini_hochberg;
use crate::stats::proportion::{Count, Level};

/// Cases with and without a feature, of a subject or of all complications.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Split {
    /// Cases in which the feature holds.
    pub with: u64,
    /// Cases in which it does not.
    pub without: u64,
}

impl Split {
    /// The split of one feature in what the store counted.
    #[must_use]
    pub fn of(counted: &[(Trait, bool, u64)], feature: Trait) -> Self {
        let cases = |holds| {
            counted
                .iter()
                .filter(|(one, held, _)| *one == feature && *held == holds)
                .map(|(_, _, cases)| cases)
                .sum()
        };
        Self { with: cases(true), without: cases(false) }
    }
}

/// How a feature goes with a mechanism.
#[derive(Debug, Clone, PartialEq)]
pub struct Feature {
    /// The feature.
    pub feature: Trait,
    /// Cases with the mechanism.
    pub cases: Split,
    /// The other complicated cases.
    pub others: Split,
    /// The conditional odds ratio with its exact limits.
    pub odds_ratio: OddsRatio,
    /// The mid-P value, adjusted for how many features were looked at.
    pub adjusted_p: f64,
    /// Rates with and without it, where the procedures are counted.
    pub rates: Option<FeatureRates>,
}

/// Rates where procedures with a feature are counted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct FeatureRates {
    /// Among procedures with the feature.
    pub with: Count,
    /// Among the others.
    pub without: Count,
}

/// The fewest cases that speak of a feature, on each side, for it to be looked at: below, an interval
/// spans everything, and each feature looked at weakens the others (our own choice).
pub const FEWEST_ON_A_SIDE: u64 = 5;

/// An association stands when its adjusted p is below this: of those that stand, one in twenty is
/// expected to be chance.
pub const STANDS_BELOW: f64 = 0.05;

impl Feature {
    /// Whether it stands after the correction.
    #[must_use]
    pub fn stands(&self) -> bool {
        self.adjusted_p < STANDS_BELOW
    }
}

/// The features that can be looked at, in their order, and those that cannot, because on one side
/// too few cases speak of them ([`FEWEST_ON_A_SIDE`]).
///
/// `of_subject` and `of_all` are cases by feature of the mechanism and of any complication;
/// `rates` gives rates by feature where there are any.
#[must_use]
pub fn features(
    of_subject: &[(Trait, bool, u64)],
    of_all: &[(Trait, bool, u64)],
    rates: impl Fn(Trait, Split) -> Option<FeatureRates>,
) -> (Vec<Feature>, Vec<Trait>) {
    let mut looked_at = Vec::new();
    let mut silent = Vec::new();
    for &feature in Trait::ALL.iter().filter(|feature| feature.group().is_some()) {
        let cases = Split::of(of_subject, feature);
        let all = Split::of(of_all, feature);
        let others = Split {
            with: all.with.saturating_sub(cases.with),
            without: all.without.saturating_sub(cases.without),
        };
        let speak = |split: Split| split.with + split.without >= FEWEST_ON_A_SIDE;
        let found = (speak(cases) && speak(others)).then_some(()).and_then(|()| {
            Table::new([cases.with, cases.without, others.with, others.without])
                .ok()
                .and_then(|table| odds_ratio(table, Level::NINETY_FIVE).ok())
        });
        match found {
            Some(odds_ratio) => looked_at.push((feature, cases, others, odds_ratio)),
            None => silent.push(feature),
        }
    }
    let p: Vec<f64> = looked_at.iter().map(|(.., odds_ratio)| odds_ratio.p_mid()).collect();
    let adjusted = benjamini_hochberg(&p).unwrap_or(p);
    let features = looked_at
        .into_iter()
        .zip(adjusted)
        .map(|((feature, cases, others, odds_ratio), adjusted_p)| Feature {
            feature,
            cases,
            others,
            odds_ratio,
            adjusted_p,
            rates: rates(feature, cases),
        })
        .collect();
    (features, silent)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_feature_is_compared_with_the_other_complicated_cases() {
        let subject = [(Trait::Calcified, true, 8), (Trait::Calcified, false, 2), (Trait::Radial, true, 5)];
        let all = [
            (Trait::Calcified, true, 20),
            (Trait::Calcified, false, 30),
            (Trait::Radial, true, 40),
            (Trait::Ostial, false, 9),
        ];
        let (found, silent) = features(&subject, &all, |_, _| None);
        assert_eq!(found.len(), 1, "the others have no case on one side");
        assert_eq!(found[0].others, Split { with: 12, without: 28 });
        // 8·28/(2·12) = 9.33 as the sample odds ratio; the conditional one lies nearer to 1.
        let estimate = found[0].odds_ratio.conditional().unwrap();
        assert!((5.0..9.33).contains(&estimate), "{estimate}");
        assert!(silent.contains(&Trait::Radial) && silent.contains(&Trait::Ostial));
    }

    #[test]
    fn what_only_tells_strata_apart_is_no_feature() {
        let counts = [(Trait::Stent, true, 8), (Trait::Stent, false, 2)];
        let all = [(Trait::Stent, true, 20), (Trait::Stent, false, 30)];
        let (found, silent) = features(&counts, &all, |_, _| None);
        assert!(found.is_empty() && !silent.contains(&Trait::Stent));
    }

    #[test]
    fn looking_at_more_features_makes_each_stand_less_easily() {
        let subject = [(Trait::Calcified, true, 8), (Trait::Calcified, false, 2)];
        let all = [(Trait::Calcified, true, 20), (Trait::Calcified, false, 30)];
        let alone = features(&subject, &all, |_, _| None).0[0].adjusted_p;
        let more: Vec<_> =
            subject.into_iter().chain([(Trait::Femoral, true, 5), (Trait::Femoral, false, 5)]).collect();
        let more_all: Vec<_> =
            all.into_iter().chain([(Trait::Femoral, true, 25), (Trait::Femoral, false, 25)]).collect();
        let beside = features(&more, &more_all, |_, _| None);
        assert_eq!(beside.0.len(), 2);
        assert!(beside.0[0].adjusted_p > alone * 1.5);
    }
}
