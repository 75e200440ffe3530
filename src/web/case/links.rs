//! Where in a case an input of a definition is recorded, as addresses.

use crate::case::observation::{About, Elsewhere, about, held_elsewhere};
use crate::case::{Key, LabTest, Observation, Row, Segment, StoredCase};
use crate::clinical::facts::LabFacts;
use crate::clinical::finding::Used;
use crate::clinical::{Input, Kind, Subject};

/// Addresses within one case.
pub(super) struct Links<'c> {
    case: &'c StoredCase,
    /// Whether the person who looks may write; else nothing leads to a form.
    writes: bool,
}

impl<'c> Links<'c> {
    pub(super) const fn of(case: &'c StoredCase, writes: bool) -> Self {
        Self { case, writes }
    }

    /// Where an input can be recorded; empty for who may not.
    pub(super) fn to_record(&self, input: &Input, subject: Option<&Subject>) -> String {
        if !self.writes {
            return String::new();
        }
        let case = format!("/cases/{}", self.case.code);
        match held_elsewhere(input) {
            Some(Elsewhere::Labs) => format!("{case}/labs/new?test={}", test_of(input)),
            Some(Elsewhere::Patient) => format!("{case}/patient/edit"),
            Some(Elsewhere::Outcome) => format!("{case}/outcome/edit"),
            Some(Elsewhere::Timeline) => "#timeline".to_owned(),
            Some(Elsewhere::Lesions) => "#lesions".to_owned(),
            Some(Elsewhere::Complications) => "#complications".to_owned(),
            None => match self.observation_of(input, subject) {
                Some(id) => format!("{case}/observations/{id}/edit#{}", input.slug),
                None => format!(
                    "{case}/observations/new?family={}{}#{}",
                    input.family,
                    self.about(input, subject),
                    input.slug
                ),
            },
        }
    }

    /// Where a value that was looked at stands on the page.
    pub(super) fn to_recorded(&self, used: &Used) -> String {
        if let Some(origin) = &used.origin
            && !origin.starts_with("observation-")
        {
            return format!("#{origin}");
        }
        let observed = self
            .case
            .observations
            .iter()
            .find(|row| {
                row.value.family() == used.input.family
                    && !row.value.text(used.input.slug).is_empty()
                    && used.origin.as_ref().is_none_or(|origin| *origin == format!("observation-{}", row.id))
            })
            .map(|row| format!("#observation-{}", row.id));
        observed.unwrap_or_else(|| {
            let place = match held_elsewhere(used.input) {
                Some(Elsewhere::Patient) => "patient",
                Some(Elsewhere::Outcome) => "outcome",
                Some(Elsewhere::Lesions) => "lesions",
                Some(Elsewhere::Complications) => "complications",
                Some(Elsewhere::Labs) => "labs",
                // Times, pressures and doses that no observation gives come from the timeline.
                Some(Elsewhere::Timeline) | None => "timeline",
            };
            format!("#{place}")
        })
    }

    /// The observation that a subject's facts came from, or that is about the same thing.
    fn observation_of(&self, input: &Input, subject: Option<&Subject>) -> Option<i64> {
        let Some(subject) = subject else {
            let same = |row: &&Row<Observation>| row.value.family() == input.family;
            return self.case.observations.iter().find(same).map(|row| row.id);
        };
        let origin = subject.origin.as_deref()?;
        if let Some(id) = origin.strip_prefix("observation-") {
            return id.parse().ok();
        }
        let key = self.complication(origin);
        let vessel = self.segment(subject).map(Segment::vessel);
        let same = |row: &&Row<Observation>| {
            row.value.family() == input.family
                && match about(input.family) {
                    About::Vessel => vessel.is_some() && row.value.segment.map(Segment::vessel) == vessel,
                    About::Case => true,
                    About::Place | About::Thing => key.is_some() && row.value.complication.as_ref() == key,
                }
        };
        self.case.observations.iter().find(same).map(|row| row.id)
    }

    /// The complication that an anchor names.
    fn complication(&self, origin: &str) -> Option<&Key> {
        let id: i64 = origin.strip_prefix("complication-")?.parse().ok()?;
        self.case.complications.iter().find(|row| row.id == id).map(|row| &row.value.key)
    }

    /// A segment of the vessel or the place that a subject names.
    fn segment(&self, subject: &Subject) -> Option<Segment> {
        let named = |segment: &&Segment| {
            segment.vessel().label() == subject.label
                || crate::case::reading::place_words(**segment) == subject.label
        };
        // A segment that the case speaks of says more than the first of its vessel.
        let spoken = self.case.events.iter().filter_map(|row| row.value.segment);
        let spoken: Vec<Segment> =
            spoken.chain(self.case.lesions.iter().map(|row| row.value.segment)).collect();
        spoken.iter().find(named).or_else(|| Segment::ALL.iter().find(named)).copied()
    }

    /// What a new observation is about, for the address of its form.
    fn about(&self, input: &Input, subject: Option<&Subject>) -> String {
        let Some(subject) = subject.filter(|_| about(input.family) != About::Case) else {
            return String::new();
        };
        let key = subject.origin.as_deref().and_then(|origin| self.complication(origin));
        match (key, self.segment(subject)) {
            (Some(key), _) => format!("&complication={key}"),
            (None, Some(segment)) => format!("&segment={segment}"),
            (None, None) => String::new(),
        }
    }
}

/// The laboratory test that a series is of.
fn test_of(input: &Input) -> &'static str {
    let named = |test: &&LabTest| input.slug.starts_with(&test.slug().replace('-', "_"));
    debug_assert!(LabFacts::is_series(*input) && matches!(input.kind, Kind::Series(_)));
    LabTest::ALL.iter().find(named).map_or("", |test| test.slug())
}
