//! What a case holds of what the definitions look at: the record turned into [`Facts`].
//!
//! Observations and laboratory values go in as they are. The rest follows from the record: flow
//! from the timeline, a grade as judged from the complication, the Medina class from the lesion.
//! Where the record is silent, so are the facts; what a person observed stands before what follows.

mod derived;
mod rows;

use super::observation::Observation;
use super::reading::Reading;
use super::stored::{Row, StoredCase};
use super::words::{Segment, Vessel};
use crate::case::code::Key;
use crate::case::lab::LabResult;
use crate::clinical::facts::{LabFacts, Sample};
use crate::clinical::{Facts, Family, Subject};
use crate::vocabulary::Vocabulary;

use rows::Anchor;

/// The facts of a case.
#[must_use]
pub fn facts(case: &StoredCase, reading: &Reading, vocabulary: &Vocabulary) -> Facts {
    let mut gathered = Gathered { facts: Facts::default(), rows: Vec::new() };
    derived::once(case, reading, &mut gathered.facts);
    rows::derive(case, reading, vocabulary, &mut gathered);
    for row in &case.observations {
        gathered.observe(row, vocabulary, case);
    }
    for row in &case.labs {
        gathered.facts.labs.add(row);
    }
    gathered.facts
}

/// What an observation is about, in words; none when it is about the whole case.
#[must_use]
pub fn subject_of(row: &Row<Observation>, vocabulary: &Vocabulary, case: &StoredCase) -> Option<Subject> {
    row.value.family().is_listed().then(|| rows::subject(&row.value, row.id, vocabulary, case))
}

/// Facts in the making, with what each row of a listed family is about.
struct Gathered {
    facts: Facts,
    rows: Vec<(Family, Anchor, usize)>,
}

impl Gathered {
    /// The row of a thing, made when it is not there yet. A thing can be known by several anchors.
    fn row(&mut self, family: Family, anchors: &[Anchor], subject: Subject) -> Option<usize> {
        let known = |(of, anchor, _): &&(Family, Anchor, usize)| *of == family && anchors.contains(anchor);
        if let Some((_, _, place)) = self.rows.iter().find(known) {
            return Some(*place);
        }
        let place = self.facts.add_row(family, subject)?;
        self.rows.extend(anchors.iter().map(|anchor| (family, anchor.clone(), place)));
        Some(place)
    }

    /// Records a text; one that the program wrote itself is always a value of its input.
    fn record(&mut self, family: Family, row: Option<usize>, slug: &str, text: impl ToString) {
        let recorded = self.facts.record(family, row, slug, &text.to_string());
        debug_assert!(recorded.is_ok(), "{family} {slug}: {recorded:?}");
    }

    fn observe(&mut self, row: &Row<Observation>, vocabulary: &Vocabulary, case: &StoredCase) {
        let seen = &row.value;
        let family = seen.family();
        let place = if family.is_listed() {
            let anchors = rows::anchors(seen, row.id);
            let subject = rows::subject(seen, row.id, vocabulary, case);
            self.row(family, &anchors, subject)
        } else {
            None
        };
        for (input, text) in seen.answers() {
            self.record(family, place, input.slug, text);
        }
    }
}

impl LabFacts {
    /// Adds a laboratory value to its series.
    fn add(&mut self, row: &Row<super::lab::Lab>) {
        let lab = &row.value;
        let origin = Some(format!("lab-{}", row.id));
        macro_rules! sample {
            ($value:expr) => {
                Sample { drawn: lab.drawn, returned: lab.returned, value: $value, origin }
            };
        }
        match lab.result {
            LabResult::Troponin(value) => self.troponin.push(sample!(value)),
            LabResult::CkMb(value) => self.ck_mb.push(sample!(value)),
            LabResult::Creatinine(value) => self.creatinine.push(sample!(value)),
            LabResult::Haemoglobin(value) => self.haemoglobin.push(sample!(value)),
            LabResult::Platelets(value) => self.platelets.push(sample!(value)),
        }
    }
}

/// The vessel of a segment that may be missing.
fn vessel_of(segment: Option<Segment>) -> Option<Vessel> {
    segment.map(Segment::vessel)
}

/// The number of an event, for the anchor of its row on the page.
fn event_anchor(reading: &Reading, key: &Key) -> Option<String> {
    reading.number(key).map(|number| format!("event-{number}"))
}

#[cfg(test)]
mod tests;
