//! Devices that are lost, stuck, broken or deformed.

use super::answer::Judgement;
use super::choices::Choices;
use super::definition::{Definition, Section, Source};
use super::facts::{DeviceFacts, Facts, Row};
use super::finding::Finding;
use super::look::Look;
use super::quantities::{Decimal, Measured, MillimetreUnit, Millimetres};

/// Device complication.
pub const DEFINITION: Definition = Definition {
    slug: "device",
    name: "Device complication",
    section: Section::Other,
    rule: "Stent loss: off its balloon before it is deployed. Embolisation: a part left loose in the circulation. Entrapment: \
           a part that is fixed and does not come out by usual traction. Fracture: a break in a wire, catheter or stent. \
           Longitudinal deformation: a deployed stent shortened by more than 2 mm, or distorted along its axis.",
    boundaries: "2.0 mm of shortening is no deformation. One device can be several of these; the first in this order gives the \
                 name, and the others are noted.",
    sources: &[
        Source::recalled("common definitions", "loss, embolisation, entrapment, fracture"),
        Source::read("PMC11264035", "longitudinal deformation: more than 2 mm, or axial distortion"),
        Source::own("the order in which one name is given"),
    ],
    inputs: &[
        DeviceFacts::OFF_BALLOON,
        DeviceFacts::LOOSE,
        DeviceFacts::STUCK,
        DeviceFacts::BROKEN,
        DeviceFacts::SHORTENING,
        DeviceFacts::DISTORTED,
    ],
    choices: &[],
    assess,
};

const TWO_MM: Millimetres = Measured::limit(Decimal::whole(2), MillimetreUnit::Mm);

fn assess(facts: &Facts, _: &Choices) -> Vec<Finding> {
    facts.devices.iter().map(name).collect()
}

fn name(row: &Row<DeviceFacts>) -> Finding {
    let seen = &row.facts;
    let mut look = Look::at(&DEFINITION, &row.subject);
    let distorted = look.answer(seen.distorted());
    let short = look.test(seen.shortening(), |shortening| shortening.is_above(TWO_MM));
    let kinds = [
        (
            "stent-loss",
            "stent loss",
            look.answer(seen.off_balloon()),
            "the stent came off its balloon before it was deployed",
        ),
        (
            "embolisation",
            "device embolisation",
            look.answer(seen.loose()),
            "a part was left loose in the circulation",
        ),
        (
            "entrapment",
            "device entrapment",
            look.answer(seen.stuck()),
            "a part could not be removed by usual traction",
        ),
        ("fracture", "device fracture", look.answer(seen.broken()), "a wire, catheter or stent broke"),
        (
            "longitudinal-deformation",
            "longitudinal stent deformation",
            distorted.or(short),
            "a deployed stent shortened by more than 2 mm or was distorted along its axis",
        ),
    ];
    let also: Vec<&str> =
        kinds.iter().filter(|(_, _, met, _)| met.is_yes()).skip(1).map(|kind| kind.1).collect();
    if !also.is_empty() {
        look.note(format!("Also {}.", also.join(" and ")));
    }
    let open = Judgement::any(kinds.iter().map(|(_, _, met, _)| met.clone()));
    match kinds.into_iter().find(|(_, _, met, _)| met.is_yes()) {
        Some((code, label, _, clause)) => look.met(code, label, clause),
        None if open.is_unknown() => look.open(&open),
        None => look.not_met("no device complication", "nothing lost, stuck, broken or deformed"),
    }
}
