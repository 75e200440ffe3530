//! A decision point: a moment with a question, the options as they stood, what was chosen, and what
//! followed.

use std::fmt;

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::code::Key;
use super::text::{Line, Paragraph, Sentences, Words};
use crate::quantity::{Offset, QuantityError};

/// The most options of one decision.
pub const OPTIONS_AT_MOST: usize = 6;
/// The most reasons for an option, and the most against it.
pub const REASONS_AT_MOST: usize = 6;

/// A moment of a case at which somebody had to choose.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct Decision {
    /// The name by which lessons and votes point to it.
    pub key: Key,
    /// When, from time zero: what had happened by this second was known.
    pub at: Offset,
    /// The question as it stood.
    pub question: Sentences,
    /// What could be done, at most six.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    #[schemars(length(max = 6))]
    pub options: Vec<DecisionOption>,
    /// The number of the option that was chosen, from 1.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub chosen: Option<OptionNumber>,
    /// The role that chose, never a person.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub chosen_by: Option<Words>,
    /// What followed.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub followed: Option<Paragraph>,
}

impl Decision {
    /// The option of a number; none when the decision has no such option.
    #[must_use]
    pub fn option(&self, number: OptionNumber) -> Option<&DecisionOption> {
        self.options.get(number.index())
    }

    /// The option that was chosen.
    #[must_use]
    pub fn chosen_option(&self) -> Option<&DecisionOption> {
        self.chosen.and_then(|number| self.option(number))
    }
}

/// Something that could be done, with what spoke for it and against it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
pub struct DecisionOption {
    /// What could be done.
    pub text: Line,
    /// Reasons for it, each a line; at most six.
    #[serde(default, rename = "for", skip_serializing_if = "Vec::is_empty")]
    #[schemars(length(max = 6))]
    pub reasons_for: Vec<Line>,
    /// Reasons against it, each a line; at most six.
    #[serde(default, rename = "against", skip_serializing_if = "Vec::is_empty")]
    #[schemars(length(max = 6))]
    pub reasons_against: Vec<Line>,
}

/// The number of an option of a decision, 1 to 6.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "i64", into = "i64")]
pub struct OptionNumber(u8);

impl OptionNumber {
    /// The number of the option at this place of the list, from 0; none beyond the sixth.
    #[must_use]
    pub fn of_index(index: usize) -> Option<Self> {
        let number = u8::try_from(index).ok()?.checked_add(1)?;
        (usize::from(number) <= OPTIONS_AT_MOST).then_some(Self(number))
    }

    /// The place in the list, from 0.
    #[must_use]
    pub const fn index(self) -> usize {
        self.0 as usize - 1
    }

    /// The number, from 1.
    #[must_use]
    pub const fn number(self) -> i64 {
        self.0 as i64
    }
}

impl TryFrom<i64> for OptionNumber {
    type Error = QuantityError;
    fn try_from(number: i64) -> Result<Self, Self::Error> {
        usize::try_from(number)
            .ok()
            .and_then(|number| number.checked_sub(1))
            .and_then(Self::of_index)
            .ok_or_else(|| QuantityError("The number of an option is 1 to 6.".to_owned()))
    }
}

impl From<OptionNumber> for i64 {
    fn from(number: OptionNumber) -> Self {
        number.number()
    }
}

impl fmt::Display for OptionNumber {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.0)
    }
}

impl std::str::FromStr for OptionNumber {
    type Err = QuantityError;
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        text.trim().parse::<i64>().unwrap_or(0).try_into()
    }
}

impl JsonSchema for OptionNumber {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "OptionNumber".into()
    }
    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        schemars::json_schema!({ "type": "integer", "minimum": 1, "maximum": OPTIONS_AT_MOST })
    }
}

#[cfg(test)]
mod tests {
    use super::OptionNumber;

    #[test]
    fn an_option_has_a_number_from_one_to_six() {
        assert!(["0", "7", "-1", "two", ""].iter().all(|text| text.parse::<OptionNumber>().is_err()));
        let third: OptionNumber = "3".parse().unwrap();
        assert_eq!((third.index(), third.number(), third.to_string().as_str()), (2, 3, "3"));
        assert_eq!(OptionNumber::of_index(5).map(OptionNumber::number), Some(6));
        assert_eq!(OptionNumber::of_index(6), None);
    }
}
