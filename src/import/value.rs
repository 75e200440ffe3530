//! How each type of the record is written in a case file.

use crate::case::{
    Access, ActionKind, ActionState, Age, CaseCode, Day, Device, DissectionType, Egfr, EventKind, Extent,
    Harm, HeartRate, Key, LabTest, LessonKind, Medina, Millimetres, Month, OptionNumber, PerforationGrade,
    Presentation, Pressure, Reference, Segment, Sex, Stage, Strength, Text, TextError, Urgency, Weight,
    WeightKg, YesNo,
};
use crate::clinical::Family;
use crate::clinical::quantities::{Dose, Volume};
use crate::quantity::{Certainty, Offset, TimiFlow};
use crate::vocabulary::{CauseSlug, MechanismSlug};

use super::field::Field;
use super::nearest::hint;
use super::tree::Value;

/// Reads a value that stands in quotes.
fn text<T, E: ToString>(value: &Value, read: impl FnOnce(&str) -> Result<T, E>) -> Option<Result<T, String>> {
    match value {
        Value::Text(text) => Some(read(text).map_err(|error| error.to_string())),
        _ => None,
    }
}

/// Reads a whole number; one that is too large for the machine is too large for the field.
fn whole<T: TryFrom<i64>>(value: &Value) -> Option<Result<T, String>>
where
    T::Error: ToString,
{
    let number = match value {
        Value::Whole(number) => *number,
        Value::Number(number) if number.bytes().all(|b| b.is_ascii_digit()) => i64::MAX,
        _ => return None,
    };
    Some(T::try_from(number).map_err(|error| error.to_string()))
}

/// Types whose text form is their `FromStr`, with how they are written.
macro_rules! written_as_text {
    ($($type:ty: $written:literal;)+) => {$(
        impl Field for $type {
            const WRITTEN: &'static str = $written;
            fn read(value: &Value) -> Option<Result<Self, String>> {
                text(value, str::parse)
            }
        }
    )+};
}

written_as_text!(
    CaseCode: "a year and a number in quotes, such as \"2026-014\"";
    Month: "a year and a month in quotes, such as \"2026-03\"";
    Day: "a day in quotes, such as \"2026-06-30\"";
    Key: "a short name in quotes, such as \"wire-out\"";
    Certainty: "\"exact\", \"within 5 min\" or \"order only\", in quotes";
    Pressure: "systolic over diastolic in quotes, such as \"92/54\"";
    Medina: "three digits in quotes, such as \"1,1,1\"";
    Volume: "a volume with its unit in quotes, such as \"120 mL\"";
    Dose: "a dose with its unit in quotes, such as \"1.8 Gy\"";
    Reference: "a DOI or a PubMed number in quotes, such as \"PMID 12345678\"";
    MechanismSlug: "the slug of a mechanism in quotes, such as \"wire-subintimal\"";
    CauseSlug: "the slug of a cause in quotes, such as \"tm-role-unclear\"";
);

/// Closed lists of words, with the nearest one offered for a mistyped one.
macro_rules! written_as_word {
    ($($type:ty: $written:literal;)+) => {$(
        impl Field for $type {
            const WRITTEN: &'static str = $written;
            fn read(value: &Value) -> Option<Result<Self, String>> {
                text(value, |given| {
                    given.parse::<Self>().map_err(|error| {
                        format!("{error}{}", hint(given, Self::ALL.iter().map(|word| word.slug())))
                    })
                })
            }
        }
    )+};
}

written_as_word!(
    Stage: "a stage in quotes, such as \"recorded\"";
    Sex: "\"female\" or \"male\", in quotes";
    Presentation: "a presentation in quotes, such as \"nstemi\"";
    Access: "an access in quotes, such as \"radial\"";
    Urgency: "an urgency in quotes, such as \"elective\"";
    Extent: "\"none\", \"mild\", \"moderate\" or \"severe\", in quotes";
    EventKind: "a kind of event in quotes, such as \"wire\"";
    Device: "a device class in quotes, such as \"workhorse-wire\"";
    DissectionType: "a letter from A to F in quotes";
    PerforationGrade: "an Ellis grade in quotes, such as \"III\"";
    LabTest: "a laboratory test in quotes, such as \"creatinine\"";
    Family: "a family of inputs in quotes, such as \"bleeding\"";
    YesNo: "\"yes\" or \"no\", in quotes";
    LessonKind: "a kind of lesson in quotes, such as \"prevent\"";
    Strength: "\"stronger\", \"intermediate\" or \"weaker\", in quotes";
    Weight: "\"root\", \"contributing\" or \"incidental\", in quotes";
    ActionKind: "a kind of action in quotes, such as \"checklist\"";
    ActionState: "\"open\", \"done\" or \"dropped\", in quotes";
    Harm: "a degree of harm in quotes, such as \"mild\"";
    Segment: "a coronary segment in quotes, such as \"lad-mid\"";
);

