//! Lessons that come back: one lesson that several cases taught, how often and over how long, and which
//! of them a new one may belong to.

use std::collections::BTreeSet;

use super::code::CaseCode;
use super::measure::{Day, Month};
use super::reading::words::count;
use super::text::{Paragraph, Sentences, Title, Words};
use super::words::{LessonKind, Stage};
use crate::vocabulary::MechanismSlug;

/// A lesson of several cases.
#[derive(Debug, Clone, PartialEq)]
pub struct RecurringLesson {
    /// Its id.
    pub id: i64,
    /// The words that all of its lessons share.
    pub text: Sentences,
    /// Its lessons in the cases that are shown, by month.
    pub lessons: Vec<JoinedLesson>,
    /// The mechanisms of those cases, each once.
    pub mechanisms: Vec<MechanismSlug>,
    /// How many more cases have it, which are not shown.
    pub hidden: usize,
}

/// One of the lessons that are one recurring lesson.
#[derive(Debug, Clone, PartialEq)]
pub struct JoinedLesson {
    /// The code of its case.
    pub code: CaseCode,
    /// The title of its case.
    pub title: Title,
    /// The month of its case.
    pub month: Month,
    /// The stage of its case.
    pub stage: Stage,
    /// What it helps to do.
    pub kind: LessonKind,
    /// Its own words.
    pub text: Paragraph,
    /// Who signed it and when.
    pub signed: Option<(Words, Day)>,
}

impl RecurringLesson {
    /// How many cases that are shown have it.
    #[must_use]
    pub fn cases(&self) -> usize {
        self.lessons.iter().map(|lesson| lesson.code).collect::<BTreeSet<_>>().len()
    }

    /// How often, and over how long: `Three times in eleven months`; empty when no case is shown.
    #[must_use]
    pub fn often(&self) -> String {
        let months = self.lessons.iter().map(|lesson| lesson.month);
        match months.clone().min().zip(months.max()) {
            Some((first, last)) => times_in(self.cases(), first, last),
            None => String::new(),
        }
    }
}

/// `Once, in March 2025`, `Twice in one month`, `Three times in eleven months`: from the first month to
/// the last, both counted.
fn times_in(times: usize, first: Month, last: Month) -> String {
    let often = match times {
        0 | 1 => return format!("Once, in {}", first.in_words()),
        2 => "Twice".to_owned(),
        more => format!("{} times", count(more)),
    };
    match usize::try_from(first.until(last) + 1).unwrap_or(1) {
        1 => format!("{often} in one month"),
        months => format!("{often} in {} months", count(months).to_lowercase()),
    }
}

/// `One of three cases with this lesson`, as a lesson leads to the others.
#[must_use]
pub fn one_of(cases: usize) -> String {
    match cases {
        0 | 1 => "A recurring lesson, so far in this case".to_owned(),
        cases => format!("One of {} cases with this lesson", count(cases).to_lowercase()),
    }
}

/// What a lesson is like, to find the recurring lesson that it may belong to.
#[derive(Debug, Clone, Copy)]
pub struct Likeness<'a> {
    /// The mechanisms of its case.
    pub mechanisms: &'a [MechanismSlug],
    /// What it helps to do.
    pub kind: LessonKind,
    /// Its words.
    pub text: &'a str,
}

/// What a recurring lesson and another lesson have in common.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Shared {
    /// A mechanism of their cases.
    pub mechanism: bool,
    /// What they help to do.
    pub kind: bool,
    /// Words of weight, each once, in the order of the recurring lesson.
    pub words: Vec<String>,
}

impl Shared {
    /// How near the two are: a mechanism says more than a kind, and so do two words.
    #[must_use]
    pub fn weight(&self) -> usize {
        usize::from(self.mechanism) * 3 + usize::from(self.kind) + self.words.len().min(4) * 2
    }
}

