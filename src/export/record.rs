//! What a file of the record is made from.

use std::sync::Arc;

use crate::case::Case;
use crate::vocabulary::Vocabulary;

/// A case, and the words that it was recorded with.
#[derive(Debug, Clone)]
pub struct Record {
    /// The case.
    pub case: Case,
    /// What its mechanisms and causes are called and stand under.
    pub vocabulary: Arc<Vocabulary>,
}
