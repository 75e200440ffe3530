//! The parts of a case, key by key. Each reads all of its keys before it says whether it is whole,
//! so that one wrong key does not hide another.

use super::super::field::Fields;
use super::super::nearest::hint;
use crate::case::{
    Action, Cause, Complication, Decision, DecisionOption, Event, Lab, LabResult, Lesion, Lesson,
    Observation, Outcome, Patient, Procedure, PromptRemark, Says, Words, observation,
};
use crate::clinical::facts::FactError;

pub(super) fn patient(fields: &mut Fields) -> Patient {
    Patient {
        age: fields.may("age"),
        sex: fields.may("sex"),
        presentation: fields.may("presentation"),
        history: fields.list("history"),
        egfr: fields.may("egfr"),
        weight_kg: fields.may("weight_kg"),
    }
}

pub(super) fn procedure(fields: &mut Fields) -> Procedure {
    Procedure {
        access: fields.list("access"),
        urgency: fields.may("urgency"),
        strategy: fields.may("strategy"),
    }
}

pub(super) fn outcome(fields: &mut Fields) -> Outcome {
    Outcome { discharge: fields.may("discharge"), harm: fields.may("harm") }
}

pub(super) fn lesion(fields: &mut Fields) -> Option<Lesion> {
    let segment = fields.need("segment");
    let (calcification, tortuosity) = (fields.may("calcification"), fields.may("tortuosity"));
    let medina = fields.may("medina");
    let (cto, ostial) = (fields.may("cto"), fields.may("ostial"));
    let (length_mm, reference_mm) = (fields.may("length_mm"), fields.may("reference_mm"));
    Some(Lesion {
        segment: segment?,
        calcification,
        tortuosity,
        medina,
        cto: cto.unwrap_or(false),
        ostial: ostial.unwrap_or(false),
        length_mm,
        reference_mm,
    })
}

pub(super) fn event(fields: &mut Fields) -> Option<Event> {
    let (key, at, time, kind) =
        (fields.need("key"), fields.need("at"), fields.may("time"), fields.need("kind"));
    let (segment, flow) = (fields.may("segment"), fields.may("flow"));
    let (pressure, heart_rate) = (fields.may("pressure"), fields.may("heart_rate"));
    let (contrast, air_kerma) = (fields.may("contrast"), fields.may("air_kerma"));
    let (device, text) = (fields.may("device"), fields.may("text"));
    Some(Event {
        key: key?,
        at: at?,
        time: time.unwrap_or_default(),
        kind: kind?,
        segment,
        flow,
        pressure,
        heart_rate,
        contrast,
        air_kerma,
        device,
        text,
    })
}

pub(super) fn complication(fields: &mut Fields) -> Option<Complication> {
    let (key, mechanism, segment) = (fields.need("key"), fields.need("mechanism"), fields.may("segment"));
    let (began, recognised) = (fields.may("began"), fields.may("recognised"));
    let (responded, controlled) = (fields.may("responded"), fields.may("controlled"));
    let (dissection, perforation) = (fields.may("dissection"), fields.may("perforation"));
    let (worst_flow, consequence_of) = (fields.may("worst_flow"), fields.may("consequence_of"));
    Some(Complication {
        key: key?,
        mechanism: mechanism?,
        segment,
        began,
        recognised,
        responded,
        controlled,
        dissection,
        perforation,
        worst_flow,
        consequence_of,
    })
}

pub(super) fn lab(fields: &mut Fields) -> Option<Lab> {
    let (test, drawn, returned) = (fields.need("test"), fields.need("drawn"), fields.may("returned"));
    let (value, limit): (Option<Words>, Option<Words>) = (fields.need("value"), fields.may("limit"));
    let (test, value) = (test?, value?);
    match LabResult::read(test, value.as_str(), limit.as_ref().map(Words::as_str)) {
        Ok(result) => Some(Lab { drawn: drawn?, returned, result }),
        Err(error) => {
            fields.refuse(error.field(), error.to_string());
            None
        }
    }
}

