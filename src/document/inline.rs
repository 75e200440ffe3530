//! What stands in a line.

use crate::quantity::{Certainty, Offset};

/// A piece of a line. All text is plain: no markup inside, nothing escaped yet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Inline {
    /// Text as it is.
    Text(String),
    /// Text that weighs more.
    Strong(String),
    /// Text said with a different stress: a term, a title of a paper.
    Emphasis(String),
    /// Text in the mono face: an offset, a case code.
    Mono(String),
    /// Text that was searched for and found.
    Mark(String),
    /// Text that weighs less: which events show it.
    Quiet(String),
    /// Who stands behind what was said, and since when.
    Signed(String),
    /// A value that the record does not hold, in words: "not recorded".
    Missing(String),
    /// Text that leads somewhere.
    Link {
        /// Where it leads.
        href: Href,
        /// What it says.
        text: String,
    },
}

impl Inline {
    /// The words of this piece, without how they look.
    #[must_use]
    pub fn as_text(&self) -> &str {
        match self {
            Self::Text(text)
            | Self::Strong(text)
            | Self::Emphasis(text)
            | Self::Mono(text)
            | Self::Mark(text)
            | Self::Quiet(text)
            | Self::Signed(text)
            | Self::Missing(text)
            | Self::Link { text, .. } => text,
        }
    }
}

/// An address that is safe to put into a page: `https:`, `http:`, `mailto:`, a path of this app
/// (`/cases/2026-001`) or an anchor of this page (`#lessons`).
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Href(String);

impl Href {
    /// Reads an address; `None` for any other scheme, for an address of another host without a
    /// scheme (`//host`), and for one with spaces or control characters in it.
    #[must_use]
    pub fn parse(text: &str) -> Option<Self> {
        let lower = text.to_ascii_lowercase();
        let own = text == "/"
            || text.starts_with('#')
            || (text.starts_with('/') && !text.starts_with("//") && !text.starts_with("/\\"));
        let outside = ["https://", "http://", "mailto:"]
            .iter()
            .any(|scheme| lower.starts_with(scheme) && lower.len() > scheme.len());
        let clean = !text.chars().any(|c| c.is_control() || c.is_whitespace());
        (clean && (own || outside)).then(|| Self(text.to_owned()))
    }

    /// The address as text.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }

    /// Whether it leads out of this app.
    #[must_use]
    pub fn is_outside(&self) -> bool {
        !self.0.starts_with(['/', '#'])
    }
}

/// A run of [`Inline`]s: a paragraph's, a cell's or a list item's text.
///
/// Made from a string, from one inline, or piece by piece:
/// `Phrase::new().text("Flow was lost at ").time(at, Certainty::Exact).text(".")`
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Phrase(Vec<Inline>);

impl Phrase {
    /// An empty phrase.
    #[must_use]
    pub const fn new() -> Self {
        Self(Vec::new())
    }

    /// The pieces, in reading order.
    #[must_use]
    pub fn inlines(&self) -> &[Inline] {
        &self.0
    }

    /// The words alone.
    #[must_use]
    pub fn to_text(&self) -> String {
        self.0.iter().map(Inline::as_text).collect()
    }

    /// Whether a reader would see nothing.
    #[must_use]
    pub fn is_blank(&self) -> bool {
        self.0.iter().all(|inline| inline.as_text().trim().is_empty())
    }

    /// Adds a piece.
    #[must_use]
    pub fn with(mut self, inline: Inline) -> Self {
        self.0.push(inline);
        self
    }

    /// Adds all pieces of another phrase.
    #[must_use]
    pub fn then(mut self, other: impl Into<Self>) -> Self {
        self.0.extend(other.into().0);
        self
    }

    /// Adds text.
    #[must_use]
    pub fn text(self, text: impl Into<String>) -> Self {
        self.with(Inline::Text(text.into()))
    }

    /// Adds text that weighs more.
    #[must_use]
    pub fn strong(self, text: impl Into<String>) -> Self {
        self.with(Inline::Strong(text.into()))
    }

    /// Adds text with a different stress.
    #[must_use]
    pub fn emphasis(self, text: impl Into<String>) -> Self {
        self.with(Inline::Emphasis(text.into()))
    }