/// Whole numbers with a range.
macro_rules! written_as_whole_number {
    ($($type:ty: $written:literal;)+) => {$(
        impl Field for $type {
            const WRITTEN: &'static str = $written;
            fn read(value: &Value) -> Option<Result<Self, String>> {
                whole(value)
            }
        }
    )+};
}

written_as_whole_number!(
    Egfr: "a whole number from 1 to 200, without quotes";
    WeightKg: "a whole number from 25 to 300, without quotes";
    HeartRate: "a whole number from 0 to 300, without quotes";
    OptionNumber: "the number of an option, 1 to 6, without quotes";
    TimiFlow: "0, 1, 2 or 3, without quotes";
);

impl<const MAX: usize> Field for Text<MAX> {
    const WRITTEN: &'static str = "text in quotes";
    fn read(value: &Value) -> Option<Result<Self, String>> {
        text(value, |given| {
            given.parse().map_err(|error: TextError| match error {
                TextError::Empty => "This text is empty. Write something, or leave the key out.".to_owned(),
                other => other.to_string(),
            })
        })
    }
}

impl Field for bool {
    const WRITTEN: &'static str = "true or false, without quotes";
    fn read(value: &Value) -> Option<Result<Self, String>> {
        match value {
            Value::Flag(flag) => Some(Ok(*flag)),
            _ => None,
        }
    }
}

impl Field for Age {
    const WRITTEN: &'static str = "a whole number from 18 to 89 without quotes, or \"90 or older\"";
    fn read(value: &Value) -> Option<Result<Self, String>> {
        match value {
            Value::Text(text) if !text.trim().eq_ignore_ascii_case("90 or older") => None,
            Value::Text(_) => Some(Ok(Self::NinetyOrOlder)),
            other => whole::<YearsOld>(other).map(|years| years.map(|YearsOld(age)| age)),
        }
    }
}

struct YearsOld(Age);

impl TryFrom<i64> for YearsOld {
    type Error = crate::case::MeasureError;
    fn try_from(years: i64) -> Result<Self, Self::Error> {
        Age::from_years(years).map(Self)
    }
}

impl Field for Millimetres {
    const WRITTEN: &'static str = "a number of millimetres without quotes, such as 2.75";
    fn read(value: &Value) -> Option<Result<Self, String>> {
        let decimals = match value {
            Value::Whole(number) => number.to_string(),
            // The shortest decimal that is this number, so that 2.750 is 2.75.
            Value::Number(number) => number.parse::<f64>().ok()?.to_string(),
            _ => return None,
        };
        Some(decimals.parse().map_err(|error: crate::case::MeasureError| error.to_string()))
    }
}

impl Field for Offset {
    const WRITTEN: &'static str = "a sign, minutes and seconds in quotes, such as \"+12:30\"";
    fn read(value: &Value) -> Option<Result<Self, String>> {
        text(value, |given| {
            let read = given.parse::<Self>();
            // On a page a bare 12 is quicker; in a file, read months later, it must not be taken
            // for a clock time.
            let as_in_a_file = given.starts_with(['+', '-']) && given.contains(':') && given.trim() == given;
            match read {
                Ok(offset) if as_in_a_file => Ok(offset),
                Ok(offset) => Err(format!(
                    "Write the time from time zero with its sign, minutes and seconds: “{}”. A clock time has no place in a case.",
                    offset.to_file_text()
                )),
                Err(_) if as_in_a_file && has_valid_form(given) => {
                    Err("A time lies within 14 days of time zero.".to_owned())
                }
                Err(_) => Err(format!(
                    "“{}” is not a time from time zero. Write a sign, minutes and seconds, such as “+12:30” or “-3:00”, or with hours, “+1:05:00”.",
                    given.chars().take(40).collect::<String>()
                )),
            }
        })
    }
}

/// Whether an offset has the right form, so that what is wrong with it is how far away it is.
fn has_valid_form(text: &str) -> bool {
    let parts: Vec<&str> = text.get(1..).unwrap_or_default().split(':').collect();
    let digits = |part: &&str| !part.is_empty() && part.bytes().all(|b| b.is_ascii_digit());
    let sixty = |part: &&str| part.len() == 2 && part.as_bytes()[0] < b'6';
    (2..=3).contains(&parts.len()) && parts.iter().all(digits) && parts.iter().skip(1).all(sixty)
}

/// The version of the format, before anything else of a file is believed.
pub(super) struct FormatNumber(pub(super) i64);

impl Field for FormatNumber {
    const WRITTEN: &'static str = "the number 1, without quotes";
    fn read(value: &Value) -> Option<Result<Self, String>> {
        match value {
            Value::Whole(number) => Some(Ok(Self(*number))),
            _ => None,
        }
    }
}
