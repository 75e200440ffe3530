//! Estimated glomerular filtration rate, CKD-EPI 2021.

use super::choices::Choices;
use super::definition::{Assess, Definition, Section, Source};
use super::facts::{Facts, Input, LabFacts, PatientFacts, ProcedureFacts, Sex, last_before};
use super::finding::Finding;
use super::look::{Look, only_missing};
use super::quantities::{Age, Creatinine, CreatinineUnit, Decimal};

/// eGFR by CKD-EPI 2021 from creatinine, without a race term, mL/min/1.73 m².
///
/// # Formula
/// ```text
/// 142 × min(S/κ, 1)^α × max(S/κ, 1)^−1.200 × 0.9938^age × (1.012 if female)
/// S in mg/dL; κ 0.7 (female) or 0.9 (male); α −0.241 (female) or −0.302 (male)
/// ```
pub const DEFINITION: Definition = Definition {
    slug: "egfr",
    name: "eGFR, CKD-EPI 2021",
    section: Section::Kidney,
    rule: "142 × min(S/κ, 1)^α × max(S/κ, 1)^−1.200 × 0.9938^age, and × 1.012 for a woman. S is creatinine in mg/dL; \
           κ is 0.7 for a woman and 0.9 for a man; α is −0.241 for a woman and −0.302 for a man. For adults, from the last \
           creatinine before the procedure. mL/min/1.73 m².",
    boundaries: "A value, not a grade. One decimal is shown. For an age kept as “90 or older” nothing is computed.",
    sources: &[
        Source::recalled("Inker et al., N Engl J Med 2021;385:1737", "the equation"),
        Source::read("National Kidney Foundation's equation page", "the coefficients"),
        Source::read(
            "a worked example printed elsewhere",
            "about 76 for a woman of 55 with 0.9 mg/dL, which computes to 75.5 here",
        ),
    ],
    inputs: &[ProcedureFacts::STARTED, LabFacts::CREATININE_BEFORE, PatientFacts::AGE, PatientFacts::SEX],
    choices: &[],
    assess: Assess::Case(assess),
};

/// eGFR in mL/min/1.73 m²; `None` when creatinine does not turn into mg/dL.
///
/// # Source
/// Inker et al., N Engl J Med 2021;385:1737.
#[must_use]
pub fn ckd_epi_2021(creatinine: Creatinine, age: Age, sex: Sex) -> Option<Decimal> {
    let (kappa, alpha, factor) = match sex {
        Sex::Female => (0.7, -0.241, 1.012),
        Sex::Male => (0.9, -0.302, 1.0),
    };
    let relative = creatinine.to(CreatinineUnit::MgPerDl)?.value().approximate() / kappa;
    let egfr = 142.0
        * relative.min(1.0).powf(alpha)
        * relative.max(1.0).powf(-1.200)
        * 0.9938_f64.powf(age.value().approximate())
        * factor;
    Decimal::from_computed(egfr)
}

/// The eGFR of the patient before the procedure, with what was looked at noted; or what it lacks.
pub(super) fn of_patient(facts: &Facts, look: &mut Look) -> Result<Decimal, Vec<&'static Input>> {
    let baseline = last_before(&facts.labs.creatinine, &facts.procedure);
    if let Some(baseline) = baseline {
        look.sample(&LabFacts::CREATININE_BEFORE, baseline, baseline.value.text());
    }
    let (age, sex) = (look.value(facts.patient.age()), look.value(facts.patient.sex()));
    let computed = match (baseline, age, sex) {
        (Some(baseline), Some(age), Some(sex)) => ckd_epi_2021(baseline.value, age, sex),
        _ => None,
    };
    computed.ok_or_else(|| {
        only_missing([
            (&LabFacts::CREATININE_BEFORE, baseline.is_none()),
            (&PatientFacts::AGE, age.is_none()),
            (&PatientFacts::SEX, sex.is_none()),
        ])
    })
}

fn assess(facts: &Facts, _: &Choices) -> Finding {
    let mut look = Look::at_case(&DEFINITION);
    match of_patient(facts, &mut look) {
        Ok(egfr) => {
            let shown = egfr.with_decimals(1);
            let label = format!("eGFR {shown} mL/min/1.73 m²");
            look.met(shown, label, "by CKD-EPI 2021, from the last creatinine before the procedure")
        }
        Err(lacks) => look.lacking(lacks),
    }
}
