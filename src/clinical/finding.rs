//! What a definition says about a case, with everything it rests on.

use std::borrow::Cow;
use std::fmt;
use std::ops::Deref;
use std::sync::Arc;

use super::choices::Chosen;
use super::facts::{Input, Subject};
use crate::quantity::Offset;

/// A grade that a definition gives.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Grade {
    /// The grade as the trade writes it, or a computed value: `3b`, `III-CS`, `64.5`.
    pub code: Cow<'static, str>,
    /// The same with its scale: `BARC 3b`.
    pub label: Cow<'static, str>,
}

/// What a definition comes to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Verdict {
    /// It is met, and which clause decided it.
    Met {
        /// The grade.
        grade: Grade,
        /// The deciding clause in words.
        clause: Cow<'static, str>,
    },
    /// It is not met, and which clause decided that.
    NotMet {
        /// The deciding clause in words.
        clause: Cow<'static, str>,
    },
    /// It cannot be decided.
    Undecided {
        /// What would settle it; empty when the rule itself leaves it open.
        missing: Vec<Input>,
        /// Why, in a sentence.
        why: String,
    },
}

/// An input that was looked at, with its value.
#[derive(Debug, Clone, PartialEq)]
pub struct Used {
    /// The input.
    pub input: &'static Input,
    /// Its value as a person reads it.
    pub value: String,
    /// When it was, for a laboratory value.
    pub at: Option<Offset>,
    /// Where it is recorded, when the caller said so.
    pub origin: Option<Origin>,
}

/// Where a value is recorded, as the caller called it. All values of one row share it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Origin(Arc<str>);

impl From<&str> for Origin {
    fn from(text: &str) -> Self {
        Self(text.into())
    }
}

impl Deref for Origin {
    type Target = str;
    fn deref(&self) -> &str {
        &self.0
    }
}

impl PartialEq<String> for Origin {
    fn eq(&self, other: &String) -> bool {
        *self.0 == **other
    }
}

impl fmt::Display for Origin {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self)
    }
}

/// What one definition says about one case, or about one thing in it.
#[derive(Debug, Clone, PartialEq)]
pub struct Finding {
    /// The definition's slug.
    pub definition: &'static str,
    /// What it is about, when a case has several of these.
    pub subject: Option<Subject>,
    /// What it comes to.
    pub verdict: Verdict,
    /// The result in a few words: `BARC 3b`, `no vessel closure`, `not decidable`.
    pub headline: Cow<'static, str>,
    /// The result and its reason in plain sentences, to be read aloud.
    pub sentence: String,
    /// The inputs it rests on.
    pub used: Vec<Used>,
    /// Where sources clash: what the department chose.
    pub choices: Vec<Chosen>,
    /// What else has to be known with the result: flags, other rules' results, conversions.
    pub notes: Vec<String>,
}

impl Finding {
    /// The grade's code when the definition is met.
    #[must_use]
    pub fn code(&self) -> Option<&str> {
        match &self.verdict {
            Verdict::Met { grade, .. } => Some(&grade.code),
            _ => None,
        }
    }

    /// Whether it is met.
    #[must_use]
    pub const fn is_met(&self) -> bool {
        matches!(self.verdict, Verdict::Met { .. })
    }

    /// Whether it cannot be decided.
    #[must_use]
    pub const fn is_undecided(&self) -> bool {
        matches!(self.verdict, Verdict::Undecided { .. })
    }

    /// What would settle it.
    #[must_use]
    pub fn missing(&self) -> &[Input] {
        match &self.verdict {
            Verdict::Undecided { missing, .. } => missing,
            _ => &[],
        }
    }

    /// Whether nothing that it looks at is recorded: a page may leave it folded away.
    #[must_use]
    pub fn is_untouched(&self) -> bool {
        self.is_undecided() && self.used.is_empty()
    }
}
