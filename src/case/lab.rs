//! A laboratory value of a case: what was measured, when it was drawn, and when it came back.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use crate::clinical::quantities::{
    CkMb, CkMbUnit, Creatinine, CreatinineUnit, Haemoglobin, HaemoglobinUnit, Measured, PlateletUnit,
    Platelets, Troponin, TroponinUnit, Unit,
};
use crate::quantity::{Offset, QuantityError, words};

words!(
    /// What a laboratory measured.
    LabTest, "a laboratory test", {
        Troponin = "troponin", "Troponin";
        CkMb = "ck-mb", "CK-MB";
        Creatinine = "creatinine", "Creatinine";
        Haemoglobin = "haemoglobin", "Haemoglobin";
        Platelets = "platelets", "Platelets";
    }
);

impl LabTest {
    /// The units that it is given in; the first is the usual one.
    #[must_use]
    pub const fn units(self) -> &'static [&'static str] {
        match self {
            Self::Troponin => TroponinUnit::SYMBOLS,
            Self::CkMb => CkMbUnit::SYMBOLS,
            Self::Creatinine => CreatinineUnit::SYMBOLS,
            Self::Haemoglobin => HaemoglobinUnit::SYMBOLS,
            Self::Platelets => PlateletUnit::SYMBOLS,
        }
    }

    /// Whether a value of it means nothing without the limit of its assay.
    #[must_use]
    pub const fn needs_limit(self) -> bool {
        matches!(self, Self::Troponin | Self::CkMb)
    }

    /// What its limit is called.
    #[must_use]
    pub const fn limit_words(self) -> &'static str {
        match self {
            Self::Troponin => "the 99th percentile of the assay",
            _ => "the upper limit of normal",
        }
    }
}

/// Why a laboratory value cannot be kept, and which part of it is wrong.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum LabError {
    /// The value cannot be read.
    #[error("{0}")]
    Value(QuantityError),
    /// The limit cannot be read, is missing, or is given where there is none.
    #[error("{0}")]
    Limit(QuantityError),
}

impl LabError {
    /// The field that is wrong.
    #[must_use]
    pub const fn field(&self) -> &'static str {
        match self {
            Self::Value(_) => "value",
            Self::Limit(_) => "limit",
        }
    }
}

/// A value with its unit and, for a biomarker, the limit of its assay.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum LabResult {
    /// Troponin, with the 99th percentile of its assay.
    Troponin(Troponin),
    /// CK-MB, with its upper limit of normal.
    CkMb(CkMb),
    /// Creatinine.
    Creatinine(Creatinine),
    /// Haemoglobin.
    Haemoglobin(Haemoglobin),
    /// Platelets.
    Platelets(Platelets),
}

impl LabResult {
    /// Reads a value and its limit, each a number with its unit.
    ///
    /// # Errors
    /// Which of the two is wrong, in a sentence that says what is allowed.
    pub fn read(test: LabTest, value: &str, limit: Option<&str>) -> Result<Self, LabError> {
        if let (false, Some(_)) = (test.needs_limit(), limit) {
            let message = format!("{} is kept without a limit. Leave it out.", test.label());
            return Err(LabError::Limit(QuantityError(message)));
        }
        match test {
            LabTest::Troponin => {
                let (value, limit) = both(test, value, limit)?;
                Troponin::new(value, limit).map(Self::Troponin).map_err(LabError::Limit)
            }
            LabTest::CkMb => {
                let (value, limit) = both(test, value, limit)?;
                CkMb::new(value, limit).map(Self::CkMb).map_err(LabError::Limit)
            }
            LabTest::Creatinine => value.parse().map(Self::Creatinine).map_err(LabError::Value),
            LabTest::Haemoglobin => value.parse().map(Self::Haemoglobin).map_err(LabError::Value),
            LabTest::Platelets => value.parse().map(Self::Platelets).map_err(LabError::Value),
        }
    }

    /// What was measured.
    #[must_use]
    pub const fn test(&self) -> LabTest {
        match self {
            Self::Troponin(_) => LabTest::Troponin,
            Self::CkMb(_) => LabTest::CkMb,
            Self::Creatinine(_) => LabTest::Creatinine,
            Self::Haemoglobin(_) => LabTest::Haemoglobin,
            Self::Platelets(_) => LabTest::Platelets,
        }
    }

