//! A biomarker with the limit of its assay, compared as multiples of that limit.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

use super::decimal::Decimal;
use super::measured::{Measured, Unit};
use crate::quantity::QuantityError;

/// A value and its upper reference limit: for troponin the assay's 99th percentile, for CK-MB its
/// upper limit of normal. Multiples are compared by cross-multiplication and never rounded.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct AgainstLimit<U: Unit> {
    value: Measured<U>,
    limit: Measured<U>,
}

impl<U: Unit> AgainstLimit<U> {
    /// A value with its limit.
    ///
    /// # Errors
    /// When the limit is zero, or the two are measured in units that do not turn into each other.
    pub fn new(value: Measured<U>, limit: Measured<U>) -> Result<Self, QuantityError> {
        if limit.exact() <= 0 {
            return Err(QuantityError(format!("The upper reference limit of {} is above 0.", U::QUANTITY)));
        }
        if value.unit().kind() != limit.unit().kind() {
            return Err(QuantityError(format!(
                "{} and its upper reference limit are in units that do not turn into each other.",
                U::QUANTITY
            )));
        }
        Ok(Self { value, limit })
    }

    /// The value.
    #[must_use]
    pub const fn value(self) -> Measured<U> {
        self.value
    }

    /// The upper reference limit.
    #[must_use]
    pub const fn limit(self) -> Measured<U> {
        self.limit
    }

    /// Whether both were measured against the same limit, so that one can be taken from the other.
    #[must_use]
    pub fn same_assay(self, other: Self) -> bool {
        self.limit.unit().kind() == other.limit.unit().kind() && self.limit.exact() == other.limit.exact()
    }

    /// Whether the value is more than so many times the limit.
    #[must_use]
    pub fn is_above(self, times: Decimal) -> bool {
        self.wide() > times.wide() * self.limit.exact()
    }

    /// Whether the value is so many times the limit or more.
    #[must_use]
    pub fn is_at_least(self, times: Decimal) -> bool {
        self.wide() >= times.wide() * self.limit.exact()
    }

    /// Whether the value has risen from an earlier one by so many times the limit or more. Both
    /// must be of the same assay.
    #[must_use]
    pub fn has_risen_by(self, earlier: Self, times: Decimal) -> bool {
        self.wide() - earlier.wide() >= times.wide() * self.limit.exact()
    }

    /// Whether the value is more than so many percent above an earlier one.
    #[must_use]
    pub fn is_percent_above(self, earlier: Self, percent: i128) -> bool {
        (self.value.exact() - earlier.value.exact()) * 100 > percent * earlier.value.exact()
    }

    /// Whether two values differ by at most so many percent of the earlier.
    #[must_use]
    pub fn is_within_percent(self, earlier: Self, percent: i128) -> bool {
        (self.value.exact() - earlier.value.exact()).abs() * 100 <= percent * earlier.value.exact()
    }

    /// The multiple of the limit for a sentence: `5.1 times`, or `about 1.97 times` when rounded.
    #[must_use]
    pub fn times_in_words(self) -> impl fmt::Display {
        in_words(self.value.exact(), self.limit.exact())
    }

    /// The rise from an earlier value as a multiple of the limit, for a sentence: `14 times`.
    #[must_use]
    pub fn rise_in_words(self, earlier: Self) -> impl fmt::Display {
        in_words(self.value.exact() - earlier.value.exact(), self.limit.exact())
    }

    /// The rise from an earlier value in percent of it, for a sentence; `None` when that was 0.
    #[must_use]
    pub fn percent_in_words(self, earlier: Self) -> Option<impl fmt::Display> {
        let over = (self.value.exact() - earlier.value.exact()) * 100;
        let percent = Decimal::quotient(over, earlier.value.exact())?;
        Some(fmt::from_fn(move |f| write!(f, "{} %", percent.spoken(&[Decimal::whole(20)]))))
    }

    /// The value, in millionths of the first unit, wide enough to compare with a multiple.
    fn wide(self) -> i128 {
        self.value.exact() * i128::from(Decimal::SCALE)
    }
}

/// The multiples that decide somewhere.
const LIMITS: [Decimal; 5] =
    [Decimal::whole(1), Decimal::whole(5), Decimal::whole(10), Decimal::whole(35), Decimal::whole(70)];

/// So many times: `5.1 times`.
fn in_words(over: i128, under: i128) -> impl fmt::Display {
    let times = Decimal::quotient(over, under);
    fmt::from_fn(move |f| match times {
        // “1 times” reads badly aloud.
        Some(times) if times == Decimal::whole(1) => f.write_str("1.0 times"),
        Some(times) => write!(f, "{} times", times.spoken(&LIMITS)),
        None => f.write_str("many times"),
    })
}

impl<U: Unit> fmt::Display for AgainstLimit<U> {
    /// `70 ng/L (limit 14 ng/L)`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} (limit {})", self.value, self.limit)
    }
}

impl<U: Unit> FromStr for AgainstLimit<U> {
    type Err = QuantityError;
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let (value, limit) = text
            .split_once("(limit")
            .and_then(|(value, rest)| Some((value, rest.trim_end().strip_suffix(')')?)))
            .ok_or_else(|| {
                QuantityError(format!(
                    "{} comes with its upper reference limit, such as 70 {unit} (limit 14 {unit}).",
                    U::QUANTITY,
                    unit = U::SYMBOLS.first().copied().unwrap_or_default()
                ))
            })?;
        Self::new(value.parse()?, limit.parse()?)
    }
}

impl<U: Unit> Serialize for AgainstLimit<U> {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de, U: Unit> Deserialize<'de> for AgainstLimit<U> {
    fn deserialize<D: serde::Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        String::deserialize(deserializer)?.parse().map_err(serde::de::Error::custom)
    }
}

impl<U: Unit> schemars::JsonSchema for AgainstLimit<U> {
    fn schema_name() -> std::borrow::Cow<'static, str> {
        format!("{}AgainstLimit", U::QUANTITY.replace('-', "")).into()
    }
    fn json_schema(_: &mut schemars::SchemaGenerator) -> schemars::Schema {
        schemars::json_schema!({
            "type": "string",
            "description": format!("{} with its upper reference limit, such as “70 ng/L (limit 14 ng/L)”", U::QUANTITY)
        })
    }
}
