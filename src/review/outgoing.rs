//! The last look before anything is presented, printed or handed out: what in a whole document may
//! identify somebody.
//!
//! The words of each case were looked through when they were saved. A document also holds what stands in
//! no case (notes of a meeting, a line that a presenter wrote) and what comes from other cases.

pub mod store;

use crate::case::identifier::Dismissal;
use crate::case::{Day, Month};
use crate::deidentify::{Confidence, Kind, OwnWords, suspect_with};

/// Words of a document that surely look like an identifier.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Unsettled {
    /// The words.
    pub words: String,
    /// What they may be, as a person reads it.
    pub kind: &'static str,
    /// The day that they name, which the record may hold on purpose: a meeting's, a due day.
    pub day: Option<Day>,
}

/// What in these texts surely looks like an identifier and was not dismissed; the same words once. Months of
/// years stand in documents on purpose, as the record writes them.
#[must_use]
pub fn unsettled<'a>(
    texts: impl IntoIterator<Item = &'a str>,
    own: &OwnWords,
    dismissals: &[Dismissal],
) -> Vec<Unsettled> {
    let mut found: Vec<Unsettled> = Vec::new();
    for text in texts {
        for suspicion in suspect_with(text, own) {
            let words = text.get(suspicion.span.clone()).unwrap_or_default();
            let is_new = !found.iter().any(|other| other.words == words);
            let is_sure = suspicion.confidence == Confidence::High;
            if !is_new || !is_sure || (suspicion.kind == Kind::Date && month_of(words).is_some()) {
                continue;
            }
            let digest = own.digest_of_words(words);
            if dismissals.iter().any(|said| said.digest == digest) {
                continue;
            }
            found.push(Unsettled {
                words: words.to_owned(),
                kind: suspicion.kind.label(),
                day: (suspicion.kind == Kind::Date).then(|| day_of(words)).flatten(),
            });
        }
    }
    found
}

/// The month that words name, written as the record writes it: `2026-03`, `March 2026`.
fn month_of(words: &str) -> Option<Month> {
    words.parse().ok().or_else(|| {
        let (_, year) = words.split_once(' ')?;
        let year: i64 = year.parse().ok()?;
        (1..=12).filter_map(|month| Month::new(year, month).ok()).find(|month| month.in_words() == words)
    })
}

/// The day that words name, written as the record writes it: `2026-03-14`, `14 March 2026`.
fn day_of(words: &str) -> Option<Day> {
    words.parse().ok().or_else(|| {
        let (number, month) = words.split_once(' ')?;
        let number: u8 = number.parse().ok()?;
        let day: Day = format!("{}-{number:02}", month_of(month)?).parse().ok()?;
        (day.in_words() == words).then_some(day)
    })
}

/// What is wrong, in a sentence that names the first few.
#[must_use]
pub fn sentence(found: &[Unsettled]) -> String {
    const NAMED: usize = 4;
    let named: Vec<String> = found
        .iter()
        .take(NAMED)
        .map(|one| format!("“{}” ({})", one.words, one.kind.to_lowercase()))
        .collect();
    let more = match found.len().saturating_sub(NAMED) {
        0 => String::new(),
        many => format!(" and {many} more"),
    };
    format!(
        "Some words in it may identify somebody: {}{more}. Change them where they were typed, or have it noted under Settings that they identify nobody.",
        named.join(", ")
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    fn words(texts: &[&str]) -> Vec<String> {
        unsettled(texts.iter().copied(), &OwnWords::default(), &[]).into_iter().map(|one| one.words).collect()
    }

    #[test]
    fn names_are_told_once_and_the_months_of_the_record_are_not() {
        assert_eq!(words(&["Dr Marlow agreed.", "As Dr Marlow said."]), ["Dr Marlow"]);
        assert!(words(&["March 2026 to May 2026", "2026-03"]).is_empty());
        assert_eq!(words(&["in Sept 2023"]), ["Sept 2023"]);
    }

    #[test]
    fn a_day_is_read_as_the_record_writes_it() {
        let days: Vec<_> = unsettled(
            ["Due 14 March 2026.", "held 2026-03-05", "on 3rd March 2026"],
            &OwnWords::default(),
            &[],
        )
        .into_iter()
        .map(|one| one.day.map(|day| day.to_string()))
        .collect();
        assert_eq!(days, [Some("2026-03-14".to_owned()), Some("2026-03-05".to_owned()), None]);
    }

    #[test]
    fn the_sentence_names_the_first_and_counts_the_rest() {
        let one = |words: &str| Unsettled { words: words.to_owned(), kind: "Name", day: None };
        let text = sentence(&["a", "b", "c", "d", "e", "f"].map(one));
        assert!(text.contains("“a” (name), ") && text.contains("“d” (name) and 2 more. "), "{text}");
        assert!(!sentence(&[one("a")]).contains("more"));
    }
}
