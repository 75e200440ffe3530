//! Devices that are lost, stuck, broken or deformed.

use super::answer::Judgement;
use super::choices::Choices;
use super::definition::{Assess, Definition, Section, Source};
use super::facts::{DeviceFacts, DeviceKind, Facts, Row};
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
           Longitudinal deformation: a deployed stent shortened by more than 2 mm, or distorted along its axis. Loss and \
           deformation are asked of a stent alone.",
    boundaries: "2.0 mm of shortening is no deformation. One device can be several of these; the first in this order gives the \
                 name, and the others are noted. A device that is no stent needs no answer on loss or deformation of a stent, \
                 and while nobody has said what it is, that is asked first. An answer that a stent came off its balloon, \
                 shortened or was distorted counts whatever the device was called.",
    sources: &[
        Source::recalled("common definitions", "loss, embolisation, entrapment, fracture"),
        Source::read("PMC11264035", "longitudinal deformation: more than 2 mm, or axial distortion"),
        Source::own(
            "the order in which one name is given, and that loss and deformation are asked of a stent alone",
        ),
    ],
    inputs: &[
        DeviceFacts::KIND,
        DeviceFacts::OFF_BALLOON,
        DeviceFacts::LOOSE,
        DeviceFacts::STUCK,
        DeviceFacts::BROKEN,
        DeviceFacts::SHORTENING,
        DeviceFacts::DISTORTED,
    ],
    choices: &[],
    assess: Assess::Rows(assess),
};

const TWO_MM: Millimetres = Measured::limit(Decimal::whole(2), MillimetreUnit::Mm);

fn assess(facts: &Facts, _: &Choices) -> Vec<Finding> {
    facts.devices.iter().map(name).collect()
}

fn name(row: &Row<DeviceFacts>) -> Finding {
    let seen = &row.facts;
    let mut look = Look::at(&DEFINITION, &row.subject);
    let (lost, deformed) = of_a_stent(seen, &mut look);
    let kinds = [
        ("stent-loss", "stent loss", lost, "the stent came off its balloon before it was deployed"),
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
            deformed,
            "a deployed stent shortened by more than 2 mm or was distorted along its axis",
        ),
    ];
    let also: Vec<&str> =
        kinds.iter().filter(|(_, _, met, _)| met.is_yes()).skip(1).map(|kind| kind.1).collect();
    if !also.is_empty() {
        look.note(format_args!("Also {}.", also.join(" and ")));
    }
    if let Some((code, label, _, clause)) = kinds.iter().find(|(_, _, met, _)| met.is_yes()) {
        return look.met(*code, *label, *clause);
    }
    let any = Judgement::any(kinds.map(|(_, _, met, _)| met));
    if any.is_unknown() { look.open(&any) } else { look.not_met(NO, NOTHING) }
}

const NO: &str = "no device complication";
const NOTHING: &str = "nothing lost, stuck, broken or deformed";

/// Whether a stent was lost, and whether one was deformed. Both are no for what is no stent. Where
/// nobody has said what it is, and nothing tells of a deployed stent, that is asked before the rest.
fn of_a_stent(seen: &DeviceFacts, look: &mut Look) -> (Judgement, Judgement) {
    let kind = look.value(seen.kind());
    let lost = look.answer(seen.off_balloon());
    let distorted = look.answer(seen.distorted());
    let short = look.test(seen.shortening(), |shortening| shortening.is_above(TWO_MM));
    let tells_of_deployed = !(distorted.is_unknown() && short.is_unknown());
    let deformed = distorted.or(short);
    let settled = |clause: Judgement| match kind {
        _ if clause.is_yes() => clause,
        Some(DeviceKind::Stent) => clause,
        Some(_) => Judgement::known(false),
        None if clause.is_unknown() && !tells_of_deployed => Judgement::missing(&DeviceFacts::KIND),
        None => clause,
    };
    (settled(lost), settled(deformed))
}
