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