    /// The value with its unit, as it reads back.
    #[must_use]
    pub fn value(&self) -> String {
        match self {
            Self::Troponin(result) => result.value().to_string(),
            Self::CkMb(result) => result.value().to_string(),
            Self::Creatinine(value) => value.to_string(),
            Self::Haemoglobin(value) => value.to_string(),
            Self::Platelets(value) => value.to_string(),
        }
    }

    /// The limit of the assay with its unit.
    #[must_use]
    pub fn limit(&self) -> Option<String> {
        match self {
            Self::Troponin(result) => Some(result.limit().to_string()),
            Self::CkMb(result) => Some(result.limit().to_string()),
            Self::Creatinine(_) | Self::Haemoglobin(_) | Self::Platelets(_) => None,
        }
    }
}

type Both<U> = (Measured<U>, Measured<U>);

fn both<U: Unit>(test: LabTest, value: &str, limit: Option<&str>) -> Result<Both<U>, LabError> {
    let value = value.parse().map_err(LabError::Value)?;
    let Some(limit) = limit else {
        let message = format!(
            "{} means nothing without a limit: give {}, sex-specific where the laboratory has one.",
            test.label(),
            test.limit_words()
        );
        return Err(LabError::Limit(QuantityError(message)));
    };
    Ok((value, limit.parse().map_err(LabError::Limit)?))
}

/// One laboratory value of a case.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, JsonSchema)]
#[serde(try_from = "LabText", into = "LabText")]
#[schemars(with = "LabText")]
pub struct Lab {
    /// When it was drawn.
    pub drawn: Offset,
    /// When the result came back; nobody knew it before.
    pub returned: Option<Offset>,
    /// What was measured.
    pub result: LabResult,
}

/// A laboratory value as a file holds it.
#[derive(Debug, Clone, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(rename = "Lab")]
struct LabText {
    /// What was measured.
    test: LabTest,
    /// When it was drawn.
    drawn: Offset,
    /// When the result came back; nobody knew it before.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    returned: Option<Offset>,
    /// The value with its unit: `70 ng/L`, `1.2 mg/dL`.
    value: String,
    /// The limit of the assay with its unit; troponin and CK-MB need it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    limit: Option<String>,
}

impl TryFrom<LabText> for Lab {
    type Error = LabError;
    fn try_from(text: LabText) -> Result<Self, LabError> {
        let result = LabResult::read(text.test, &text.value, text.limit.as_deref())?;
        Ok(Self { drawn: text.drawn, returned: text.returned, result })
    }
}

impl From<Lab> for LabText {
    fn from(lab: Lab) -> Self {
        Self {
            test: lab.result.test(),
            drawn: lab.drawn,
            returned: lab.returned,
            value: lab.result.value(),
            limit: lab.result.limit(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_biomarker_needs_the_limit_of_its_assay_and_nothing_else_has_one() {
        let read = LabResult::read;
        assert!(read(LabTest::Troponin, "70 ng/L", Some("14 ng/L")).is_ok());
        assert_eq!(read(LabTest::Troponin, "70 ng/L", None).unwrap_err().field(), "limit");
        assert_eq!(read(LabTest::CkMb, "12", Some("5 ng/mL")).unwrap_err().field(), "value");
        assert_eq!(read(LabTest::CkMb, "12 ng/mL", Some("0 ng/mL")).unwrap_err().field(), "limit");
        assert_eq!(read(LabTest::Platelets, "200 ×10⁹/L", Some("1")).unwrap_err().field(), "limit");
        assert!(read(LabTest::Creatinine, "1.2 mg/dL", None).is_ok());
        assert!(read(LabTest::Haemoglobin, "8.1 mmol/L", None).is_ok());
    }

    #[test]
    fn a_value_reads_back_from_its_own_words() {
        for (test, value, limit) in [
            (LabTest::Troponin, "0.07 µg/L", Some("14 ng/L")),
            (LabTest::CkMb, "25 U/L", Some("24 U/L")),
            (LabTest::Creatinine, "106 µmol/L", None),
            (LabTest::Haemoglobin, "13.9 g/dL", None),
            (LabTest::Platelets, "180 ×10⁹/L", None),
        ] {
            let result = LabResult::read(test, value, limit).unwrap();
            let again = LabResult::read(test, &result.value(), result.limit().as_deref()).unwrap();
            assert_eq!(result, again);
            assert_eq!(result.test(), test);
            assert!(test.units().iter().any(|unit| result.value().ends_with(unit)), "{}", result.value());
        }
    }
}
