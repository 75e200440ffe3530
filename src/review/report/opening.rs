//! What the quarter says, in three sentences.

use super::signals::Told;
use super::{Writing, counted};
use crate::case::reading::words::{join, lower_first};
use crate::document::Document;
use crate::rates::suppress::Shown;
use crate::rates::{Rate, whole_number};

impl Writing<'_> {
    pub(super) fn opening(&self, document: &mut Document) {
        let sentences = [self.how_many(), self.what_moved(), self.what_was_done()];
        let said: Vec<String> = sentences.into_iter().filter(|sentence| !sentence.is_empty()).collect();
        document.paragraph(said.join(" "));
    }

    /// How many procedures had a complication.
    fn how_many(&self) -> String {
        let (period, whole) = (self.period, &self.leaving.whole);
        // That no case is recorded yet is said by what moved.
        if self.table.recorded_since.is_none() {
            let counted = |procedures| format!("{} PCI were counted in {period}.", whole_number(procedures));
            return self.volumes.all_pci().map_or_else(String::new, counted);
        }
        match (whole.now.rate, whole.now.events) {
            (Some(rate), _) => had_a_complication(rate, &period.to_string()),
            (None, Shown::Hidden) => match self.volumes.all_pci() {
                Some(procedures) => format!(
                    "{} PCI were counted in {period}; how many had a complication is hidden, because the number is small or would \
                     give a small one away.",
                    whole_number(procedures)
                ),
                None => format!("The numbers of {period} are too small to leave the department."),
            },
            (None, Shown::Count(events)) => {
                let (cases, were) = match events {
                    1 => ("1 case".to_owned(), "was"),
                    many => (format!("{} cases", whole_number(many)), "were"),
                };
                format!(
                    "{cases} of {period} {were} recorded; there is no rate, because {}.",
                    self.why_no_rate()
                )
            }
        }
    }

    /// Why the whole has no rate, without a number.
    fn why_no_rate(&self) -> &'static str {
        if self.leaving.whole.now.keeps_rate {
            "the number of PCI is too small to leave the department"
        } else {
            super::rates::why_no_rate(&self.table.whole.now)
        }
    }

    /// Signals, lessons and actions, in one sentence.
    fn what_was_done(&self) -> String {
        let told = self.told_signals();
        let of = |number: fn(&Told) -> usize| -> Vec<&str> {
            told.iter().filter(|one| number(one) > 0).map(|one| one.label.as_str()).collect()
        };
        let signals = match (of(|one| one.more).as_slice(), of(|one| one.fewer).as_slice()) {
            ([], []) => "No chart or watch speaks for more or fewer events".to_owned(),
            (more, []) => format!("Signals speak for more events of {}", some_of(more)),
            ([], fewer) => format!("Signals speak for fewer events of {}", some_of(fewer)),
            (more, fewer) => {
                format!(
                    "Signals speak for more events of {}, and for fewer of {}",
                    some_of(more),
                    some_of(fewer)
                )
            }
        };
        let lessons = self.inputs.lessons.len();
        let (done, overdue) = (self.done().count(), self.overdue().count());
        format!(
            "{signals}; {} signed, {} done, {} overdue.",
            counted(lessons, "lesson"),
            counted(done, "action"),
            match overdue {
                0 => "none".to_owned(),
                some => some.to_string(),
            }
        )
    }
}

/// Up to three labels, then how many more.
fn some_of(labels: &[&str]) -> String {
    const SHOWN: usize = 3;
    let mut words: Vec<String> = labels.iter().take(SHOWN).map(|label| lower_first(label)).collect();
    if labels.len() > SHOWN {
        words.push(format!("{} more", labels.len() - SHOWN));
    }
    join(&words)
}

fn had_a_complication(rate: Rate, period: &str) -> String {
    let procedures = whole_number(rate.procedures());
    if rate.events() == 0 {
        return format!(
            "In {period}, none of {procedures} PCI had a complication; {} per 1,000 is what they still allow (exact, 97.5\u{a0}% \
             point).",
            rate.interval_in_words()
        );
    }
    format!(
        "In {period}, {} of {procedures} PCI had a complication: {} per 1,000 (95\u{a0}% interval {}).",
        whole_number(rate.events()),
        rate.per_1000_in_words(),
        rate.interval_in_words()
    )
}
