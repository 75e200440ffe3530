//! Signals of the quarter, and the mechanisms that moved.

use super::followed::Followed;
use super::{Writing, counted};
use crate::case::reading::words::join;
use crate::document::{Document, Phrase};
use crate::rates::{Found, Period};

/// What the chart and the watch of a subject say about the quarter.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Told {
    pub(super) label: String,
    sentences: Vec<String>,
    /// Signals for more events.
    pub(super) more: usize,
    /// Signals for fewer.
    pub(super) fewer: usize,
}

impl Writing<'_> {
    /// The signals whose last month is in the quarter, by subject, in the order of the tree.
    pub(super) fn told_signals(&self) -> Vec<Told> {
        self.following
            .told()
            .map(|followed| self.told(followed))
            .filter(|told| !told.sentences.is_empty())
            .collect()
    }

    fn told(&self, followed: &Followed) -> Told {
        let inside = |month: crate::case::Month| self.period.from() <= month && month <= self.period.to();
        let mut told =
            Told { label: followed.course.label.clone(), sentences: Vec::new(), more: 0, fewer: 0 };
        let mut tell = |worse: Option<bool>, sentence: String| {
            told.more += usize::from(worse == Some(true));
            told.fewer += usize::from(worse == Some(false));
            told.sentences.push(sentence);
        };
        for found in &followed.judged.signals {
            let Some(months) = found.months.filter(|months| inside(months.to())) else { continue };
            tell(
                found.worse,
                if self.tells_all() { found.words.clone() } else { without_numbers(found, months) },
            );
        }
        let watched = followed.watched.iter().flat_map(|watched| {
            watched.signals().into_iter().map(|(at, worse, words)| (watched.months[at], worse, words))
        });
        for (month, worse, words) in watched.filter(|(month, ..)| inside(*month)) {
            let what = if worse { "a rise" } else { "a fall" };
            let plain = format!("{}: the watch for {what} reached its limit.", month.in_words());
            tell(Some(worse), if self.tells_all() { words } else { plain });
        }
        told
    }

    pub(super) fn signals(&self, document: &mut Document) {
        document.section("Signals");
        let told = self.told_signals();
        let followed = self.following.told().filter(|one| one.is_watched()).count();
        if followed == 0 {
            document.paragraph("There is no chart yet: it takes cases and counted months.");
        } else if told.is_empty() {
            document
                .paragraph(format!("None. {} followed, each by a chart and a watch.", rates_are(followed)));
        } else {
            document.bullets(
                told.iter().map(|one| {
                    Phrase::new().strong(format!("{}. ", one.label)).text(one.sentences.join(" "))
                }),
            );
            let numbers = if self.tells_all() {
                ""
            } else {
                " Their numbers are those of single months, too small to leave the department; the page of each has them."
            };
            document.note(format!(
                "{} followed, each by a chart and a watch; with so many, a signal now and then comes by chance alone. Signals about \
                 one case stand under each of its mechanisms, their branch and the whole.{numbers}",
                rates_are(followed)
            ));
        }
        let silent: Vec<&str> = self
            .following
            .told()
            .filter(|one| !one.is_watched())
            .map(|one| one.course.label.as_str())
            .collect();
        if !silent.is_empty() {
            document.note(format!(
                "Followed by neither chart nor watch, because there are too few events, or their baseline has none: {}.",
                join(&silent)
            ));
        }
        if !self.following.impossible.is_empty() {
            document.note(format!(
                "Not followed, because a month has more events than procedures: {}.",
                join(&self.following.impossible)
            ));
        }
    }

    fn hidden_mechanisms(&self) -> usize {
        self.leaving.mechanisms().filter(|line| !line.all_shown()).count()
    }

    /// What moved, in a sentence.
    pub(super) fn what_moved(&self) -> String {
        match self.hidden_mechanisms() {
            1.. if self.movements.compared == 0 => {
                "Whether a mechanism moved cannot be told, because the counts are hidden.".to_owned()
            }
            _ => self.movements.finding.clone(),
        }
    }

    pub(super) fn movements(&self, document: &mut Document) {
        document.section("Mechanisms that moved");
        match self.movements.moved.as_slice() {
            [_, _, ..] => document.bullets(self.movements.moved.iter().map(|one| one.sentence.clone())),
            _ => document.paragraph(self.what_moved()),
        };
        let hidden = self.hidden_mechanisms();
        if hidden > 0 {
            let (whose, is) = if hidden == 1 { ("mechanism has", "is") } else { ("mechanisms have", "are") };
            document.paragraph(format!(
                "{hidden} {whose} hidden counts and {is} not compared: whether one moved would tell how large its counts can be."
            ));
        }
        document.paragraph(self.movements.cautions.join(" "));
    }
}

/// `1 rate is`, `14 rates are`: what is followed.
fn rates_are(followed: usize) -> String {
    let is = if followed == 1 { "is" } else { "are" };
    format!("{} {is}", counted(followed, "rate"))
}

/// A signal of a chart: when, by what, and in which direction.
fn without_numbers(found: &Found, months: Period) -> String {
    let what = if found.points.len() == 1 { "beyond a limit of its chart" } else { "a run on its chart" };
    match found.worse {
        Some(true) => format!("{months}: {what}, which speaks for more events."),
        Some(false) => format!("{months}: {what}, which speaks for fewer events."),
        None => format!("{months}: its chart crosses the median as chance would not, so something shifted."),
    }
}
