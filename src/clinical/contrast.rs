//! Contrast volume in relation to kidney function.

use super::choices::{Choices, ContrastRatio};
use super::definition::{Assess, Definition, Section, Source};
use super::egfr;
use super::facts::{Facts, Input, KidneyFacts, LabFacts, PatientFacts, ProcedureFacts, Sex, last_before};
use super::finding::Finding;
use super::look::{Look, Text, only_missing};
use super::quantities::{Age, Clearance, Creatinine, CreatinineUnit, Decimal, Volume, Weight};

/// Contrast volume divided by clearance.
///
/// # Formula
/// ```text
/// volume ÷ clearance; Cockcroft–Gault: (140 − age) × kg ÷ (72 × S), × 0.85 for a woman, S in mg/dL
/// ```
pub const DEFINITION: Definition = Definition {
    slug: "contrast-ratio",
    name: "Contrast volume to clearance",
    section: Section::Kidney,
    rule: "Contrast volume in mL divided by creatinine clearance by Cockcroft and Gault, (140 − age) × kg ÷ (72 × S), and \
           × 0.85 for a woman. Above 2 risk starts, above 3 it rises markedly; above 3.7 is another published limit. \
           Divided by eGFR instead, a ratio of 1.78 or more went with nephropathy.",
    boundaries: "2.00, 3.00 and 3.70 are not above their limits; 1.78 counts. The two denominators have their own limits, so \
                 the one that was used stands with the result. A clearance or eGFR as recorded is used before one that is \
                 computed.",
    sources: &[
        Source::recalled("Gurm et al., J Am Coll Cardiol 2011;58:907", "above 2 and above 3"),
        Source::recalled("Laskey et al., J Am Coll Cardiol 2007;50:584", "above 3.7"),
        Source::recalled("Cockcroft and Gault, Nephron 1976;16:31", "the clearance"),
        Source::read("Nie et al., Front Med 2021", "1.78 with CKD-EPI"),
    ],
    inputs: &[
        KidneyFacts::CONTRAST,
        KidneyFacts::CLEARANCE,
        KidneyFacts::EGFR,
        ProcedureFacts::STARTED,
        LabFacts::CREATININE_BEFORE,
        PatientFacts::AGE,
        PatientFacts::WEIGHT,
        PatientFacts::SEX,
    ],
    choices: &["contrast-ratio"],
    assess: Assess::Case(assess),
};

/// The limits of both denominators.
const LIMITS: [Decimal; 4] =
    [Decimal::thousandths(1_780), Decimal::whole(2), Decimal::whole(3), Decimal::thousandths(3_700)];

/// A ratio as a fraction, so that its limits are met exactly.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Ratio {
    over: i128,
    under: i128,
}

impl Ratio {
    /// Volume over a clearance in mL/min, or over an eGFR in mL/min/1.73 m².
    #[must_use]
    pub const fn of(volume: Volume, clearance: Decimal) -> Self {
        Self { over: volume.value().wide(), under: clearance.wide() }
    }

    /// Volume over the clearance by Cockcroft and Gault.
    #[must_use]
    pub fn by_cockcroft_gault(
        volume: Volume,
        creatinine: Creatinine,
        age: Age,
        weight: Weight,
        sex: Sex,
    ) -> Self {
        // Creatinine counts in mg/dL, which is the exact value in µmol/L times 100 over 8,842 parts.
        let parts_per_mg_dl = Creatinine::limit(Decimal::whole(1), CreatinineUnit::MgPerDl).exact();
        let hundredths = match sex {
            Sex::Female => 85,
            Sex::Male => 100,
        };
        let years = 140 * i128::from(Decimal::SCALE) - age.value().wide();
        Self {
            over: volume.value().wide() * 72 * creatinine.exact() * 100 * i128::from(Decimal::SCALE),
            under: years * weight.value().wide() * hundredths * parts_per_mg_dl,
        }
    }

    /// Whether it is above a limit in hundredths.
    #[must_use]
    pub const fn is_above(self, hundredths: i128) -> bool {
        self.over * 100 > hundredths * self.under
    }

    /// Whether it is a limit in hundredths or more.
    #[must_use]
    pub const fn is_at_least(self, hundredths: i128) -> bool {
        self.over * 100 >= hundredths * self.under
    }

