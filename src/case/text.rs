//! Text that a person typed, bounded and free of control characters.

use std::borrow::Cow;
use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

/// Why a text cannot be kept as it is.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum TextError {
    /// Nothing but white space.
    #[error("Write something here.")]
    Empty,
    /// More characters than the field holds.
    #[error("At most {limit} characters fit here; this has {length}.")]
    TooLong {
        /// Characters that fit.
        limit: usize,
        /// Characters that were given.
        length: usize,
    },
    /// A control character other than a line break or a tab.
    #[error(
        "There is an invisible control character in this text. Type it again, or paste it as plain text."
    )]
    ControlCharacter,
}

/// Text of 1 to `MAX` characters, trimmed, with `\n` line ends.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Text<const MAX: usize>(String);

/// A title: one line.
pub type Title = Text<160>;
/// A few words: a role, a term.
pub type Words = Text<120>;
/// A line: an option, a reason.
pub type Line = Text<300>;
/// A sentence or two.
pub type Sentences = Text<600>;
/// A paragraph or two.
pub type Paragraph = Text<2_000>;
/// A whole story.
pub type Story = Text<20_000>;

impl<const MAX: usize> Text<MAX> {
    /// The text.
    #[must_use]
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl<const MAX: usize> FromStr for Text<MAX> {
    type Err = TextError;
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let text = text.replace("\r\n", "\n").replace('\r', "\n");
        let text = text.trim();
        if text.is_empty() {
            return Err(TextError::Empty);
        }
        let length = text.chars().count();
        if length > MAX {
            return Err(TextError::TooLong { limit: MAX, length });
        }
        if text.chars().any(|c| c.is_control() && c != '\n' && c != '\t') {
            return Err(TextError::ControlCharacter);
        }
        Ok(Self(text.to_owned()))
    }
}

impl<const MAX: usize> fmt::Display for Text<MAX> {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl<const MAX: usize> Serialize for Text<MAX> {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_str(&self.0)
    }
}

impl<'de, const MAX: usize> Deserialize<'de> for Text<MAX> {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        String::deserialize(deserializer)?.parse().map_err(serde::de::Error::custom)
    }
}

impl<const MAX: usize> schemars::JsonSchema for Text<MAX> {
    fn schema_name() -> Cow<'static, str> {
        format!("Text{MAX}").into()
    }
    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        schemars::json_schema!({ "type": "string", "minLength": 1, "maxLength": MAX })
    }
}
