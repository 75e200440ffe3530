//! What was observed, for the definitions: answers and values of one family of inputs.
//!
//! What the record holds elsewhere (age, flow, the grade of a tear as judged) is not asked again:
//! [`held_elsewhere`] says where each of these stands.

use std::collections::BTreeMap;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::code::Key;
use super::text::Words;
use super::words::Segment;
use crate::clinical::facts::{
    BifurcationFacts, DissectionFacts, FactError, KidneyFacts, OutcomeFacts, PerforationFacts,
    SideBranchFacts, VesselFacts,
};
use crate::clinical::{Answer, Facts, Family, Input, Kind, Subject};
use crate::quantity::QuantityError;

/// A part of the case where an input of a definition is recorded, other than the observations.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Elsewhere {
    /// Age, sex, weight, eGFR.
    Patient,
    /// Flow by time.
    Timeline,
    /// The Medina class as judged.
    Lesions,
    /// The grade of a tear or hole as judged.
    Complications,
    /// The degree of harm as judged.
    Outcome,
    /// The laboratory values.
    Labs,
}

/// Where an input is recorded when it is not among the observations.
#[must_use]
pub fn held_elsewhere(input: &Input) -> Option<Elsewhere> {
    const ELSEWHERE: &[(Input, Elsewhere)] = &[
        (KidneyFacts::EGFR, Elsewhere::Patient),
        (VesselFacts::BEFORE, Elsewhere::Timeline),
        (VesselFacts::WORST, Elsewhere::Timeline),
        (VesselFacts::LEAVING, Elsewhere::Timeline),
        (SideBranchFacts::BEFORE, Elsewhere::Timeline),
        (SideBranchFacts::AFTER, Elsewhere::Timeline),
        (BifurcationFacts::JUDGED, Elsewhere::Lesions),
        (DissectionFacts::JUDGED, Elsewhere::Complications),
        (PerforationFacts::JUDGED, Elsewhere::Complications),
        (OutcomeFacts::JUDGED, Elsewhere::Outcome),
    ];
    match (input.family, input.kind) {
        (Family::Patient, _) => Some(Elsewhere::Patient),
        (_, Kind::Series(_)) => Some(Elsewhere::Labs),
        _ => ELSEWHERE.iter().find(|(held, _)| held == input).map(|(_, place)| *place),
    }
}

/// The inputs of a family that are observations, in the order of the form.
pub fn asked(family: Family) -> impl Iterator<Item = &'static Input> {
    family.inputs().iter().filter(|input| held_elsewhere(input).is_none())
}

/// The families that observations are recorded in.
pub fn families() -> impl Iterator<Item = Family> {
    Family::ALL.iter().copied().filter(|family| asked(*family).next().is_some())
}

/// How an observation says what it is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum About {
    /// The case as a whole; it has one of these at most.
    Case,
    /// A vessel, by a segment of it; one of these a vessel.
    Vessel,
    /// A place in the coronary tree, a complication, or both.
    Place,
    /// A thing that has a name: the right groin, the second stent; or a complication.
    Thing,
}

/// How an observation of a family says what it is about.
#[must_use]
pub const fn about(family: Family) -> About {
    match family {
        Family::Vessel | Family::SideBranch => About::Vessel,
        Family::FrameCount
        | Family::Thrombus
        | Family::Dissection
        | Family::Perforation
        | Family::Bifurcation
        | Family::StentThrombosis
        | Family::Aorta => About::Place,
        Family::Access | Family::Haematoma | Family::Device => About::Thing,
        _ => About::Case,
    }
}

/// Observations of one family, about the case or about one thing in it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(try_from = "ObservationText", into = "ObservationText")]
#[schemars(with = "ObservationText")]
pub struct Observation {
    family: Family,
    /// The complication that it is about.
    pub complication: Option<Key>,
    /// Where it was seen.
    pub segment: Option<Segment>,
    /// What it is called, where a segment does not say it.
    pub label: Option<Words>,
    /// In the order of the form.
    answers: Vec<(&'static Input, String)>,
}

impl Observation {
    /// An observation without answers yet.
    #[must_use]
    pub const fn of(family: Family) -> Self {
        Self { family, complication: None, segment: None, label: None, answers: Vec::new() }
    }

    /// The family of inputs.
    #[must_use]
    pub const fn family(&self) -> Family {
        self.family
    }

