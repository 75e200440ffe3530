//! The words that a list of response prompts may use.

use crate::case::{Device, EventKind};
use crate::response::Allowed;
use crate::vocabulary::Vocabulary;

/// The slugs of mechanisms, kinds of event and device classes that a list may name.
#[derive(Debug, Clone)]
pub struct PromptWords<'v> {
    mechanisms: Vec<&'v str>,
    kinds: Vec<&'static str>,
    devices: Vec<&'static str>,
}

impl<'v> PromptWords<'v> {
    /// The words of a department with this vocabulary.
    #[must_use]
    pub fn of(vocabulary: &'v Vocabulary) -> Self {
        Self {
            mechanisms: vocabulary.mechanisms.iter().map(|leaf| leaf.slug.as_str()).collect(),
            kinds: EventKind::ALL.iter().map(|kind| kind.slug()).collect(),
            devices: Device::ALL.iter().map(|device| device.slug()).collect(),
        }
    }

    /// The same, as a list is read against them.
    #[must_use]
    pub fn allowed(&self) -> Allowed<'_> {
        Allowed { mechanisms: &self.mechanisms, kinds: &self.kinds, devices: &self.devices }
    }
}
