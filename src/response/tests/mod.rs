//! Tests of the prompts. The words that a list may use are written out here, since this core knows no
//! other module; mechanisms are leaves of the mechanism tree in the reference, section 17.

mod branches;
mod cases;
mod following;
mod law;
mod reading;
mod standard;

use super::{Allowed, Course, Near, Occurrence, PromptList, Said, Set, StepState, answers, follow};
use crate::quantity::TimiFlow;

const MECHANISMS: &[&str] = &[
    "wire-subintimal",
    "wire-distal-perforation",
    "wire-fracture",
    "wire-entrapment",
    "wire-position-lost",
    "wire-pseudostenosis",
    "flow-no-reflow",
    "flow-slow",
    "flow-distal-embolus",
    "flow-thrombus",
    "flow-spasm",
    "flow-air",
    "flow-damping",
    "branch-carina-shift",
    "branch-plaque-shift",
    "branch-jailed",
    "branch-dissection",
    "branch-thrombus",
    "balloon-dissection",
    "balloon-perforation",
    "balloon-rupture",
    "balloon-entrapment",
    "stent-edge-dissection",
    "stent-underexpansion",
    "stent-malapposition",
    "stent-loss",
    "stent-longitudinal",
    "stent-geographic-miss",
    "stent-thrombosis",
    "guide-ostial-dissection",
    "guide-left-main",
    "guide-aortic",
    "guide-extension-injury",
    "ablation-perforation",
    "ablation-stuck",
    "ablation-debris",
    "access-haematoma",
    "access-retroperitoneal",
    "access-pseudoaneurysm",
    "access-fistula",
    "access-occlusion",
    "access-spasm",
    "access-limb-ischaemia",
    "access-infection",
    "peri-tamponade",
    "peri-pacing-wire",
    "peri-late-effusion",
    "drug-allergy",
];
const KINDS: &[&str] = &[
    "access",
    "guide",
    "wire",
    "wire-position-lost",
    "balloon",
    "stent",
    "imaging",
    "finding",
    "flow",
    "symptom",
    "ecg",
    "haemodynamics",
    "drug",
    "contrast",
    "help",
    "support",
    "decision",
    "outcome",
];
const DEVICES: &[&str] = &[
    "workhorse-wire",
    "polymer-jacketed-wire",
    "stiff-wire",
    "tapered-wire",
    "pressure-wire",
    "microcatheter",
    "dual-lumen-catheter",
    "reentry-balloon",
    "compliant-balloon",
    "noncompliant-balloon",
    "scoring-balloon",
    "drug-coated-balloon",
    "perfusion-balloon",
    "drug-eluting-stent",
    "covered-stent",
    "coil",
    "aspiration-catheter",
    "atherectomy",
    "lithotripsy",
    "guide-catheter",
    "guide-extension",
    "snare",
    "intravascular-imaging",
    "temporary-pacing-wire",
    "balloon-pump",
    "pump",
    "pericardial-drain",
    "vascular-closure",
    "sheath",
    "other",
];
const ALLOWED: Allowed = Allowed { mechanisms: MECHANISMS, kinds: KINDS, devices: DEVICES };

/// A list whose mechanism is no-reflow, with these questions and steps.
fn list(rows: &str) -> PromptList {
    let text = format!(
        "slug = \"test\"\ntitle = \"Test\"\nsource = \"Invented\"\nmechanisms = [\"flow-no-reflow\", \"flow-slow\"]\n{rows}"
    );
    PromptList::parse(&text, &ALLOWED).unwrap_or_else(|problems| panic!("{problems:?}"))
}

fn standard(slug: &str) -> PromptList {
    let lists = super::standard_lists(&ALLOWED).unwrap();
    lists.into_iter().find(|list| list.slug() == slug).unwrap()
}

/// An event in the vessel of the complication.
fn event<'a>(
    place: usize,
    kind: &'a str,
    device: &'a str,
    flow: Option<i64>,
    text: &'a str,
) -> Occurrence<'a> {
    Occurrence {
        place,
        kind,
        device: (!device.is_empty()).then_some(device),
        near: Near::Same,
        flow: flow.map(|grade| TimiFlow::try_from(grade).unwrap()),
        text,
    }
}

fn said(slug: &str, set: Set) -> Said {
    Said { slug: slug.to_owned(), set }
}

/// The complication of [`list`], begun at place 10 and recognised at place 20.
const COURSE: Course = Course { mechanism: "flow-no-reflow", onset: Some(10), recognised: Some(20) };

/// The state of a step.
fn state(list: &PromptList, course: Course, events: &[Occurrence], said: &[Said], step: &str) -> StepState {
    let results = follow(list, course, events, said);
    results.into_iter().find(|result| result.step.slug == *step).unwrap().state
}

/// The step that a step came too late for.
fn late(
    list: &PromptList,
    course: Course,
    events: &[Occurrence],
    said: &[Said],
    step: &str,
) -> Option<String> {
    let results = follow(list, course, events, said);
    results.iter().find(|result| result.step.slug == *step).unwrap().late_for.map(ToString::to_string)
}

fn question(
    list: &PromptList,
    course: Course,
    events: &[Occurrence],
    said: &[Said],
    slug: &str,
) -> super::QuestionState {
    let results = answers(list, course, events, said);
    results.into_iter().find(|result| result.question.slug == *slug).unwrap().state
}

fn done(at: usize) -> StepState {
    StepState::Done { at }
}

fn perhaps(perhaps: &[usize]) -> StepState {
    StepState::NotRecorded { perhaps: perhaps.to_vec() }
}
