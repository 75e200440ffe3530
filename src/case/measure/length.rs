//! Lengths, exact to the hundredth of a millimetre.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

use super::MeasureError;

/// A length in millimetres, kept in hundredths so that 2.75 is 2.75.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Millimetres(u32);

impl Millimetres {
    const PROBLEM: MeasureError = MeasureError("A length is 0.5 to 200 mm, with at most two decimals.");

    /// A length of so many hundredths of a millimetre, 50 to 20,000.
    ///
    /// # Errors
    /// Outside that range.
    pub fn from_hundredths(hundredths: i64) -> Result<Self, MeasureError> {
        u32::try_from(hundredths).ok().filter(|h| (50..=20_000).contains(h)).map(Self).ok_or(Self::PROBLEM)
    }

    /// Hundredths of a millimetre.
    #[must_use]
    pub const fn hundredths(self) -> i64 {
        self.0 as i64
    }
}

impl fmt::Display for Millimetres {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (whole, part) = (self.0 / 100, self.0 % 100);
        match part {
            0 => write!(f, "{whole}"),
            part if part % 10 == 0 => write!(f, "{whole}.{}", part / 10),
            part => write!(f, "{whole}.{part:02}"),
        }
    }
}

impl FromStr for Millimetres {
    type Err = MeasureError;
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let text = text.trim().replace(',', ".");
        let (whole, part) = text.split_once('.').unwrap_or((&text, ""));
        let all_digits = |text: &str| text.bytes().all(|b| b.is_ascii_digit());
        if whole.is_empty() || whole.len() > 4 || part.len() > 2 || !all_digits(whole) || !all_digits(part) {
            return Err(Self::PROBLEM);
        }
        let hundredths = format!("{whole}{part:0<2}").parse().map_err(|_| Self::PROBLEM)?;
        Self::from_hundredths(hundredths)
    }
}

impl Serialize for Millimetres {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_f64(f64::from(self.0) / 100.0)
    }
}

impl<'de> Deserialize<'de> for Millimetres {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        // Rust writes the shortest decimal that reads back to the same number, so the text of the
        // number has just the decimals that its author wrote.
        f64::deserialize(deserializer)?.to_string().parse().map_err(serde::de::Error::custom)
    }
}

impl schemars::JsonSchema for Millimetres {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Millimetres".into()
    }
    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        schemars::json_schema!({ "type": "number", "minimum": 0.5, "maximum": 200 })
    }
}
