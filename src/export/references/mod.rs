//! The publications that the lessons of a case rest on, for a program that keeps references.
//!
//! The record holds numbers and nothing else of a publication, so the files do: the program fills in authors
//! and titles from the number.

mod bibtex;
mod ris;

pub use bibtex::BIBTEX;
pub use ris::RIS;

use crate::case::{Case, Reference};

/// At least one publication, each once, in the order in which the lessons name them.
#[derive(Debug, Clone, PartialEq)]
pub struct References(Vec<Reference>);

impl References {
    /// Those of a case; none where no lesson names one.
    #[must_use]
    pub fn of(case: &Case) -> Option<Self> {
        Self::among(case.lessons.iter().filter_map(|lesson| lesson.reference.as_ref()))
    }

    /// These, each once.
    #[must_use]
    pub fn among<'r>(named: impl Iterator<Item = &'r Reference>) -> Option<Self> {
        let mut each: Vec<Reference> = Vec::new();
        for reference in named {
            if !each.iter().any(|known| same(known, reference)) {
                each.push(reference.clone());
            }
        }
        (!each.is_empty()).then_some(Self(each))
    }

    /// Them in their order.
    #[must_use]
    pub fn as_slice(&self) -> &[Reference] {
        &self.0
    }
}

/// Whether two numbers name one publication. A DOI does not tell small letters from capitals (ISO 26324).
fn same(one: &Reference, other: &Reference) -> bool {
    match (one, other) {
        (Reference::Doi(one), Reference::Doi(other)) => one.eq_ignore_ascii_case(other),
        _ => one == other,
    }
}
