//! What a department keeps for itself besides its trees: which rule it takes where sources clash,
//! the units that its hospital uses, and its own lists of response prompts.

mod own_list;
pub mod prompt_store;
mod prompt_words;
pub mod store;
pub mod template_store;
mod units;

use crate::clinical::Choices;
use crate::response::PromptList;

pub use own_list::{LeftOut, OwnList, problem_at_name, read_own, ships};
pub use prompt_words::PromptWords;
pub use units::{UsualUnits, unit_of};

/// A department's settings, as every page reads them.
#[derive(Debug, Clone, Default)]
pub struct Department {
    /// Where sources clash: what it takes.
    pub choices: Choices,
    /// The units that were used last.
    pub units: UsualUnits,
    /// Its lists of response prompts: those that ship with the program, then its own that can
    /// be read and are not retired.
    pub prompts: Vec<PromptList>,
}
