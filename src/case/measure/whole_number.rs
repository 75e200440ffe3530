//! Whole numbers with their range and unit: eGFR, weight, heart rate.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

use super::MeasureError;

/// Declares a whole number with its range and unit.
macro_rules! whole_number {
    ($name:ident, $range:expr, $doc:literal, $problem:literal) => {
        #[doc = $doc]
        #[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
        pub struct $name(u16);

        impl $name {
            /// The number.
            #[must_use]
            pub const fn get(self) -> i64 {
                self.0 as i64
            }
        }

        impl TryFrom<i64> for $name {
            type Error = MeasureError;
            fn try_from(number: i64) -> Result<Self, Self::Error> {
                u16::try_from(number)
                    .ok()
                    .filter(|n| $range.contains(n))
                    .map(Self)
                    .ok_or(MeasureError($problem))
            }
        }

        impl FromStr for $name {
            type Err = MeasureError;
            fn from_str(text: &str) -> Result<Self, Self::Err> {
                text.trim().parse::<i64>().map_err(|_| MeasureError($problem)).and_then(Self::try_from)
            }
        }

        impl fmt::Display for $name {
            fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                self.0.fmt(f)
            }
        }

        impl Serialize for $name {
            fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
                serializer.serialize_u16(self.0)
            }
        }

        impl<'de> Deserialize<'de> for $name {
            fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
                Self::try_from(i64::deserialize(deserializer)?).map_err(serde::de::Error::custom)
            }
        }

        impl schemars::JsonSchema for $name {
            fn schema_name() -> std::borrow::Cow<'static, str> {
                stringify!($name).into()
            }
            fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
                schemars::json_schema!({
                    "type": "integer", "minimum": $range.start(), "maximum": $range.end(), "description": $doc
                })
            }
        }
    };
}

whole_number!(
    Egfr,
    (1..=200_u16),
    "Estimated glomerular filtration rate, mL/min/1.73 m², 1 to 200.",
    "An eGFR is a whole number from 1 to 200 mL/min/1.73 m²."
);
whole_number!(
    WeightKg,
    (25..=300_u16),
    "Body weight in whole kilograms, 25 to 300.",
    "A weight is a whole number from 25 to 300 kg."
);
whole_number!(
    HeartRate,
    (0..=300_u16),
    "Heart rate per minute, 0 to 300; 0 is asystole.",
    "A heart rate is a whole number from 0 to 300 per minute."
);