    /// Adds text in the mono face.
    #[must_use]
    pub fn mono(self, text: impl Into<String>) -> Self {
        self.with(Inline::Mono(text.into()))
    }

    /// Adds text that was searched for and found.
    #[must_use]
    pub fn mark(self, text: impl Into<String>) -> Self {
        self.with(Inline::Mark(text.into()))
    }

    /// Adds text that weighs less.
    #[must_use]
    pub fn quiet(self, text: impl Into<String>) -> Self {
        self.with(Inline::Quiet(text.into()))
    }

    /// Adds who stands behind what was said.
    #[must_use]
    pub fn signed(self, text: impl Into<String>) -> Self {
        self.with(Inline::Signed(text.into()))
    }

    /// Adds a value that the record lacks, in words.
    #[must_use]
    pub fn missing(self, text: impl Into<String>) -> Self {
        self.with(Inline::Missing(text.into()))
    }

    /// Adds a time of the case as it is written everywhere; see [`uncertain_time`].
    #[must_use]
    pub fn time(self, at: Offset, certainty: Certainty) -> Self {
        self.mono(uncertain_time(at, certainty))
    }

    /// Adds a link; when the address is not a safe one (see [`Href::parse`]) only its text.
    #[must_use]
    pub fn link(self, text: impl Into<String>, href: &str) -> Self {
        match Href::parse(href) {
            Some(href) => self.with(Inline::Link { href, text: text.into() }),
            None => self.text(text),
        }
    }
}

impl From<&str> for Phrase {
    fn from(text: &str) -> Self {
        Self::new().text(text)
    }
}

impl From<String> for Phrase {
    fn from(text: String) -> Self {
        Self::new().text(text)
    }
}

impl From<Inline> for Phrase {
    fn from(inline: Inline) -> Self {
        Self(vec![inline])
    }
}

impl From<Vec<Inline>> for Phrase {
    fn from(inlines: Vec<Inline>) -> Self {
        Self(inlines)
    }
}

impl FromIterator<Inline> for Phrase {
    fn from_iter<I: IntoIterator<Item = Inline>>(inlines: I) -> Self {
        Self(inlines.into_iter().collect())
    }
}

/// A time of the case with how sure it is: `+12:30`, `≈ +12:30 (±5 min)`, `order only`.
#[must_use]
pub fn uncertain_time(at: Offset, certainty: Certainty) -> String {
    match certainty {
        Certainty::Exact => at.to_string(),
        Certainty::Within(minutes) => format!("≈ {at} (±{minutes} min)"),
        Certainty::OrderOnly => "order only".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_address_that_could_run_script_is_no_address() {
        for bad in [
            "javascript:alert(1)",
            "JaVaScRiPt:alert(1)",
            " javascript:alert(1)",
            "java\tscript:alert(1)",
            "data:text/html,x",
            "vbscript:x",
            "file:///etc/passwd",
            "//elsewhere.example",
            "/\\elsewhere.example",
            "",
            "cases",
            "https://",
            "https://a b",
        ] {
            assert_eq!(Href::parse(bad), None, "{bad:?}");
        }
        for good in [
            "https://example.org/a?b=c#d",
            "HTTP://example.org",
            "mailto:a@example.org",
            "/",
            "/cases/2026-001",
            "#lessons",
        ] {
            assert!(Href::parse(good).is_some(), "{good:?}");
        }
    }

    #[test]
    fn a_link_to_an_unsafe_address_keeps_only_its_text() {
        let phrase = Phrase::new().link("here", "javascript:alert(1)");
        assert_eq!(phrase.inlines(), [Inline::Text("here".into())]);
    }

    #[test]
    fn a_time_says_how_sure_it_is() {
        let at = Offset::from_seconds(750).unwrap();
        assert_eq!(uncertain_time(at, Certainty::Exact), "+12:30");
        assert_eq!(uncertain_time(at, Certainty::Within(5)), "≈ +12:30 (±5 min)");
        assert_eq!(uncertain_time(at, Certainty::OrderOnly), "order only");
    }
}
