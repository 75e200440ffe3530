//! The department's words: the mechanism tree, the root-cause taxonomy, the strata of
//! procedures at risk.
//!
//! The trees come from two data files of this folder, are put into the database at start, and
//! can be added to by a department; a leaf in use is retired, never removed.

mod seed;
mod slug;
pub mod store;
mod tree;

pub use seed::{Seed, causes, mechanisms};
pub use slug::{CauseSlug, MechanismSlug, SlugError, StratumSlug};
pub use tree::{Branch, Cause, Mechanism, MechanismRole, Stratum, Vocabulary};

/// The shipped tree as a department has it before it changes anything, for tests of the pure core.
#[cfg(test)]
pub(crate) fn shipped_mechanisms() -> Vec<Mechanism> {
    let as_kept = |leaf: &seed::MechanismSeed| Mechanism {
        slug: leaf.slug.clone(),
        branch: leaf.branch.clone(),
        label: leaf.label.clone(),
        definition: leaf.definition.clone(),
        example: leaf.example.clone(),
        words: leaf.words.clone(),
        at_risk: leaf.at_risk.clone(),
        role: leaf.role,
        own: false,
        retired: false,
    };
    mechanisms().leaf.iter().map(as_kept).collect()
}
