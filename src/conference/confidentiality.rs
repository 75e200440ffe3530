//! The line that a department puts over its agendas, meetings and minutes.

use std::fmt;
use std::str::FromStr;

use crate::case::{Sentences, TextError};

/// The confidentiality line: up to 600 characters. Law on peer review differs from place to place, so
/// each department writes its own; the usual one names no law.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Confidentiality(Sentences);

const USUAL: &str = "Confidential peer review. What is shown and said here stays inside the department; local law on peer-review protection decides what may be shared.";

impl Confidentiality {
    /// The line.
    #[must_use]
    pub fn as_str(&self) -> &str {
        self.0.as_str()
    }

    /// Whether it is the usual one.
    #[must_use]
    pub fn is_usual(&self) -> bool {
        self.as_str() == USUAL
    }
}

impl Default for Confidentiality {
    #[expect(clippy::expect_used, reason = "a constant")]
    fn default() -> Self {
        Self(USUAL.parse().expect("a line that fits"))
    }
}

impl FromStr for Confidentiality {
    type Err = TextError;
    fn from_str(text: &str) -> Result<Self, TextError> {
        text.parse().map(Self)
    }
}

impl fmt::Display for Confidentiality {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_usual_line_fits_and_a_department_writes_its_own() {
        let usual = Confidentiality::default();
        assert!(usual.is_usual() && usual.as_str().starts_with("Confidential peer review."));
        assert!(!"For this room only.".parse::<Confidentiality>().unwrap().is_usual());
        assert_eq!("  ".parse::<Confidentiality>(), Err(TextError::Empty));
        assert!("x".repeat(601).parse::<Confidentiality>().is_err());
    }
}
