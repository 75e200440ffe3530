//! What in the words of a case may identify somebody, and what a person said of it.
//!
//! What is open and sure holds the case back: it cannot become ready, those who may not change it do not
//! see it, and nothing made from it leaves. A finding is closed by putting other words in its place, or by
//! dismissing it with a reason.

mod place;

use std::ops::Range;

pub use place::{Change, DecisionText, NoPlace, Place, WriteError, texts, with_text};

use super::stored::StoredCase;
use super::text::Sentences;
use crate::deidentify::{Confidence, OwnDigest, OwnWords, Suspicion, suspect_with};

/// A case's words that surely look like an identifier, and that nobody has dismissed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OpenIdentifier {
    /// Where they stand.
    pub place: Place,
    /// Where in the text there, in bytes.
    pub span: Range<usize>,
    /// The words.
    pub words: String,
    /// What they may be, as a person reads it.
    pub kind: String,
}

/// What a person said of words that look like an identifier and are none.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Dismissal {
    /// Its id.
    pub id: i64,
    /// Whether it holds in every case.
    pub everywhere: bool,
    /// The digest of the words, wherever they stand.
    pub digest: OwnDigest,
    /// What they were taken for, as a person reads it.
    pub kind: String,
    /// Why they identify nobody.
    pub because: Sentences,
    /// Who said so, by the name at the time.
    pub by: String,
    /// When, as a time stamp.
    pub at: jiff::Timestamp,
}

/// A place in the words of a case that may identify somebody.
#[derive(Debug, Clone)]
pub struct Finding<'a> {
    /// Where it stands.
    pub place: Place,
    /// The whole text there.
    pub text: &'a str,
    /// What is suspected, with its place in the text.
    pub suspicion: Suspicion,
    /// What a person said of it.
    pub dismissed: Option<&'a Dismissal>,
}

impl Finding<'_> {
    /// The words.
    #[must_use]
    pub fn words(&self) -> &str {
        self.text.get(self.suspicion.span.clone()).unwrap_or_default()
    }

    /// Whether it holds the case back.
    #[must_use]
    pub fn is_open(&self) -> bool {
        self.suspicion.confidence == Confidence::High && self.dismissed.is_none()
    }
}

/// Everything in a case's own words that may identify somebody, in the order of the page. Names under
/// lessons are accounts that stand behind them, and not looked at.
#[must_use]
pub fn find_all<'a>(case: &'a StoredCase, own: &OwnWords, dismissals: &'a [Dismissal]) -> Vec<Finding<'a>> {
    texts(case)
        .into_iter()
        .flat_map(|(place, text)| {
            suspect_with(text, own).into_iter().map(move |suspicion| {
                let words = text.get(suspicion.span.clone()).unwrap_or_default();
                let digest = own.digest_of_words(words);
                let dismissed = dismissals.iter().find(|one| one.digest == digest);
                Finding { place: place.clone(), text, suspicion, dismissed }
            })
        })
        .collect()
}

/// What holds a case back.
#[must_use]
pub fn open(case: &StoredCase, own: &OwnWords, dismissals: &[Dismissal]) -> Vec<OpenIdentifier> {
    find_all(case, own, dismissals)
        .into_iter()
        .filter(Finding::is_open)
        .map(|finding| OpenIdentifier {
            span: finding.suspicion.span.clone(),
            words: finding.words().to_owned(),
            kind: finding.suspicion.kind.label().to_owned(),
            place: finding.place,
        })
        .collect()
}

/// A text with what surely identifies somebody, and was not dismissed, covered: where it is shown for its
/// own sake, as an earlier version of what stands now.
#[must_use]
pub fn covered(text: &str, own: &OwnWords, dismissals: &[Dismissal]) -> String {
    let mut out = String::with_capacity(text.len());
    let mut at = 0;
    for suspicion in suspect_with(text, own) {
        let words = text.get(suspicion.span.clone()).unwrap_or_default();
        let digest = own.digest_of_words(words);
        if suspicion.confidence == Confidence::High && !dismissals.iter().any(|said| said.digest == digest) {
            out.push_str(text.get(at..suspicion.span.start).unwrap_or_default());
            out.push_str(&format!("[{}]", suspicion.kind.label().to_lowercase()));
            at = suspicion.span.end;
        }
    }
    out.push_str(text.get(at..).unwrap_or_default());
    out
}

#[cfg(test)]
mod tests;
