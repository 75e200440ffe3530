//! Contrast nephropathy.

use super::answer::{Answer, Judgement};
use super::choices::{Choices, NephropathyWindow};
use super::definition::{Assess, Definition, Section, Source};
use super::facts::{Facts, KidneyFacts, LabFacts, ProcedureFacts, Sample, last_before};
use super::finding::Finding;
use super::look::Look;
use super::quantities::{Creatinine, CreatinineUnit, Decimal, Measured};

/// Contrast nephropathy.
pub const DEFINITION: Definition = Definition {
    slug: "contrast-nephropathy",
    name: "Contrast nephropathy",
    section: Section::Kidney,
    rule: "Creatinine that rises by 0.5 mg/dL (44 µmol/L) or more, or by 25 % or more, within 48 to 72 h after contrast, \
           without another cause.",
    boundaries: "A rise from 1.0 to 1.25 counts, to 1.24 does not; from 2.4 to 2.9 counts. Compared in the unit entered. \
                 Whether another cause exists has to be said.",
    sources: &[
        Source::read(
            "“Contrast-induced nephropathy in a high-risk population”, Interv Cardiol Rev",
            "0.5 mg/dL or 25 %, 48 to 72 h",
        ),
        Source::recalled("common practice", "44 µmol/L for 0.5 mg/dL"),
    ],
    inputs: &[
        ProcedureFacts::STARTED,
        ProcedureFacts::ENDED,
        LabFacts::CREATININE_BEFORE,
        LabFacts::CREATININE_AFTER,
        KidneyFacts::OTHER_CAUSE,
    ],
    choices: &["nephropathy-window"],
    assess: Assess::Case(assess),
};

/// Whether creatinine rose by the fixed amount in the unit entered, or by a quarter.
#[must_use]
pub fn has_risen(from: Creatinine, to: Creatinine) -> bool {
    to.exact() - from.exact() >= fixed_rise(from, to).exact() || to.exact() * 4 >= from.exact() * 5
}

/// The fixed amount, in the unit that both were entered in; in µmol/L when they differ.
fn fixed_rise(from: Creatinine, to: Creatinine) -> Creatinine {
    if from.unit() == CreatinineUnit::MgPerDl && to.unit() == CreatinineUnit::MgPerDl {
        Measured::limit(Decimal::thousandths(500), CreatinineUnit::MgPerDl)
    } else {
        Measured::limit(Decimal::whole(44), CreatinineUnit::MicromolPerL)
    }
}

fn assess(facts: &Facts, choices: &Choices) -> Finding {
    const NO: &str = "no contrast nephropathy";
    const OTHER: &str = "another cause explains a rise of creatinine";
    let mut look = Look::at_case(&DEFINITION);
    let window = look.choose(choices.nephropathy_window);
    let other = look.answer(facts.kidney.other_cause());
    let (samples, procedure) = (&facts.labs.creatinine, &facts.procedure);
    let baseline = last_before(samples, procedure);
    if let Some(baseline) = baseline {
        look.sample(&LabFacts::CREATININE_BEFORE, baseline, baseline.value.text());
    }
    // Of equal values the latest, whatever the order in which they were entered.
    let highest = samples
        .iter()
        .filter(|sample| procedure.is_before(sample.drawn).is_no())
        .filter(|sample| is_in_window(procedure, sample, window).is_yes())
        .max_by_key(|sample| (sample.value.exact(), sample.drawn));
    if let Some(highest) = highest {
        look.sample(&LabFacts::CREATININE_AFTER, highest, highest.value.text());
    }
    let rose = match (baseline, highest) {
        (Some(baseline), Some(highest)) => Judgement::known(has_risen(baseline.value, highest.value)),
        (None, Some(_)) => Judgement::missing(&LabFacts::CREATININE_BEFORE),
        (Some(_), None) => Judgement::missing(&LabFacts::CREATININE_AFTER),
        (None, None) => Judgement::missing(&LabFacts::CREATININE_BEFORE)
            .and(Judgement::missing(&LabFacts::CREATININE_AFTER)),
    };
    let met = rose.clone().and(other.clone().negated());
    let (Some(from), Some(to)) = (baseline.map(|sample| sample.value), highest.map(|sample| sample.value))
    else {
        return if met.is_no() { look.not_met(NO, OTHER) } else { look.open(&met) };
    };
    if met.is_unknown() {
        look.open(&met)
    } else if met.is_yes() {
        let clause = format_args!("creatinine {}, without another cause", from.from_to(to));
        look.met("nephropathy", "contrast nephropathy", clause)
    } else if rose.is_yes() {
        look.not_met(NO, OTHER)
    } else if to.exact() > from.exact() {
        let limit = fixed_rise(from, to);
        look.not_met(NO, format_args!("creatinine {}, a rise below {limit} and below 25 %", from.from_to(to)))
    } else {
        look.not_met(NO, format_args!("creatinine did not rise: {}", from.from_to(to)))
    }
}

fn is_in_window(
    procedure: &ProcedureFacts,
    sample: &Sample<Creatinine>,
    window: NephropathyWindow,
) -> Answer {
    let late_enough = match (window, procedure.counted_from()) {
        (NephropathyWindow::UpTo72, _) => true,
        (NephropathyWindow::From48To72, Some(from)) => sample.drawn.seconds() - from.seconds() >= 48 * 3_600,
        (NephropathyWindow::From48To72, None) => false,
    };
    if late_enough { procedure.is_within_hours(sample.drawn, 72) } else { Answer::No }
}
