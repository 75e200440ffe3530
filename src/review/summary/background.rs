//! Background: the patient, the procedure, the lesions.

use super::Writing;
use crate::case::reading::words::{join, lower_first, place_words, sentence};
use crate::case::{Age, Extent, Lesion, Presentation};
use crate::document::{Document, Phrase};

impl Writing<'_> {
    pub(super) fn background(&self, document: &mut Document) {
        let (patient, plan) = (&self.case.head.patient, &self.case.head.procedure.strategy);
        let history: Vec<&str> = patient.history.iter().map(|term| term.as_str()).collect();
        let lesions: Vec<String> = self.case.lesions.iter().map(|row| lesion_words(&row.value)).collect();
        let lesion = if lesions.len() > 1 { "Lesions" } else { "Lesion" };
        let history = (!history.is_empty()).then(|| format!("History: {}", history.join(", ")));
        let plan = plan.as_ref().map(|plan| format!("Plan: {}", sentence(&lower_first(plan.as_str()))));
        document
            .section("Background")
            .paragraph(
                labelled("Patient", self.patient().text(". ")).then(listed([(history, "history")])).text("."),
            )
            .paragraph(
                labelled(lesion, listed([((!lesions.is_empty()).then(|| lesions.join("; ")), "lesion")]))
                    .text("."),
            )
            .paragraph(labelled("Procedure", self.procedure().text(". ")).then(match plan {
                Some(plan) => Phrase::from(plan),
                None => Phrase::new().missing("Plan not recorded."),
            }));
    }

    fn patient(&self) -> Phrase {
        let patient = &self.case.head.patient;
        let age = match (self.coarse, patient.age) {
            (Some(coarse), Some(_)) => coarse.age.clone().or_else(|| Some("adult".to_owned())),
            (_, Some(Age::Years(years))) => Some(format!("{years} years")),
            (_, age) => age.map(|age| age.to_string()),
        };
        listed([
            (age, "age"),
            (patient.sex.map(|sex| sex.label().to_owned()), "sex"),
            (patient.presentation.map(presentation), "presentation"),
            (patient.egfr.map(|egfr| format!("eGFR {egfr} mL/min/1.73 m²")), "eGFR"),
            (patient.weight_kg.map(|weight| format!("{weight} kg")), "weight"),
        ])
    }

    fn procedure(&self) -> Phrase {
        let procedure = &self.case.head.procedure;
        let access: Vec<String> =
            procedure.access.iter().map(|access| access.label().to_lowercase()).collect();
        listed([
            (procedure.urgency.map(|urgency| urgency.label().to_owned()), "urgency"),
            ((!access.is_empty()).then(|| format!("{} access", join(&access))), "access"),
        ])
    }
}

fn labelled(label: &str, phrase: Phrase) -> Phrase {
    Phrase::new().strong(format!("{label}. ")).then(phrase)
}

/// What there is, parted by commas, and what there is not, named as missing.
fn listed<const N: usize>(parts: [(Option<String>, &str); N]) -> Phrase {
    let mut phrase = Phrase::new();
    for (index, (part, name)) in parts.into_iter().enumerate() {
        if index > 0 {
            phrase = phrase.text(", ");
        }
        phrase = match part {
            Some(part) => phrase.text(part),
            None => phrase.missing(format!("{name} not recorded")),
        };
    }
    phrase
}

fn presentation(presentation: Presentation) -> String {
    lower_first(presentation.label())
}

/// A lesion in words: where it is, its length, its class.
#[must_use]
pub fn lesion_words(lesion: &Lesion) -> String {
    let extent = |extent: Extent, what: &str| match extent {
        Extent::None => format!("no {what}"),
        some => format!("{} {what}", some.label()),
    };
    let parts = [
        Some(place_words(lesion.segment)),
        lesion.ostial.then(|| "ostial".to_owned()),
        lesion.cto.then(|| "chronic total occlusion".to_owned()),
        lesion.length_mm.map(|length| format!("{length} mm long")),
        lesion.reference_mm.map(|diameter| format!("reference {diameter} mm")),
        lesion.calcification.map(|calcium| extent(calcium, "calcification")),
        lesion.tortuosity.map(|bends| extent(bends, "tortuosity")),
        lesion.medina.map(|medina| {
            let which =
                if medina.is_true_bifurcation() { "true bifurcation" } else { "not a true bifurcation" };
            format!("Medina {medina} ({which})")
        }),
    ];
    parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
}
