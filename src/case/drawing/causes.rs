//! The causes of a case by their class, on the way to what happened.

use crate::case::reading::Reading;
use crate::case::stored::StoredCase;
use crate::case::words::Weight;
use crate::figure::cause::CauseWeight;
use crate::figure::cause_effect::{Cause, CauseClass, CauseEffect};
use crate::figure::chain::ChainCause;
use crate::vocabulary::Vocabulary;

const fn weight(weight: Weight) -> CauseWeight {
    match weight {
        Weight::Root => CauseWeight::Root,
        Weight::Contributing => CauseWeight::Contributing,
        Weight::Incidental => CauseWeight::Incidental,
    }
}

/// The cause-and-effect diagram of a case; none without a cause. It leads to the first harm, or to the
/// title of a case that has none yet.
#[must_use]
pub fn cause_effect(case: &StoredCase, vocabulary: &Vocabulary, reading: &Reading) -> Option<CauseEffect> {
    if case.causes.is_empty() {
        return None;
    }
    let effect = case
        .complications
        .first()
        .map_or_else(|| case.head.title.to_string(), |row| super::complication_words(&row.value, vocabulary));
    let classes = vocabulary
        .cause_branches
        .iter()
        .map(|branch| CauseClass {
            label: branch.label.clone(),
            causes: case
                .causes
                .iter()
                .filter(|row| {
                    vocabulary.cause(&row.value.cause).is_some_and(|leaf| leaf.branch == branch.slug)
                })
                .map(|row| Cause {
                    label: vocabulary.cause_label(&row.value.cause),
                    weight: weight(row.value.weight),
                    events: row.value.shown_by.iter().filter_map(|key| reading.number(key)).collect(),
                })
                .collect(),
        })
        .collect();
    Some(CauseEffect { effect, classes })
}

/// The causes as the chain of harms carries them: each into the harm that it led to by the first event that
/// shows it, or beside the chain where no event shows it yet.
#[must_use]
pub fn chain_causes(case: &StoredCase, vocabulary: &Vocabulary, reading: &Reading) -> Vec<ChainCause> {
    let began: Vec<Option<u32>> = case
        .complications
        .iter()
        .map(|row| row.value.began.as_ref().and_then(|key| reading.number(key)))
        .collect();
    case.causes
        .iter()
        .map(|row| {
            let shown = row.value.shown_by.iter().filter_map(|key| reading.number(key)).min();
            ChainCause {
                label: vocabulary.cause_label(&row.value.cause),
                weight: weight(row.value.weight),
                harm: shown.and_then(|shown| led_to(shown, &began)),
            }
        })
        .collect()
}

/// The harm that a cause which shows at an event led to: the first that began at this event or later, since
/// a cause comes before what it leads to; else the last one.
fn led_to(shown: u32, began: &[Option<u32>]) -> Option<usize> {
    let numbered = || began.iter().enumerate().filter_map(|(index, began)| Some((index, (*began)?)));
    let next = numbered().filter(|(_, began)| *began >= shown).min_by_key(|(_, began)| *began);
    next.or_else(|| numbered().max_by_key(|(_, began)| *began)).map(|(index, _)| index)
}

#[cfg(test)]
mod tests {
    use super::led_to;

    #[test]
    fn a_cause_leads_to_the_next_harm_that_began() {
        let began = [Some(4), None, Some(9)];
        assert_eq!(led_to(2, &began), Some(0));
        assert_eq!(led_to(4, &began), Some(0), "at the very event");
        assert_eq!(led_to(5, &began), Some(2));
        assert_eq!(led_to(12, &began), Some(2), "nothing begins later");
        assert_eq!(led_to(1, &[None, None]), None);
    }
}