    /// The answers, in the order of the form, each as text that reads back.
    #[must_use]
    pub fn answers(&self) -> &[(&'static Input, String)] {
        &self.answers
    }

    /// What is answered to an input; empty for nothing.
    #[must_use]
    pub fn text(&self, slug: &str) -> &str {
        self.answers.iter().find(|(input, _)| input.slug == slug).map_or("", |(_, text)| text)
    }

    /// Records an answer; a blank text takes it out.
    ///
    /// # Errors
    /// When the family has no such input, when it is recorded elsewhere in the case, or when the
    /// text is not a value of it.
    pub fn answer(&mut self, slug: &str, text: &str) -> Result<(), FactError> {
        let input = self.family.inputs().iter().find(|input| input.slug == slug);
        let Some(input) = input else {
            return Err(FactError::NoSuchInput(slug.to_owned()));
        };
        if let Some(place) = held_elsewhere(input) {
            return Err(FactError::Value(QuantityError(format!(
                "“{slug}” is not kept here: {}",
                place.in_words()
            ))));
        }
        let mut scratch = Facts::default();
        let row = scratch.add_row(self.family, Subject::default());
        scratch.record(self.family, row, slug, text)?;
        self.answers.retain(|(held, _)| held.slug != slug);
        let place = |wanted: &Input| self.family.inputs().iter().position(|one| one == wanted);
        for recorded in scratch.recorded() {
            let at = self.answers.iter().filter(|(held, _)| place(held) < place(input)).count();
            self.answers.insert(at, (input, recorded.text));
        }
        Ok(())
    }

    /// Answers every open yes-or-no question with "no", when a person says that it was so.
    pub fn answer_the_rest_no(&mut self) {
        let open: Vec<&Input> = asked(self.family)
            .filter(|input| input.kind == Kind::Answer && self.text(input.slug).is_empty())
            .collect();
        for input in open {
            // The name is the family's own and "no" is an answer, so this cannot fail.
            let _ = self.answer(input.slug, Answer::No.slug());
        }
    }
}

impl Elsewhere {
    const fn in_words(self) -> &'static str {
        match self {
            Self::Patient => "it is recorded with the patient.",
            Self::Timeline => "it follows from the flow on the timeline.",
            Self::Lesions => "it follows from the lesions.",
            Self::Complications => "it is recorded with the complication.",
            Self::Outcome => "it is recorded with the outcome.",
            Self::Labs => "it is a laboratory value.",
        }
    }
}

/// Observations as a file holds them.
#[derive(Debug, Clone, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(rename = "Observation")]
struct ObservationText {
    /// What is asked together.
    family: Family,
    /// The key of the complication that it is about.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    complication: Option<Key>,
    /// Where it was seen.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    segment: Option<Segment>,
    /// What it is called, where a segment does not say it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    label: Option<Words>,
    /// By input: yes or no, a word of its list, or a number with its unit.
    answers: BTreeMap<String, String>,
}

impl TryFrom<ObservationText> for Observation {
    type Error = FactError;
    fn try_from(text: ObservationText) -> Result<Self, FactError> {
        let mut observation = Self {
            complication: text.complication,
            segment: text.segment,
            label: text.label,
            ..Self::of(text.family)
        };
        for (slug, answer) in &text.answers {
            observation.answer(slug, answer)?;
        }
        Ok(observation)
    }
}

impl From<Observation> for ObservationText {
    fn from(observation: Observation) -> Self {
        let answers = observation.answers.into_iter();
        Self {
            family: observation.family,
            complication: observation.complication,
            segment: observation.segment,
            label: observation.label,
            answers: answers.map(|(input, text)| (input.slug.to_owned(), text)).collect(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_input_of_every_definition_is_recorded_in_one_place() {
        for definition in crate::clinical::DEFINITIONS {
            for input in definition.inputs {
                let here = asked(input.family).any(|asked| asked == input);
                assert!(here != held_elsewhere(input).is_some(), "{}", input.label);
            }
        }
    }

    #[test]
    fn answers_stand_in_the_order_of_the_form_and_read_back() {
        let mut seen = Observation::of(Family::Kidney);
        seen.answer("contrast", "245").unwrap();
        seen.answer("replacement", "no").unwrap();
        let texts: Vec<_> = seen.answers().iter().map(|(input, text)| (input.slug, text.as_str())).collect();
        assert_eq!(texts, [("replacement", "no"), ("contrast", "245 mL")]);
        seen.answer("replacement", "").unwrap();
        assert_eq!(seen.text("replacement"), "");
        let again: Observation = serde_json::from_str(&serde_json::to_string(&seen).unwrap()).unwrap();
        assert_eq!(again, seen);
    }

    #[test]
    fn what_is_recorded_elsewhere_is_refused_with_its_place() {
        let mut seen = Observation::of(Family::Kidney);
        let refused = seen.answer("egfr", "60").unwrap_err().to_string();
        assert!(refused.contains("recorded with the patient"), "{refused}");
        assert!(seen.answer("eyebrow", "60").is_err());
        assert!(seen.answer("contrast", "many").is_err());
    }

    #[test]
    fn no_to_all_the_rest_leaves_what_is_answered_and_what_is_a_number() {
        let mut seen = Observation::of(Family::Bleeding);
        seen.answer("overt", "yes").unwrap();
        seen.answer_the_rest_no();
        assert_eq!(seen.text("overt"), "yes");
        assert_eq!(seen.text("fatal"), "no");
        assert_eq!(seen.text("units_before_nadir"), "");
    }
}
