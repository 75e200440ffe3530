//! Our words as code systems.
//!
//! A department may add leaves to the trees, so each file carries the trees as they were when it was made.
//! The names are UUIDs, which need no registered domain and never change.

use super::element::{CodeSystem, Coding, Concept};
use crate::case::{Device, EventKind, Harm};
use crate::vocabulary::{Branch, CauseSlug, MechanismSlug, Vocabulary};

/// How a harm came about, by branches.
pub(super) const MECHANISM: &str = "urn:uuid:801f606c-ba51-4361-83c0-2218522f870a";
/// What contributed, by branches.
pub(super) const CAUSE: &str = "urn:uuid:a88872c8-4ce0-4f6f-a290-9bab356b6116";
/// Classes of devices.
pub(super) const DEVICE: &str = "urn:uuid:f9f233ff-d95e-463a-ba1a-01fdb91814aa";
/// What was done.
pub(super) const RESPONSE: &str = "urn:uuid:21aa2abf-28b4-4cc3-b795-0f651990d948";
/// Degrees of harm.
pub(super) const HARM: &str = "urn:uuid:4372b4fe-16df-4685-9b76-2c11107049fe";
/// The numbers of complications: the code of the case, a slash, the place in the case.
pub(super) const COMPLICATION: &str = "urn:uuid:1d2936f4-ff7d-4792-89bc-931a0cd24b55";

/// The code of a branch. The slash keeps it apart from the codes of leaves, which hold none.
fn branch_code(slug: &str) -> String {
    format!("branch/{slug}")
}

/// A mechanism; without a display where the tree has lost it.
pub(super) fn mechanism(vocabulary: &Vocabulary, slug: &MechanismSlug) -> Coding {
    let display = vocabulary.mechanism(slug).map(|leaf| leaf.label.clone());
    Coding { system: MECHANISM, code: slug.to_string(), display }
}

/// The branch of a mechanism.
pub(super) fn branch_of(vocabulary: &Vocabulary, slug: &MechanismSlug) -> Option<Coding> {
    let leaf = vocabulary.mechanism(slug)?;
    let branch = vocabulary.mechanism_branches.iter().find(|branch| branch.slug == leaf.branch)?;
    Some(Coding { system: MECHANISM, code: branch_code(&branch.slug), display: Some(branch.label.clone()) })
}

/// A cause; without a display where the taxonomy has lost it.
pub(super) fn cause(vocabulary: &Vocabulary, slug: &CauseSlug) -> Coding {
    let display = vocabulary.cause(slug).map(|leaf| leaf.label.clone());
    Coding { system: CAUSE, code: slug.to_string(), display }
}

pub(super) fn device(device: Device) -> Coding {
    Coding { system: DEVICE, code: device.slug().to_owned(), display: Some(device.label().to_owned()) }
}

pub(super) fn response(kind: EventKind) -> Coding {
    Coding { system: RESPONSE, code: kind.slug().to_owned(), display: Some(kind.label().to_owned()) }
}

pub(super) fn harm(harm: Harm) -> Coding {
    Coding { system: HARM, code: harm.slug().to_owned(), display: Some(harm.label().to_owned()) }
}

/// A system of these concepts.
fn system(
    url: &'static str,
    (name, title): (&'static str, &'static str),
    description: &'static str,
    concept: Vec<Concept>,
) -> CodeSystem {
    CodeSystem {
        url,
        name,
        title,
        status: "active",
        experimental: false,
        description,
        case_sensitive: true,
        hierarchy_meaning: "grouped-by",
        compositional: false,
        content: "complete",
        count: concept.iter().map(|concept| 1 + concept.concept.len()).sum(),
        concept,
    }
}

fn leaf(code: impl ToString, label: &str, definition: &str) -> Concept {
    let definition = (!definition.trim().is_empty()).then(|| definition.to_owned());
    Concept { code: code.to_string(), display: label.to_owned(), definition, concept: Vec::new() }
}

/// Branches with the leaves that are theirs.
fn tree(branches: &[Branch], leaves: &[(&str, Concept)]) -> Vec<Concept> {
    let under = |slug: &str| {
        leaves.iter().filter(|(branch, _)| *branch == slug).map(|(_, leaf)| leaf.clone()).collect()
    };
    branches
        .iter()
        .map(|branch| Concept {
            concept: under(&branch.slug),
            ..leaf(branch_code(&branch.slug), &branch.label, &branch.definition)
        })
        .collect()
}

/// Every system that an event may name.
pub(super) fn all(vocabulary: &Vocabulary) -> Vec<CodeSystem> {
    let mechanisms: Vec<(&str, Concept)> = vocabulary
        .mechanisms
        .iter()
        .map(|m| (m.branch.as_str(), leaf(&m.slug, &m.label, &m.definition)))
        .collect();
    let causes: Vec<(&str, Concept)> = vocabulary
        .causes
        .iter()
        .map(|c| (c.branch.as_str(), leaf(&c.slug, &c.label, &c.definition)))
        .collect();
    let devices = Device::ALL.iter().map(|word| leaf(word.slug(), word.label(), "")).collect();
    let kinds = EventKind::ALL.iter().map(|word| leaf(word.slug(), word.label(), "")).collect();
    let harms = Harm::ALL.iter().map(|word| leaf(word.slug(), word.label(), "")).collect();
    vec![
        system(
            MECHANISM,
            ("RelookMechanism", "How a harm of PCI came about"),
            "Branches and their leaves, as the department had them when this file was made. A branch stands as a category, a leaf as a code.",
            tree(&vocabulary.mechanism_branches, &mechanisms),
        ),
        system(
            CAUSE,
            ("RelookCause", "What contributed to a harm of PCI"),
            "Branches and their leaves, as the department had them when this file was made.",
            tree(&vocabulary.cause_branches, &causes),
        ),
        system(DEVICE, ("RelookDevice", "Classes of devices"), "Classes, never products.", devices),
        system(RESPONSE, ("RelookEventKind", "What was done or happened"), "The kind of an event.", kinds),
        system(
            HARM,
            ("RelookHarm", "Degree of harm"),
            "The degree of harm to the patient from the whole procedure, after the WHO Conceptual Framework for the International Classification for Patient Safety v1.1 (2009).",
            harms,
        ),
    ]
}
