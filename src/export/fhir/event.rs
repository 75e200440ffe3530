//! A complication as an `AdverseEvent`.

use super::element::{
    AdverseEvent, CodeableConcept, Coding, Contained, Identifier, Item, Reference, SuspectEntity,
};
use super::system;
use crate::case::{Case, Complication, Event, Harm, Key, Sex, Stage, Weight};
use crate::export::record::Record;

/// The code system of `AdverseEvent.seriousness` in the standard's example.
const SERIOUSNESS: &str = "http://terminology.hl7.org/CodeSystem/adverse-event-seriousness";
/// The code system of `AdverseEvent.outcome` in the standard's example.
const OUTCOME: &str = "http://terminology.hl7.org/CodeSystem/adverse-event-outcome";
/// The code system of `Condition.clinicalStatus`.
const CLINICAL_STATUS: &str = "http://terminology.hl7.org/CodeSystem/condition-clinical";
/// The id of the patient inside each event.
const PATIENT: &str = "patient";

/// Every complication of a case, in its order.
pub(super) fn events(record: &Record) -> Vec<AdverseEvent> {
    (1..).zip(&record.case.complications).map(|(number, one)| event(record, number, one)).collect()
}

fn event(record: &Record, number: usize, complication: &Complication) -> AdverseEvent {
    let Record { case, vocabulary } = record;
    let effects = effects(record, complication);
    let resulting_effect = effects.iter().map(|(id, _)| Reference::inside(id)).collect();
    let patient = Contained::Patient { id: PATIENT, gender: gender(case.patient.sex) };
    let contained = std::iter::once(patient).chain(effects.into_iter().map(|(_, effect)| effect)).collect();
    let began = event_of(case, complication.began.as_ref());
    let responded = event_of(case, complication.responded.as_ref());
    // A key is typed by somebody, so the place stands for it.
    let identifier =
        case.code.map(|code| Identifier { system: system::COMPLICATION, value: format!("{code}/{number}") });
    AdverseEvent {
        contained,
        identifier: identifier.into_iter().collect(),
        status: status(case.stage),
        actuality: "actual",
        category: system::branch_of(vocabulary, &complication.mechanism)
            .map(Into::into)
            .into_iter()
            .collect(),
        code: system::mechanism(vocabulary, &complication.mechanism).into(),
        subject: Reference::inside(PATIENT),
        resulting_effect,
        seriousness: case.outcome.harm.and_then(seriousness),
        outcome: case.outcome.harm.map(outcome).unwrap_or_default(),
        suspect_entity: began
            .and_then(|event| event.device)
            .map(|device| SuspectEntity { instance_codeable_concept: system::device(device).into() })
            .into_iter()
            .collect(),
        contributing_factor: factors(record, complication),
        mitigating_action: responded.map(mitigation).unwrap_or_default(),
    }
}

fn event_of<'c>(case: &'c Case, key: Option<&Key>) -> Option<&'c Event> {
    let key = key?;
    case.events.iter().find(|event| event.key == *key)
}

/// The harms that this one led to at once. Their own events are beside it in the bundle; the standard lets
/// an effect be a `Condition` or an `Observation`.
fn effects(record: &Record, complication: &Complication) -> Vec<(String, Contained)> {
    let led_to =
        record.case.complications.iter().filter(|one| one.consequence_of.as_ref() == Some(&complication.key));
    (1..)
        .zip(led_to)
        .map(|(number, one)| {
            let id = format!("effect-{number}");
            let effect = Contained::Condition {
                id: id.clone(),
                clinical_status: of_hl7(CLINICAL_STATUS, "unknown").into(),
                code: system::mechanism(&record.vocabulary, &one.mechanism).into(),
                subject: Reference::inside(PATIENT),
            };
            (id, effect)
        })
        .collect()
}

/// What contributed. The record gives causes to the case, so they stand at the harms that no other harm led
/// to; what was there and carried nothing is left out.
fn factors(record: &Record, complication: &Complication) -> Vec<Item> {
    if complication.consequence_of.is_some() {
        return Vec::new();
    }
    let mut factors: Vec<Item> = Vec::new();
    for cause in record.case.causes.iter().filter(|cause| cause.weight != Weight::Incidental) {
        let item = Item::from(system::cause(&record.vocabulary, &cause.cause));
        // A leaf may be given more than once, each time with a statement of its own.
        if !factors.contains(&item) {
            factors.push(item);
        }
    }
    factors
}

/// The first response: what it was, and with which class of device.
fn mitigation(event: &Event) -> Vec<Item> {
    std::iter::once(system::response(event.kind))
        .chain(event.device.map(system::device))
        .map(Into::into)
        .collect()
}

fn of_hl7(system: &'static str, code: &str) -> Coding {
    Coding { system, code: code.to_owned(), display: None }
}

const fn gender(sex: Option<Sex>) -> &'static str {
    match sex {
        Some(Sex::Female) => "female",
        Some(Sex::Male) => "male",
        None => "unknown",
    }
}

/// An event is complete once the department has spoken of it.
const fn status(stage: Stage) -> &'static str {
    match stage {
        Stage::Recorded | Stage::InPreparation | Stage::Ready => "in-progress",
        Stage::Presented | Stage::Closed => "completed",
    }
}

/// Serious or not, where the degree of harm leaves no doubt; the standard knows nothing between the two.
fn seriousness(harm: Harm) -> Option<CodeableConcept> {
    let code = match harm {
        Harm::None => "non-serious",
        Harm::Mild | Harm::Moderate => return None,
        Harm::Severe | Harm::Death => "serious",
    };
    Some(of_hl7(SERIOUSNESS, code).into())
}

/// The degree of harm in our words; death in those of the standard as well.
fn outcome(harm: Harm) -> Vec<CodeableConcept> {
    let mut coding = vec![system::harm(harm)];
    if harm == Harm::Death {
        coding.push(of_hl7(OUTCOME, "fatal"));
    }
    vec![CodeableConcept { coding }]
}