    /// With two decimals for show; with more where two would hide that it is above a limit.
    #[must_use]
    pub fn shown(self) -> String {
        Decimal::quotient(self.over, self.under)
            .map_or_else(String::new, |ratio| ratio.with_decimals_apart(2, &LIMITS))
    }
}

fn assess(facts: &Facts, choices: &Choices) -> Finding {
    let mut look = Look::at_case(&DEFINITION);
    let rule = look.choose(choices.contrast_ratio);
    let volume = look.value(facts.kidney.contrast());
    let (ratio, how) = match rule {
        ContrastRatio::Clearance => over_clearance(facts, volume, &mut look),
        ContrastRatio::Egfr => over_egfr(facts, volume, &mut look),
    };
    match ratio {
        Ok(ratio) => finish(look, ratio, rule, &how),
        Err(mut lacks) => {
            if volume.is_none() {
                lacks.insert(0, &KidneyFacts::CONTRAST);
            }
            look.lacking(lacks)
        }
    }
}

/// The ratio or what it lacks, and what the volume is divided by.
type Outcome = (Result<Ratio, Vec<&'static Input>>, Text);

fn over_clearance(facts: &Facts, volume: Option<Volume>, look: &mut Look) -> Outcome {
    if let Some(clearance) = look.value(facts.kidney.clearance()) {
        let clearance: Clearance = clearance;
        let how = format!("clearance of {clearance} as recorded").into();
        return (volume.map(|volume| Ratio::of(volume, clearance.value())).ok_or_else(Vec::new), how);
    }
    let baseline = last_before(&facts.labs.creatinine, &facts.procedure);
    if let Some(baseline) = baseline {
        look.sample(&LabFacts::CREATININE_BEFORE, baseline, baseline.value.text());
    }
    let patient = &facts.patient;
    let (age, weight, sex) =
        (look.value(patient.age()), look.value(patient.weight()), look.value(patient.sex()));
    let how = "creatinine clearance by Cockcroft and Gault".into();
    if let (Some(volume), Some(creatinine), Some(age), Some(weight), Some(sex)) =
        (volume, baseline, age, weight, sex)
    {
        return (Ok(Ratio::by_cockcroft_gault(volume, creatinine.value, age, weight, sex)), how);
    }
    let lacks = only_missing([
        (&LabFacts::CREATININE_BEFORE, baseline.is_none()),
        (&PatientFacts::AGE, age.is_none()),
        (&PatientFacts::WEIGHT, weight.is_none()),
        (&PatientFacts::SEX, sex.is_none()),
    ]);
    (Err(lacks), how)
}

fn over_egfr(facts: &Facts, volume: Option<Volume>, look: &mut Look) -> Outcome {
    let recorded = look.value(facts.kidney.egfr());
    let how = if recorded.is_some() { "eGFR as recorded" } else { "eGFR by CKD-EPI 2021" };
    let egfr = recorded.map_or_else(|| egfr::of_patient(facts, look), |egfr| Ok(egfr.value()));
    let ratio = match (volume, egfr) {
        (Some(volume), Ok(egfr)) => Ok(Ratio::of(volume, egfr)),
        (_, Ok(_)) => Err(Vec::new()),
        (_, Err(lacks)) => Err(lacks),
    };
    (ratio, how.into())
}

fn finish(look: Look, ratio: Ratio, rule: ContrastRatio, how: &str) -> Finding {
    let shown = ratio.shown();
    let clause = format_args!("contrast volume is {shown} times the {how}");
    let (below, limits): (&str, &[(bool, &'static str, &str)]) = match rule {
        ContrastRatio::Clearance => (
            "not above 2",
            &[
                (ratio.is_above(370), ">3.7", "above 3.7"),
                (ratio.is_above(300), ">3", "above 3, not above 3.7"),
                (ratio.is_above(200), ">2", "above 2, not above 3"),
            ],
        ),
        ContrastRatio::Egfr => ("below 1.78", &[(ratio.is_at_least(178), "≥1.78", "1.78 or more")]),
    };
    match limits.iter().find(|(met, ..)| *met) {
        Some((_, code, words)) => look.met(*code, format_args!("contrast ratio {shown}, {words}"), clause),
        None => look.not_met(format_args!("contrast ratio {shown}, {below}"), clause),
    }
}
