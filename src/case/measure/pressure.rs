//! Arterial pressure.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Serialize};

use super::MeasureError;
use crate::quantity::serde_as_text;

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
