//! A file with a list of prompts: the list, or everything that is wrong with the file.

mod check;
mod fields;
mod nearest;
mod problem;
mod rows;
mod tree;

pub use problem::ListProblem;

use super::list::PromptList;
use fields::Fields;
use problem::Problems;
use rows::Reader;

/// The most bytes that a list may have; the longest that ships has a tenth of it.
pub const LIST_AT_MOST: usize = 128 * 1024;

/// The words that a list may be written with: the slugs that the record knows. Pass every mechanism
/// that ever was, also those a department no longer uses, since lists keep them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Allowed<'a> {
    /// Mechanisms, leaves of the mechanism tree.
    pub mechanisms: &'a [&'a str],
    /// Kinds of events.
    pub kinds: &'a [&'a str],
    /// Device classes.
    pub devices: &'a [&'a str],
}

impl PromptList {
    /// Reads a list from TOML.
    ///
    /// ```toml
    /// slug = "no-reflow"
    /// title = "No-reflow"
    /// source = "Where the list comes from"
    /// mechanisms = ["flow-no-reflow"]
    ///
    /// [[questions]]
    /// slug = "shock"
    /// asks = "Is the patient in shock?"
    /// yes_signs = [{ kinds = ["support"], devices = ["pump"] }]
    ///
    /// [[steps]]
    /// slug = "mechanical-support"
    /// text = "Mechanical support considered."
    /// why = "Drugs that dilate need a pressure to spend."
    /// only_if = { question = "shock", answer = "yes" }
    /// signs = [{ kinds = ["support"], devices = ["pump"], place = "any", from = "after-onset" }]
    /// hints = ["pump", "mechanical*"]
    /// ```
    ///
    /// Also: of the list nothing more; of a question `only_if`, `yes_mechanisms`, `no_mechanisms`,
    /// `no_signs`; of a step `source`, `before`, `may_precede`, `suggests`; of a sign `flow_at_least`,
    /// `after_lost_flow`, `after_step`.
    ///
    /// # Errors
    /// Every problem with its line and column, in the order of the file. When the file is not TOML,
    /// only that is told, since the rest cannot be judged yet.
    pub fn parse(text: &str, allowed: &Allowed) -> Result<Self, Vec<ListProblem>> {
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        let mut problems = Problems::default();
        if text.len() > LIST_AT_MOST {
            problems
                .add(0, format!("A list has at most {} KiB. Is this the right file?", LIST_AT_MOST / 1024));
            return Err(problems.told(text));
        }
        let entries = tree::read(text, &mut problems);
        if !problems.is_empty() {
            return Err(problems.told(text));
        }
        let mut reader = Reader::new(allowed, problems);
        let list = reader.list(Fields::new(&entries, 0, "a list"));
        check::check(list.as_ref(), &mut reader);
        match list {
            Some(list) if reader.problems.is_empty() => Ok(list),
            _ => Err(reader.problems.told(text)),
        }
    }
}
