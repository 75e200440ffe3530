//! The TIMI flow grade.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

use super::QuantityError;
use super::parse::digits;

/// TIMI flow grade, 0 to 3.
///
/// 0: no contrast passes the obstruction. 1: it passes, the distal bed never fills. 2: the bed
/// fills, visibly slower than in a comparison vessel. 3: it fills and clears as promptly.
///
/// # Source
/// TIMI Study Group, N Engl J Med 1985;312:932 (from memory).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct TimiFlow(u8);

impl TimiFlow {
    /// Every grade, from none to normal.
    pub const ALL: [Self; 4] = [Self(0), Self(1), Self(2), Self(3)];

    /// The grade as a number, 0 to 3.
    #[must_use]
    pub const fn grade(self) -> u8 {
        self.0
    }

    /// Flow counts as lost at grades 0 and 1.
    #[must_use]
    pub const fn is_lost(self) -> bool {
        self.0 <= 1
    }
}

impl TryFrom<i64> for TimiFlow {
    type Error = QuantityError;
    fn try_from(grade: i64) -> Result<Self, Self::Error> {
        u8::try_from(grade)
            .ok()
            .filter(|g| *g <= 3)
            .map(Self)
            .ok_or_else(|| QuantityError::new("A TIMI flow grade is 0, 1, 2 or 3."))
    }
}

impl From<TimiFlow> for i64 {
    fn from(flow: TimiFlow) -> Self {
        Self::from(flow.0)
    }
}

impl fmt::Display for TimiFlow {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "TIMI {}", self.0)
    }
}

impl FromStr for TimiFlow {
    type Err = QuantityError;
    /// Reads `2` or `TIMI 2`.
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let text = text.trim();
        let grade = text.strip_prefix("TIMI").map_or(text, str::trim_start);
        digits(grade, 1)
            .ok_or_else(|| QuantityError::new("A TIMI flow grade is 0, 1, 2 or 3."))
            .and_then(Self::try_from)
    }
}

impl Serialize for TimiFlow {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_u8(self.0)
    }
}

impl<'de> Deserialize<'de> for TimiFlow {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        Self::try_from(i64::deserialize(deserializer)?).map_err(serde::de::Error::custom)
    }
}

impl schemars::JsonSchema for TimiFlow {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        "TimiFlow".into()
    }
    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        schemars::json_schema!({
            "type": "integer", "minimum": 0, "maximum": 3, "description": "TIMI flow grade"
        })
    }
}
