//! The age, with every one above 89 kept as one.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

use super::MeasureError;

/// The patient's age in whole years, 18 to 89; every age above is kept as "90 or older".
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Age {
    /// 18 to 89.
    Years(u8),
    /// Any age above 89, which alone could identify a person (45 CFR 164.514(b)(2)).
    NinetyOrOlder,
}

impl Age {
    /// The age of so many years; 90 and above become "90 or older", and the number is dropped.
    ///
    /// # Errors
    /// Below 18 or above 120.
    pub fn from_years(years: i64) -> Result<Self, MeasureError> {
        match u8::try_from(years) {
            Ok(years @ 18..=89) => Ok(Self::Years(years)),
            Ok(90..=120) => Ok(Self::NinetyOrOlder),
            _ => Err(MeasureError("An age is 18 to 89 years, or 90 or older.")),
        }
    }

    /// The number the database keeps: the years, or 90 for "90 or older".
    #[must_use]
    pub fn stored(self) -> i64 {
        match self {
            Self::Years(years) => i64::from(years),
            Self::NinetyOrOlder => 90,
        }
    }
}

impl fmt::Display for Age {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Years(years) => write!(f, "{years}"),
            Self::NinetyOrOlder => f.write_str("90 or older"),
        }
    }
}

impl FromStr for Age {
    type Err = MeasureError;
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let text = text.trim();
        if text.eq_ignore_ascii_case("90 or older") {
            return Ok(Self::NinetyOrOlder);
        }
        Self::from_years(text.parse().unwrap_or(-1))
    }
}

impl Serialize for Age {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::Years(years) => serializer.serialize_u8(*years),
            Self::NinetyOrOlder => serializer.serialize_str("90 or older"),
        }
    }
}

impl<'de> Deserialize<'de> for Age {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Visitor;
        impl serde::de::Visitor<'_> for Visitor {
            type Value = Age;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("an age of 18 to 89 years, or \"90 or older\"")
            }
            fn visit_i64<E: serde::de::Error>(self, years: i64) -> Result<Age, E> {
                Age::from_years(years).map_err(E::custom)
            }
            fn visit_u64<E: serde::de::Error>(self, years: u64) -> Result<Age, E> {
                self.visit_i64(i64::try_from(years).unwrap_or(-1))
            }
            fn visit_str<E: serde::de::Error>(self, text: &str) -> Result<Age, E> {
                text.parse().map_err(E::custom)
            }
        }
        deserializer.deserialize_any(Visitor)
    }
}

impl schemars::JsonSchema for Age {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Age".into()
    }
    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        schemars::json_schema!({ "oneOf": [
            { "type": "integer", "minimum": 18, "maximum": 120 },
            { "type": "string", "const": "90 or older" }
        ] })
    }
}
