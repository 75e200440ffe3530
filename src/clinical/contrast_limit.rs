//! Maximum allowable contrast dose.

use std::fmt;

use super::choices::Choices;
use super::definition::{Assess, Definition, Section, Source};
use super::facts::{Facts, KidneyFacts, LabFacts, PatientFacts, ProcedureFacts, last_before};
use super::finding::Finding;
use super::look::{Look, only_missing};
use super::quantities::{Creatinine, CreatinineUnit, Decimal, Volume, Weight};

/// Maximum allowable contrast dose.
///
/// # Formula
/// ```text
/// min(300, 5 × kg ÷ S) mL, S in mg/dL
/// ```
pub const DEFINITION: Definition = Definition {
    slug: "contrast-limit",
    name: "Maximum allowable contrast dose",
    section: Section::Kidney,
    rule: "5 mL for each kg of body weight, divided by creatinine in mg/dL, and at most 300 mL. Exceeded when the volume is \
           above it.",
    boundaries: "A volume of exactly the limit does not exceed it. More than 300 mL exceeds it in any patient.",
    sources: &[Source::recalled("Cigarroa et al., Am J Med 1989;86:649", "the formula and 300 mL")],
    inputs: &[
        KidneyFacts::CONTRAST,
        ProcedureFacts::STARTED,
        LabFacts::CREATININE_BEFORE,
        PatientFacts::WEIGHT,
    ],
    choices: &[],
    assess: Assess::Case(assess),
};

const MOST_ML: i128 = 300;

/// The limit for a patient as a fraction of mL, so that it is met exactly.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct ContrastLimit {
    over: i128,
    under: i128,
}

impl ContrastLimit {
    /// The limit of a weight and a creatinine.
    #[must_use]
    pub fn of(weight: Weight, creatinine: Creatinine) -> Self {
        let parts_per_mg_dl = Creatinine::limit(Decimal::whole(1), CreatinineUnit::MgPerDl).exact();
        let (over, under) = (5 * weight.value().wide() * parts_per_mg_dl, creatinine.exact());
        let most = MOST_ML * i128::from(Decimal::SCALE);
        if over > most * under { Self { over: most, under: 1 } } else { Self { over, under } }
    }

    /// Whether a volume is above it.
    #[must_use]
    pub const fn is_exceeded_by(self, volume: Volume) -> bool {
        volume.value().wide() * self.under > self.over
    }

    /// In mL with one decimal, for show.
    #[must_use]
    pub fn shown(self) -> impl fmt::Display {
        let under = self.under * i128::from(Decimal::SCALE);
        let limit = Decimal::quotient(self.over, under).unwrap_or_default().rounded(1);
        fmt::from_fn(move |f| write!(f, "{limit} mL"))
    }
}

fn assess(facts: &Facts, _: &Choices) -> Finding {
    let mut look = Look::at_case(&DEFINITION);
    let volume = look.value(facts.kidney.contrast());
    let weight = look.value(facts.patient.weight());
    let baseline = last_before(&facts.labs.creatinine, &facts.procedure);
    if let Some(baseline) = baseline {
        look.sample(&LabFacts::CREATININE_BEFORE, baseline, baseline.value.text());
    }
    let limit = weight.zip(baseline).map(|(weight, creatinine)| ContrastLimit::of(weight, creatinine.value));
    finish(look, volume, limit, weight.is_none(), baseline.is_none())
}

fn finish(
    look: Look,
    volume: Option<Volume>,
    limit: Option<ContrastLimit>,
    no_weight: bool,
    no_value: bool,
) -> Finding {
    const LABEL: &str = "contrast above the allowable dose";
    match (volume, limit) {
        (Some(volume), Some(limit)) if limit.is_exceeded_by(volume) => {
            look.met("exceeded", LABEL, format_args!("{volume} given, {} allowable", limit.shown()))
        }
        (Some(volume), Some(limit)) => look.not_met(
            "contrast within the allowable dose",
            format_args!("{volume} given, {} allowable", limit.shown()),
        ),
        (Some(volume), None) if volume.value() > Decimal::whole(300) => look.met(
            "exceeded",
            LABEL,
            format_args!("{volume} given, above the 300 mL that hold for every patient"),
        ),
        (volume, limit) => {
            let lacks = only_missing([
                (&KidneyFacts::CONTRAST, volume.is_none()),
                (&LabFacts::CREATININE_BEFORE, no_value),
                (&PatientFacts::WEIGHT, no_weight),
            ]);
            look.undecided(lacks, limit.map(|limit| format!("The allowable dose is {}.", limit.shown())))
        }
    }
}
