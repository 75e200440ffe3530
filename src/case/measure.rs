//! Quantities of a case: months, age, lengths, pressure, Medina class, dates of follow-up.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

use crate::quantity::serde_as_text;

/// Why a text or number is not one of the quantities of a case.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("{0}")]
pub struct MeasureError(pub &'static str);

/// A month of a year, `2025-03`. Cases have months, never days.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Month {
    year: i16,
    month: i8,
}

impl Month {
    const PROBLEM: MeasureError =
        MeasureError("A month is a year and a month, such as 2026-03, from 1990 to 2100.");

    /// A month, 1 to 12, of a year, 1990 to 2100.
    ///
    /// # Errors
    /// Outside those ranges.
    pub fn new(year: i64, month: i64) -> Result<Self, MeasureError> {
        match (i16::try_from(year), i8::try_from(month)) {
            (Ok(year @ 1990..=2100), Ok(month @ 1..=12)) => Ok(Self { year, month }),
            _ => Err(Self::PROBLEM),
        }
    }

    /// The year.
    #[must_use]
    pub const fn year(self) -> i64 {
        self.year as i64
    }

    /// The month of the year, 1 to 12.
    #[must_use]
    pub const fn month(self) -> i64 {
        self.month as i64
    }

    /// The month so many months later, or earlier when negative; stays within 1990 to 2100.
    #[must_use]
    pub fn plus(self, months: i64) -> Self {
        let index = (self.year() * 12 + self.month() - 1 + months).clamp(1990 * 12, 2100 * 12 + 11);
        Self::new(index.div_euclid(12), index.rem_euclid(12) + 1).unwrap_or(self)
    }

    /// How many months lie from this one to a later one, 0 for the same.
    #[must_use]
    pub const fn until(self, later: Self) -> i64 {
        (later.year() * 12 + later.month()) - (self.year() * 12 + self.month())
    }

    /// As a person reads it, `March 2025`.
    #[must_use]
    pub fn in_words(self) -> String {
        const NAMES: [&str; 12] = [
            "January",
            "February",
            "March",
            "April",
            "May",
            "June",
            "July",
            "August",
            "September",
            "October",
            "November",
            "December",
        ];
        let index = usize::try_from(self.month - 1).unwrap_or(0);
        format!("{} {}", NAMES[index], self.year)
    }
}

impl fmt::Display for Month {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{:04}-{:02}", self.year, self.month)
    }
}

impl FromStr for Month {
    type Err = MeasureError;
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let text = text.trim();
        let (year, month) = text.split_once('-').ok_or(Self::PROBLEM)?;
        let number = |text: &str, length: usize| {
            (text.len() == length && text.bytes().all(|b| b.is_ascii_digit()))
                .then(|| text.parse::<i64>().ok())
                .flatten()
                .ok_or(Self::PROBLEM)
        };
        Self::new(number(year, 4)?, number(month, 2)?)
    }
}

serde_as_text!(Month, ToString::to_string, "Year and month", r"^\d{4}-(0[1-9]|1[0-2])$");

/// A day, for what has one: a conference, an action's due date, a signature. Never for a case.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Day(jiff::civil::Date);

impl Day {
    /// The calendar date.
    #[must_use]
    pub const fn date(self) -> jiff::civil::Date {
        self.0
    }

    /// As a person reads it, `30 June 2025`.
    #[must_use]
    pub fn in_words(self) -> String {
        self.0.strftime("%-d %B %Y").to_string()
    }

    /// The month that the day is in.
    #[must_use]
    pub fn month(self) -> Option<Month> {
        Month::new(self.0.year().into(), self.0.month().into()).ok()
    }
}

impl From<jiff::civil::Date> for Day {
    fn from(date: jiff::civil::Date) -> Self {
        Self(date)
    }
}

impl fmt::Display for Day {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

impl FromStr for Day {
    type Err = MeasureError;
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let problem = MeasureError("A day is year, month and day, such as 2026-06-30, from 1990 to 2100.");
        let text = text.trim();
        if text.len() != 10 {
            return Err(problem);
        }
        text.parse::<jiff::civil::Date>()
            .ok()
            .filter(|date| (1990..=2100).contains(&date.year()))
            .map(Self)
            .ok_or(problem)
    }
}

