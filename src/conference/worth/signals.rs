//! Signals in the rates that speak for showing a mechanism now.

use std::collections::{BTreeMap, BTreeSet};

use crate::case::Month;
use crate::rates::{Inputs, Period, Subject, followed};
use crate::vocabulary::{MechanismSlug, Vocabulary};

/// A signal counts when the months that it is about ended within so many months.
pub const WITHIN: i64 = 12;

/// The months over which the charts look back: as long as a period can be, so that the usual baseline
/// stays where it is.
#[must_use]
pub fn window(today: Month) -> Period {
    let from = today.plus(1 - Period::MOST_MONTHS);
    Period::new(from, today).unwrap_or_else(|_| Period::of_one(today))
}

/// For each of these mechanisms whose chart speaks for more events of late: its last such signal, in a
/// few words. All is worked out from counts that are at hand.
#[must_use]
pub fn recent(
    vocabulary: &Vocabulary,
    inputs: &Inputs,
    baselines: &BTreeMap<Subject, Period>,
    today: Month,
    mechanisms: &BTreeSet<MechanismSlug>,
) -> BTreeMap<MechanismSlug, String> {
    let since = today.plus(-WITHIN);
    let told = |mechanism: &MechanismSlug| {
        let subject = Subject::Mechanism(mechanism.clone());
        let fixed = baselines.get(&subject).copied();
        let (_, judged) = followed(vocabulary, inputs, fixed, window(today), &subject)?.ok()?;
        let late = judged.signals.into_iter().rev().find(|found| {
            found.worse == Some(true) && found.months.is_some_and(|months| months.to() >= since)
        })?;
        Some((mechanism.clone(), late.headline))
    };
    mechanisms.iter().filter_map(told).collect()
}
