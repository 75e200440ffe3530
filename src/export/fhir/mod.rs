//! The complications of a case as FHIR R5 resources: a `Bundle` of type `collection` with an `AdverseEvent`
//! for each complication and the `CodeSystem`s of every word of ours that they use.
//!
//! De-identified by how it is made: `event` copies words of closed lists and of the department's trees, and
//! nothing that somebody typed into the case, keys included. There is no date: FHIR asks for none, and the
//! code of the case already tells the year. There is no age either, since `subject` asks for none.
//!
//! - `element`: the parts of FHIR that are used, as types;
//! - `system`: our words as code systems;
//! - `event`: a complication as an `AdverseEvent`.
//!
//! # Source
//! HL7 FHIR R5 (5.0.0), AdverseEvent, Condition, Patient, CodeSystem and Bundle. The structure is checked in
//! the tests by a library that is made from the standard; which elements fit what, and the codes of
//! `adverse-event-outcome` and of `condition-clinical`, are from memory.

mod element;
mod event;
mod system;

use sha2::{Digest, Sha256};

use super::format::{ExportError, Format, Options};
use super::record::Record;
use element::{Bundle, Entry, Resource};

/// The format.
pub const FORMAT: Format<Record> = Format {
    slug: "fhir",
    name: "FHIR R5 AdverseEvent (JSON)",
    extension: "fhir.json",
    media_type: "application/fhir+json",
    use_for: "Each complication as an AdverseEvent of the open standard, for a system that collects them. It holds coded words alone: no text of the case, no date, no age, no name.",
    render,
};

fn render(record: &Record, _: &Options) -> Result<Vec<u8>, ExportError> {
    let mut text = serde_json::to_string_pretty(&bundle(record))
        .map_err(|error| ExportError::Packing(error.to_string()))?;
    text.push('\n');
    Ok(text.into_bytes())
}

fn bundle(record: &Record) -> Bundle {
    let events = event::events(record)
        .into_iter()
        .map(|event| Entry { full_url: name_of(&event), resource: Resource::AdverseEvent(Box::new(event)) });
    let systems = system::all(&record.vocabulary)
        .into_iter()
        .map(|system| Entry { full_url: system.url.to_owned(), resource: Resource::CodeSystem(system) });
    Bundle { resource_type: "Bundle", kind: "collection", entry: events.chain(systems).collect() }
}

/// A name for an event that is the same each time, and another for each event: its identifier, digested
/// into a UUID (RFC 9562, version 8).
fn name_of(event: &element::AdverseEvent) -> String {
    let mut digest = Sha256::new();
    for identifier in &event.identifier {
        digest.update(identifier.system);
        digest.update(b"|");
        digest.update(&identifier.value);
    }
    let mut bytes: [u8; 16] = [0; 16];
    bytes.copy_from_slice(&digest.finalize()[..16]);
    bytes[6] = bytes[6] & 0x0f | 0x80;
    bytes[8] = bytes[8] & 0x3f | 0x80;
    let hex = data_encoding::HEXLOWER.encode(&bytes);
    format!("urn:uuid:{}-{}-{}-{}-{}", &hex[..8], &hex[8..12], &hex[12..16], &hex[16..20], &hex[20..])
}
