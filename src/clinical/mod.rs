//! The trade's definitions, computed and explained.
//!
//! [`Facts`] go in, [`Finding`]s come out: a grade with the clause that decided it; not met, with
//! the clause; or not decidable, with what is missing. A missing input is never read as "no" or as
//! zero. Where sources clash, the rules on offer have names and a department takes one ([`Choices`]).
//!
//! One file holds one definition with its rule, its boundaries and its sources, and
//! [`DEFINITIONS`] lists them all; pages, summary and export read that list. For peer review and
//! teaching: nothing here diagnoses, and local protocol and licensed judgement decide.

pub mod answer;
pub mod choices;
pub mod definition;
pub mod facts;
pub mod finding;
mod look;
pub mod quantities;
mod sentence;
pub mod thresholds;
pub mod words;

pub mod access;
pub mod air;
pub mod anaphylaxis;
pub mod aorta;
pub mod arrest;
pub mod bifurcation;
pub mod bleeding;
pub mod blush;
pub mod bradycardia;
pub mod closure;
pub mod composite;
pub mod contrast;
pub mod contrast_limit;
pub mod device;
pub mod dissection;
pub mod egfr;
pub mod flow;
pub mod frame_count;
pub mod haematoma;
pub mod harm;
pub mod heparin_platelets;
pub mod hypotension;
pub mod infarction;
pub mod kidney;
pub mod killip;
pub mod nephropathy;
pub mod no_reflow;
pub mod perforation;
pub mod radiation;
pub mod reaction;
pub mod shock;
pub mod side_branch;
pub mod stent_thrombosis;
pub mod stent_thrombosis_time;
pub mod stroke;
pub mod systemic_embolism;
pub mod tamponade;
pub mod threatened_closure;
pub mod thrombus;
pub mod vasovagal;
pub mod ventricular_arrhythmia;

pub use answer::{Answer, Judgement};
pub use choices::{Choices, Chosen, Question};
pub use definition::{Assess, Definition, Section, Source, Standing};
pub use facts::{Facts, Family, Input, Kind, Row, Sample, Subject};
pub use finding::{Finding, Grade, Origin, Used, Verdict};

#[cfg(test)]
mod tests;

/// Every definition, by chapter and in the order of the page of all definitions.
pub const DEFINITIONS: &[Definition] = &[
    flow::DEFINITION,
    frame_count::DEFINITION,
    blush::DEFINITION,
    thrombus::DEFINITION,
    dissection::DEFINITION,
    aorta::DEFINITION,
    perforation::DEFINITION,
    tamponade::DEFINITION,
    no_reflow::DEFINITION,
    closure::DEFINITION,
    threatened_closure::DEFINITION,
    side_branch::DEFINITION,
    bifurcation::DEFINITION,
    infarction::universal::DEFINITION,
    infarction::injury::DEFINITION,
    infarction::scai::DEFINITION,
    infarction::arc2::DEFINITION,
    stent_thrombosis::DEFINITION,
    stent_thrombosis_time::DEFINITION,
    bleeding::DEFINITION,
    haematoma::DEFINITION,
    access::DEFINITION,
    kidney::DEFINITION,
    nephropathy::DEFINITION,
    egfr::DEFINITION,
    contrast::DEFINITION,
    contrast_limit::DEFINITION,
    radiation::DEFINITION,
    shock::DEFINITION,
    killip::DEFINITION,
    hypotension::DEFINITION,
    bradycardia::DEFINITION,
    ventricular_arrhythmia::DEFINITION,
    arrest::DEFINITION,
    vasovagal::DEFINITION,
    harm::DEFINITION,
    composite::DEFINITION,
    stroke::DEFINITION,
    reaction::DEFINITION,
    anaphylaxis::DEFINITION,
    heparin_platelets::DEFINITION,
    air::DEFINITION,
    systemic_embolism::DEFINITION,
    device::DEFINITION,
];

/// The definition of a name.
#[must_use]
pub fn definition(slug: &str) -> Option<&'static Definition> {
    DEFINITIONS.iter().find(|definition| definition.slug == slug)
}

/// Every finding of every definition, in the order of [`DEFINITIONS`].
#[must_use]
pub fn assess_all(facts: &Facts, choices: &Choices) -> Vec<Finding> {
    // Some definitions give a finding for each vessel; room for a few of those is mostly enough.
    let mut found = Vec::with_capacity(2 * DEFINITIONS.len());
    for definition in DEFINITIONS {
        match definition.assess {
            Assess::Case(assess) => found.push(assess(facts, choices)),
            Assess::Rows(assess) => found.append(&mut assess(facts, choices)),
        }
    }
    found
}
