//! Whether finished actions were followed by fewer events.

use super::{ReportedAction, Writing};
use crate::case::Month;
use crate::case::reading::words::{join, lower_first, sentence, upper_first};
use crate::document::{Document, Phrase};
use crate::rates::{Effect, NoEffect, Period, Subject};

impl Writing<'_> {
    pub(super) fn effects(&self, document: &mut Document) {
        document.section("After finished actions");
        let to = self.period.to();
        let year = Period::new(to.plus(-11), to).unwrap_or(self.period);
        let mut finished: Vec<&ReportedAction> =
            self.inputs.actions.iter().filter(|action| action.done_in(year)).collect();
        finished.sort_by_key(|action| action.done_on);
        if finished.is_empty() {
            document.paragraph("No action was finished in the twelve months to the end of the quarter.");
            return;
        }
        document.bullets(finished.iter().map(|action| self.what_followed(action)));
        let numbers = if self.tells_all() {
            ""
        } else {
            " The months compared are not those of a quarter, so their counts stay in the department; the page of each mechanism has \
             them."
        };
        document.note(format!(
            "Up to twelve months before are compared with as many as there are after, at most twelve; the month in which an action \
             began counts on neither side. What followed an action need not have followed from it.{numbers}"
        ));
    }

    /// The action, and what followed for each mechanism of its case, or for the whole when it has none;
    /// mechanisms of which the same is found share a sentence.
    fn what_followed(&self, action: &ReportedAction) -> Phrase {
        let subjects: Vec<Subject> = match action.mechanisms.as_slice() {
            [] => vec![Subject::Whole],
            some => some.iter().cloned().map(Subject::Mechanism).collect(),
        };
        let mut found: Vec<(Said, Vec<String>)> = Vec::new();
        for subject in &subjects {
            let Some((label, began)) =
                subject.label(self.vocabulary).zip(action.done_on.and_then(|day| day.month()))
            else {
                continue;
            };
            let said = self.effect(subject, began);
            match found.iter_mut().find(|(other, _)| *other == said) {
                Some((_, labels)) => labels.push(lower_first(&label)),
                None => found.push((said, vec![lower_first(&label)])),
            }
        }
        let since = action.done_on.map_or_else(String::new, |day| format!(" since {}", day.in_words()));
        let head = Phrase::new()
            .strong(sentence(&upper_first(action.what.as_str())))
            .quiet(format!(" In place{since}; case {}. ", action.code));
        let one = match found.as_slice() {
            [(first, _), others @ ..] if others.iter().all(|(other, _)| other.months == first.months) => {
                first.months.clone()
            }
            _ => None,
        };
        let sentences: Vec<String> = found
            .iter()
            .map(|(said, labels)| {
                let months = said.months.as_ref().filter(|_| one.is_none());
                let months = months.map_or_else(String::new, |months| format!(" ({months})"));
                format!("{}: {}{months}.{}", upper_first(&join(labels)), said.finding, said.more)
            })
            .collect();
        let compared = one.map_or_else(String::new, |months| format!(" Compared: {months}."));
        head.text(sentences.join(" ")).quiet(compared)
    }

    fn effect(&self, subject: &Subject, began: Month) -> Said {
        let Some(followed) = self.following.get(subject) else {
            return Said::of("cannot be compared, because its months are not counted or cannot be right");
        };
        let fewest = self.inputs.settings.fewest_compared;
        match Effect::of(&followed.course.counted_months(), began, fewest, &followed.judged.peaks()) {
            Ok(effect) if self.tells_all() => {
                let mut sentences = effect.sentences();
                let first = sentences.remove(0);
                Said {
                    finding: lower_first(first.trim_end_matches('.')),
                    months: None,
                    more: sentences.iter().map(|one| format!(" {one}")).collect(),
                }
            }
            Ok(effect) => without_numbers(&effect),
            Err(NoEffect::NoMonths(side)) => {
                Said::of(format!("there are no counted months {side} it to compare"))
            }
            Err(NoEffect::TooFew { side, .. }) => {
                Said::of(format!("too few procedures {side} it to compare, because chance would decide"))
            }
        }
    }
}

/// What is said of a comparison.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Said {
    /// What was found, without a full stop.
    finding: String,
    /// The months compared, where they are not part of the finding.
    months: Option<String>,
    /// Sentences that follow, each after a space.
    more: String,
}

impl Said {
    fn of(finding: impl Into<String>) -> Self {
        Self { finding: finding.into(), months: None, more: String::new() }
    }
}

/// The comparison by its direction alone.
fn without_numbers(effect: &Effect) -> Said {
    let months = |(from, to): (Month, Month)| {
        Period::new(from, to).map_or_else(|_| from.in_words(), |period| period.to_string())
    };
    let estimate = effect.difference.estimate();
    let by_chance = if effect.difference.excludes_zero() {
        ", by more than chance explains"
    } else {
        "; chance alone may explain it"
    };
    let finding = if effect.fell.is_none() {
        "no event before or after, so there is no telling".to_owned()
    } else if estimate < 0.0 {
        format!("fewer events per procedure after it{by_chance}")
    } else if estimate > 0.0 {
        format!("more events per procedure after it{by_chance}")
    } else {
        "as many events per procedure after it as before".to_owned()
    };
    let peak = if effect.after_a_peak {
        " The months before hold a signal, and a peak is followed by lower numbers by itself."
    } else {
        ""
    };
    Said {
        finding,
        months: Some(format!("{} with {}", months(effect.after_months), months(effect.before_months))),
        more: peak.to_owned(),
    }
}