impl Likeness<'_> {
    /// What this lesson and a recurring one have in common.
    #[must_use]
    pub fn with(&self, recurring: &RecurringLesson) -> Shared {
        let own: BTreeSet<String> = words_of_weight(self.text).into_iter().collect();
        let mut words: Vec<String> = Vec::new();
        for word in words_of_weight(recurring.text.as_str()) {
            if own.contains(&word) && !words.contains(&word) {
                words.push(word);
            }
        }
        Shared {
            mechanism: recurring.mechanisms.iter().any(|slug| self.mechanisms.contains(slug)),
            kind: recurring.lessons.iter().any(|lesson| lesson.kind == self.kind),
            words,
        }
    }
}

/// Words that stand in any lesson and say nothing of what it is about.
const LIGHT: [&str; 32] = [
    "about", "after", "again", "always", "been", "before", "could", "each", "every", "first", "from", "have",
    "into", "last", "never", "next", "other", "over", "should", "that", "their", "then", "there", "these",
    "this", "until", "what", "when", "where", "which", "with", "your",
];
/// So many letters make a word of weight.
const LETTERS: usize = 4;

fn words_of_weight(text: &str) -> Vec<String> {
    text.split(|c: char| !c.is_alphanumeric())
        .map(str::to_lowercase)
        .filter(|word| word.chars().count() >= LETTERS && !LIGHT.contains(&word.as_str()))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::{JoinedLesson, Likeness, RecurringLesson, Shared, times_in};
    use crate::case::{LessonKind, Stage};

    fn of<T: std::str::FromStr<Err: std::fmt::Debug>>(text: &str) -> T {
        text.parse().unwrap()
    }

    fn joined(code: &str, month: &str) -> JoinedLesson {
        JoinedLesson {
            code: of(code),
            title: of("A case"),
            month: of(month),
            stage: Stage::Presented,
            kind: LessonKind::Prevent,
            text: of("Take a second view."),
            signed: None,
        }
    }

    fn recurring(lessons: Vec<JoinedLesson>) -> RecurringLesson {
        RecurringLesson {
            id: 1,
            text: of("Prove the lumen before the first balloon, and prove the balloon."),
            lessons,
            mechanisms: vec![of("wire-subintimal")],
            hidden: 0,
        }
    }

    #[test]
    fn how_often_and_over_how_long_is_said_in_words() {
        for (times, first, last, said) in [
            (1, "2025-03", "2025-03", "Once, in March 2025"),
            (2, "2025-03", "2025-03", "Twice in one month"),
            (2, "2025-12", "2026-01", "Twice in two months"),
            (3, "2025-02", "2025-12", "Three times in eleven months"),
            (14, "2022-01", "2025-12", "14 times in 48 months"),
        ] {
            assert_eq!(times_in(times, of(first), of(last)), said);
        }
    }

    #[test]
    fn a_case_with_the_lesson_twice_counts_once() {
        let lessons = [("2025-001", "2025-02"), ("2025-001", "2025-02"), ("2025-004", "2025-12")];
        let lesson = recurring(lessons.map(|(code, month)| joined(code, month)).to_vec());
        assert_eq!((lesson.cases(), lesson.often().as_str()), (2, "Twice in eleven months"));
        assert_eq!((recurring(Vec::new()).cases(), recurring(Vec::new()).often().as_str()), (0, ""));
    }

    #[test]
    fn what_two_lessons_share_is_found_and_light_words_are_not() {
        let lesson = recurring(vec![joined("2025-001", "2025-02")]);
        let shared =
            |mechanism: &str, kind, text| Likeness { mechanisms: &[of(mechanism)], kind, text }.with(&lesson);
        let near =
            shared("wire-subintimal", LessonKind::Prevent, "Prove it: BALLOON, then balloon; before, first.");
        assert_eq!(near, Shared { mechanism: true, kind: true, words: vec![of("prove"), of("balloon")] });
        let far = shared("flow-no-reflow", LessonKind::Respond, "Before the first of these.");
        assert_eq!(far, Shared::default());
        assert!(near.weight() > far.weight());
    }
}
