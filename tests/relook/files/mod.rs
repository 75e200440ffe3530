//! The files that leave: opened by independent general-purpose readers, and compared with the record.

mod cases;
mod fhir;
mod json;
mod page;
#[cfg(feature = "pdf")]
mod pdf;
pub mod readers;
mod references;
mod said;
mod screens;
mod slides;
mod template;
mod word;

use relook::case::reading::Reading;
use relook::case::{self, Case, StoredCase};
use relook::clinical::Choices;
use relook::department::Department;
use relook::document::{Deck, Document};
use relook::review::deck::{Material, RateShown, Seat, arrange, screens, screens_as_slides, slides};
use relook::review::findings::Findings;
use relook::review::summary::teaching_summary;
use relook::vocabulary::Vocabulary;

/// What stands on every slide of these tests.
pub const CONFIDENTIAL: &str = "Confidential. Peer review and teaching. Protected under our hospital’s rules on quality review; do not copy.";

/// A case with all that a deck and a summary are made of.
pub struct Told {
    /// What the file is called.
    pub name: &'static str,
    /// The case.
    pub case: StoredCase,
    vocabulary: &'static Vocabulary,
}

impl Told {
    /// A case from its file.
    pub fn of(name: &'static str, text: &str) -> Self {
        let case: Case = toml::from_str(text).unwrap_or_else(|error| panic!("{name}: {error}"));
        let vocabulary = crate::import::shipped_vocabulary();
        assert_eq!(case::check(&case, vocabulary), [], "{name}");
        let code = case.code.unwrap_or_else(|| case::CaseCode::new(2026, 1).unwrap());
        Self { name, case: StoredCase::of_file(case, code), vocabulary }
    }

    /// Its deck, as nobody arranged it.
    pub fn deck(&self) -> Deck {
        slides(&self.seats(), CONFIDENTIAL)
    }

    /// The same with a slide for each screen.
    pub fn screens(&self) -> Deck {
        screens_as_slides(&self.seats(), CONFIDENTIAL)
    }

    fn seats(&self) -> Vec<Seat> {
        let reading = Reading::of(&self.case.events, &self.case.complications);
        let findings = Findings::of(&self.case, &reading, self.vocabulary, &Choices::default());
        let rate = RateShown {
            title: "Wire dissection: 5.3 in 1,000 procedures at risk".to_owned(),
            sentences: vec!["5.3 per 1,000 (7 of 1,325; 95 % interval 2.6 to 10.9, Wilson).".to_owned()],
            figure: None,
        };
        let material = Material {
            case: &self.case,
            vocabulary: self.vocabulary,
            reading: &reading,
            findings: &findings,
            rate: Some(&rate),
            confidential: CONFIDENTIAL,
        };
        arrange(screens(&material), &[])
    }

    /// Its teaching summary.
    pub fn summary(&self) -> Document {
        teaching_summary(&self.case, self.vocabulary, &Department::default(), None)
    }
}
