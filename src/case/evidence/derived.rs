//! Facts that a case has once and that follow from its record.

use crate::case::measure::Age;
use crate::case::reading::Reading;
use crate::case::record::{Event, Patient};
use crate::case::stored::StoredCase;
use crate::case::words::{EventKind, Harm, Sex};
use crate::clinical::quantities::{Dose, Measured, Unit, Volume};
use crate::clinical::{Answer, Facts, Family};
use crate::quantity::{Certainty, Offset};

/// Pressure and rates count only where they count towards something: a timeline holds the readings
/// that somebody wrote down, so that a normal one does not say that there was no low one.
const LOW_SYSTOLIC: i64 = 90;
const SLOW_RATE: i64 = 50;
const FAST_RATE: i64 = 100;

pub(super) fn once(case: &StoredCase, reading: &Reading, facts: &mut Facts) {
    let mut set = |family: Family, slug: &str, text: Option<String>| {
        if let Some(text) = text {
            let recorded = facts.record(family, None, slug, &text);
            debug_assert!(recorded.is_ok(), "{family} {slug}: {recorded:?}");
        }
    };
    let patient = &case.head.patient;
    set(Family::Patient, "age", age(patient));
    set(Family::Patient, "sex", patient.sex.map(|sex| sex_slug(sex).to_owned()));
    set(Family::Patient, "weight", patient.weight_kg.map(|weight| format!("{weight} kg")));
    set(Family::Kidney, "egfr", patient.egfr.map(|egfr| egfr.to_string()));
    set(Family::Procedure, "started", started(case).map(Offset::to_file_text));
    set(Family::Procedure, "ended", ended(case, reading).map(Offset::to_file_text));
    set(Family::Outcome, "judged", case.head.outcome.harm.map(|harm| harm.slug().to_owned()));
    // Harm to the degree of death is a death; a lesser degree does not say that nobody died.
    let died = case.head.outcome.harm == Some(Harm::Death);
    set(Family::Outcome, "death", died.then(|| Answer::Yes.slug().to_owned()));
    let events = || case.events.iter().map(|row| &row.value);
    set(
        Family::Kidney,
        "contrast",
        highest(events().filter_map(|e| e.contrast)).map(|v: Volume| v.to_string()),
    );
    set(
        Family::Radiation,
        "air_kerma",
        highest(events().filter_map(|e| e.air_kerma)).map(|v: Dose| v.to_string()),
    );
    let systolic = events().filter_map(|e| e.pressure).map(|p| p.systolic()).min();
    set(
        Family::Circulation,
        "systolic",
        systolic.filter(|low| *low < LOW_SYSTOLIC).map(|low| low.to_string()),
    );
    let rates = || events().filter_map(|e| e.heart_rate).map(|rate| rate.get());
    set(
        Family::Circulation,
        "pulse",
        rates().max().filter(|fast| *fast >= FAST_RATE).map(|fast| fast.to_string()),
    );
    set(
        Family::Rhythm,
        "slowest",
        rates().min().filter(|slow| *slow < SLOW_RATE).map(|slow| slow.to_string()),
    );
}

/// Whole years; "90 or older" is no age that an equation takes.
fn age(patient: &Patient) -> Option<String> {
    match patient.age? {
        Age::Years(years) => Some(years.to_string()),
        Age::NinetyOrOlder => None,
    }
}

const fn sex_slug(sex: Sex) -> &'static str {
    sex.slug()
}

/// The largest of some quantities; of a cumulative one that is all of it.
fn highest<U: Unit>(values: impl Iterator<Item = Measured<U>>) -> Option<Measured<U>> {
    values.max_by_key(|value| value.exact())
}

/// When the procedure began: the first thing that was punctured, advanced or injected. An event of
/// which only the order is known says nothing.
fn started(case: &StoredCase) -> Option<Offset> {
    let begins = |event: &&Event| {
        event.time != Certainty::OrderOnly
            && matches!(
                event.kind,
                EventKind::Access
                    | EventKind::Guide
                    | EventKind::Wire
                    | EventKind::Contrast
                    | EventKind::Balloon
                    | EventKind::Stent
            )
    };
    case.events.iter().map(|row| &row.value).filter(begins).map(|event| event.at).min()
}

/// When the procedure ended: the last event before a long pause, as the timeline reads it.
fn ended(case: &StoredCase, reading: &Reading) -> Option<Offset> {
    let start = started(case)?;
    let first = case.events.iter().map(|row| &row.value).find(|event| event.at >= start)?;
    reading.end_of_procedure_from(&first.key)
}
