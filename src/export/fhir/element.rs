//! The parts of FHIR R5 that are used. What is empty is left out, as its JSON asks for.

use serde::Serialize;

/// A word of a code system.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(super) struct Coding {
    pub(super) system: &'static str,
    pub(super) code: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) display: Option<String>,
}

/// A concept, as one or more code systems name it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(super) struct CodeableConcept {
    pub(super) coding: Vec<Coding>,
}

impl From<Coding> for CodeableConcept {
    fn from(coding: Coding) -> Self {
        Self { coding: vec![coding] }
    }
}

/// A number that somebody gave to a thing.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(super) struct Identifier {
    pub(super) system: &'static str,
    pub(super) value: String,
}

/// Leads to a resource.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(super) struct Reference {
    pub(super) reference: String,
}

impl Reference {
    /// Leads to a resource that the one that refers contains.
    pub(super) fn inside(id: &str) -> Self {
        Self { reference: format!("#{id}") }
    }
}

/// `AdverseEvent.suspectEntity`.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct SuspectEntity {
    pub(super) instance_codeable_concept: CodeableConcept,
}

/// `AdverseEvent.contributingFactor` and `.mitigatingAction`, which are built alike.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct Item {
    pub(super) item_codeable_concept: CodeableConcept,
}

impl From<Coding> for Item {
    fn from(coding: Coding) -> Self {
        Self { item_codeable_concept: coding.into() }
    }
}

/// `AdverseEvent`.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct AdverseEvent {
    pub(super) contained: Vec<Contained>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub(super) identifier: Vec<Identifier>,
    pub(super) status: &'static str,
    pub(super) actuality: &'static str,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub(super) category: Vec<CodeableConcept>,
    pub(super) code: CodeableConcept,
    pub(super) subject: Reference,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub(super) resulting_effect: Vec<Reference>,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) seriousness: Option<CodeableConcept>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub(super) outcome: Vec<CodeableConcept>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub(super) suspect_entity: Vec<SuspectEntity>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub(super) contributing_factor: Vec<Item>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub(super) mitigating_action: Vec<Item>,
}

/// A resource that lives inside another.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(tag = "resourceType")]
pub(super) enum Contained {
    /// The patient, of whom the sex is told and nothing else.
    Patient { id: &'static str, gender: &'static str },
    /// A harm that this one led to.
    #[serde(rename_all = "camelCase")]
    Condition { id: String, clinical_status: CodeableConcept, code: CodeableConcept, subject: Reference },
}

/// A concept of a code system, with those that stand under it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub(super) struct Concept {
    pub(super) code: String,
    pub(super) display: String,
    #[serde(skip_serializing_if = "Option::is_none")]
    pub(super) definition: Option<String>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub(super) concept: Vec<Self>,
}

/// `CodeSystem`.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct CodeSystem {
    pub(super) url: &'static str,
    pub(super) name: &'static str,
    pub(super) title: &'static str,
    pub(super) status: &'static str,
    pub(super) experimental: bool,
    pub(super) description: &'static str,
    pub(super) case_sensitive: bool,
    pub(super) hierarchy_meaning: &'static str,
    pub(super) compositional: bool,
    pub(super) content: &'static str,
    pub(super) count: usize,
    pub(super) concept: Vec<Concept>,
}

/// A resource of the bundle.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(tag = "resourceType")]
pub(super) enum Resource {
    AdverseEvent(Box<AdverseEvent>),
    CodeSystem(CodeSystem),
}

/// `Bundle.entry`.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct Entry {
    pub(super) full_url: String,
    pub(super) resource: Resource,
}

/// `Bundle`.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "camelCase")]
pub(super) struct Bundle {
    pub(super) resource_type: &'static str,
    #[serde(rename = "type")]
    pub(super) kind: &'static str,
    pub(super) entry: Vec<Entry>,
}