pub(super) fn observation(fields: &mut Fields) -> Option<Observation> {
    let family = fields.need("family");
    let (complication, segment) = (fields.may("complication"), fields.may("segment"));
    let label = fields.may("label");
    let mut seen = family.map(Observation::of);
    fields.answers("answers", |slug, text| match seen.as_mut() {
        Some(seen) => seen.answer(slug, text).map_err(|error| match error {
            FactError::NoSuchInput(_) => {
                let known = || observation::asked(seen.family()).map(|input| input.slug);
                let near = match hint(slug, known()) {
                    none if none.is_empty() => {
                        format!(" It may have: {}.", known().collect::<Vec<_>>().join(", "))
                    }
                    near => near,
                };
                format!("{error}{near}")
            }
            FactError::Value(error) => error.to_string(),
        }),
        // Which answers there may be is not known without the family, which has been told.
        None => Ok(()),
    });
    let mut seen = seen?;
    (seen.complication, seen.segment, seen.label) = (complication, segment, label);
    Some(seen)
}

pub(super) fn prompt(fields: &mut Fields) -> Option<PromptRemark> {
    let (complication, list, step) = (fields.need("complication"), fields.need("list"), fields.need("step"));
    let (done_at, because, answer) = (fields.may("done_at"), fields.may("because"), fields.may("answer"));
    match Says::one_of(done_at, because, answer) {
        Ok(says) => Some(PromptRemark { complication: complication?, list: list?, step: step?, says }),
        Err(error) => {
            fields.refuse("", error.to_string());
            None
        }
    }
}

pub(super) fn decision(fields: &mut Fields) -> Option<Decision> {
    let (key, at, question) = (fields.need("key"), fields.need("at"), fields.need("question"));
    let (chosen, chosen_by) = (fields.may("chosen"), fields.may("chosen_by"));
    let followed = fields.may("followed");
    let options = fields.rows("options", "an option", option);
    // What was chosen is told by its number, which holds only when each option before it could be read.
    if options.lost_without_key {
        return None;
    }
    let options = options.rows.into_iter().map(|(_, option)| option).collect();
    Some(Decision { key: key?, at: at?, question: question?, options, chosen, chosen_by, followed })
}

fn option(fields: &mut Fields) -> Option<DecisionOption> {
    let text = fields.need("text");
    let (reasons_for, reasons_against) = (fields.list("for"), fields.list("against"));
    Some(DecisionOption { text: text?, reasons_for, reasons_against })
}

pub(super) fn cause(fields: &mut Fields) -> Option<Cause> {
    let (cause, statement) = (fields.need("cause"), fields.need("statement"));
    let (weight, shown_by) = (fields.may("weight").unwrap_or_default(), fields.list("shown_by"));
    Some(Cause { cause: cause?, statement: statement?, weight, shown_by })
}

pub(super) fn lesson(fields: &mut Fields) -> Option<Lesson> {
    let (kind, text, event) = (fields.need("kind"), fields.need("text"), fields.may("event"));
    let (decision, reference, recurring) =
        (fields.may("decision"), fields.may("reference"), fields.may("recurring"));
    let (signed_by, signed_on) = (fields.may("signed_by"), fields.may("signed_on"));
    Some(Lesson { kind: kind?, text: text?, event, decision, reference, recurring, signed_by, signed_on })
}

pub(super) fn action(fields: &mut Fields) -> Option<Action> {
    let (what, owner, due) = (fields.need("what"), fields.need("owner"), fields.need("due"));
    let (strength, kind) = (fields.need("strength"), fields.may("kind"));
    let (for_cause, for_mechanism) = (fields.may("for_cause"), fields.may("for_mechanism"));
    let (measure, target, state) = (fields.may("measure"), fields.may("target"), fields.need("state"));
    let done_on = fields.may("done_on");
    Some(Action {
        what: what?,
        owner: owner?,
        due: due?,
        strength: strength?,
        kind,
        for_cause,
        for_mechanism,
        measure,
        target,
        state: state?,
        done_on,
    })
}
