//! The parts of a case, key by key. Each reads all of its keys before it says whether it is whole,
//! so that one wrong key does not hide another.

use super::super::field::Fields;
use crate::case::{Action, Cause, Complication, Event, Lesion, Lesson, Outcome, Patient, Procedure};

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
        device,
        text,
    })
}

pub(super) fn complication(fields: &mut Fields) -> Option<Complication> {
    let (key, mechanism, segment) = (fields.need("key"), fields.need("mechanism"), fields.may("segment"));
    let (began, recognised, controlled) =
        (fields.may("began"), fields.may("recognised"), fields.may("controlled"));
    let (dissection, perforation) = (fields.may("dissection"), fields.may("perforation"));
    let (worst_flow, consequence_of) = (fields.may("worst_flow"), fields.may("consequence_of"));
    Some(Complication {
        key: key?,
        mechanism: mechanism?,
        segment,
        began,
        recognised,
        controlled,
        dissection,
        perforation,
        worst_flow,
        consequence_of,
    })
}

pub(super) fn cause(fields: &mut Fields) -> Option<Cause> {
    let (cause, statement) = (fields.need("cause"), fields.need("statement"));
    let shown_by = fields.list("shown_by");
    Some(Cause { cause: cause?, statement: statement?, shown_by })
}

pub(super) fn lesson(fields: &mut Fields) -> Option<Lesson> {
    let (kind, text, event) = (fields.need("kind"), fields.need("text"), fields.may("event"));
    let (signed_by, signed_on) = (fields.may("signed_by"), fields.may("signed_on"));
    Some(Lesson { kind: kind?, text: text?, event, signed_by, signed_on })
}

pub(super) fn action(fields: &mut Fields) -> Option<Action> {
    let (what, owner, due) = (fields.need("what"), fields.need("owner"), fields.need("due"));
    let strength = fields.need("strength");
    let (measure, state) = (fields.may("measure"), fields.need("state"));
    Some(Action { what: what?, owner: owner?, due: due?, strength: strength?, measure, state: state? })
}