serde_as_text!(Day, ToString::to_string, "A day, for follow-up only", r"^\d{4}-\d{2}-\d{2}$");

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

/// Arterial pressure, systolic over diastolic, mmHg; 0/0 is no output.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Pressure {
    systolic: u16,
    diastolic: u16,
}

impl Pressure {
    const PROBLEM: MeasureError = MeasureError(
        "A pressure is systolic over diastolic in mmHg, such as 92/54, each 0 to 300, the first not below the second.",
    );

    /// A pressure, systolic and diastolic, each 0 to 300 mmHg.
    ///
    /// # Errors
    /// Outside that range, or with a diastolic above the systolic.
    pub fn new(systolic: i64, diastolic: i64) -> Result<Self, MeasureError> {
        match (u16::try_from(systolic), u16::try_from(diastolic)) {
            (Ok(systolic @ 0..=300), Ok(diastolic)) if diastolic <= systolic => {
                Ok(Self { systolic, diastolic })
            }
            _ => Err(Self::PROBLEM),
        }
    }

    /// Systolic pressure, mmHg.
    #[must_use]
    pub const fn systolic(self) -> i64 {
        self.systolic as i64
    }

    /// Diastolic pressure, mmHg.
    #[must_use]
    pub const fn diastolic(self) -> i64 {
        self.diastolic as i64
    }
}

impl fmt::Display for Pressure {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}/{}", self.systolic, self.diastolic)
    }
}

impl FromStr for Pressure {
    type Err = MeasureError;
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let (systolic, diastolic) = text.split_once('/').ok_or(Self::PROBLEM)?;
        let number = |text: &str| text.trim().parse::<u16>().map(i64::from).map_err(|_| Self::PROBLEM);
        Self::new(number(systolic)?, number(diastolic)?)
    }
}

serde_as_text!(Pressure, ToString::to_string, "Systolic over diastolic, mmHg", r"^\d{1,3}/\d{1,3}$");

/// Medina class of a bifurcation lesion: proximal main, distal main and side branch, 1 where the
/// diameter stenosis is 50 % or more.
///
/// # Source
/// Medina et al., Rev Esp Cardiol 2006;59:183 (from memory). (0,0,0) is no bifurcation lesion.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Medina([bool; 3]);

impl Medina {
    /// The seven classes.
    pub const ALL: [Self; 7] = [
        Self([true, true, true]),
        Self([true, true, false]),
        Self([true, false, true]),
        Self([false, true, true]),
        Self([true, false, false]),
        Self([false, true, false]),
        Self([false, false, true]),
    ];

    /// The class of three diameter stenoses in percent: proximal main, distal main, side branch;
    /// none when all are below 50 %, which is no bifurcation lesion.
    #[must_use]
    pub fn from_stenoses(percent: [u8; 3]) -> Option<Self> {
        let class = percent.map(|stenosis| stenosis >= 50);
        class.contains(&true).then_some(Self(class))
    }

    /// A true bifurcation has the side branch and at least one main segment narrowed.
    #[must_use]
    pub const fn is_true_bifurcation(self) -> bool {
        self.0[2] && (self.0[0] || self.0[1])
    }
}

impl fmt::Display for Medina {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let [a, b, c] = self.0.map(u8::from);
        write!(f, "{a},{b},{c}")
    }
}

impl FromStr for Medina {
    type Err = MeasureError;
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        let text: String = text.chars().filter(|c| !c.is_whitespace()).collect();
        Self::ALL.into_iter().find(|class| class.to_string() == text).ok_or(MeasureError(
            "A Medina class is three digits, each 0 or 1, such as 1,1,1; 0,0,0 is no bifurcation lesion.",
        ))
    }
}

serde_as_text!(Medina, ToString::to_string, "Medina class", "^[01],[01],[01]$");

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
