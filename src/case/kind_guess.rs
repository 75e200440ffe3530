//! What sort of event some words tell of, where the list's own words make it plain.

use std::collections::BTreeSet;

use super::words::EventKind;

/// The kind whose label and everyday words meet most of these words; `None` when none does, or two do
/// equally well. A guess to be looked at, never a classification.
#[must_use]
pub fn guess_kind(text: &str) -> Option<EventKind> {
    let said: BTreeSet<String> = tokens(text).collect();
    let mut scores: Vec<(Score, EventKind)> = EventKind::ALL
        .iter()
        .map(|&kind| (score(&said, kind), kind))
        .filter(|(score, _)| score.met > 0)
        .collect();
    scores.sort_by_key(|(score, _)| std::cmp::Reverse(*score));
    match scores.as_slice() {
        [(best, _), (next, _), ..] if best == next => None,
        [(_, kind), ..] => Some(*kind),
        [] => None,
    }
}

/// How well a kind fits: words met, then how much of its label.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
struct Score {
    met: usize,
    label_in_100: usize,
}

fn score(said: &BTreeSet<String>, kind: EventKind) -> Score {
    let label: Vec<String> = tokens(kind.label()).collect();
    let all: BTreeSet<String> = label.iter().cloned().chain(tokens(kind.synonyms())).collect();
    // `deployed` meets `deploy`; two letters have to be the whole word.
    let meets = |own: &String| {
        said.iter().any(|word| word == own || (own.len() >= 4 && word.starts_with(own.as_str())))
    };
    let of_label = label.iter().filter(|word| meets(word)).count();
    Score {
        met: all.iter().filter(|word| meets(word)).count(),
        label_in_100: of_label * 100 / label.len().max(1),
    }
}

fn tokens(text: &str) -> impl Iterator<Item = String> {
    text.split(|c: char| !c.is_alphanumeric()).filter(|word| word.len() > 1).map(str::to_lowercase)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn plain_words_give_their_kind_and_others_none() {
        let rows = [
            ("Covered stent deployed", Some(EventKind::Stent)),
            ("Predilatation 2.5 mm balloon at 12 atm", Some(EventKind::Balloon)),
            ("Wire position lost", Some(EventKind::WirePositionLost)),
            ("Workhorse wire advanced to the distal LAD", Some(EventKind::Wire)),
            ("Heparin 5000 U", Some(EventKind::Drug)),
            ("Called the surgeon", Some(EventKind::Help)),
            ("TIMI 3 restored", Some(EventKind::Flow)),
            ("Radial puncture, 6 Fr sheath", Some(EventKind::Access)),
            ("Chest pain", Some(EventKind::Symptom)),
            ("ST elevation V2 to V4", Some(EventKind::Ecg)),
            ("", None),
            ("Coffee", None),
        ];
        for (words, kind) in rows {
            assert_eq!(guess_kind(words), kind, "{words}");
        }
    }
}
