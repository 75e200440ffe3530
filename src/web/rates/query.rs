//! What is asked of the rates, read from the address.

use crate::case::Month;
use crate::quantity::words;
use crate::rates::{Period, PeriodError};
use crate::web::form::{FieldError, Reader, Values};

words!(
    /// What a line of the rates stands for.
    By, "a way to group", {
        Mechanism = "mechanism", "Mechanism";
        Branch = "branch", "Branch of the tree";
    }
);

/// What is asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Asked {
    /// The period; `None` for the usual one.
    pub(super) period: Option<Period>,
    pub(super) by: By,
}

impl Asked {
    /// Reads `from`, `to` and `by`. Without months it is the usual period.
    pub(super) fn read(values: &Values) -> Result<Self, Vec<FieldError>> {
        let mut reader = Reader::new(values);
        let given = |name| !values.get(name).trim().is_empty();
        let (from, to) = (reader.optional::<Month>("from"), reader.optional::<Month>("to"));
        let by = reader.optional::<By>("by").unwrap_or(By::Mechanism);
        for (name, other) in [("from", "to"), ("to", "from")] {
            if given(other) && !given(name) {
                reader.mark(name, "Give both months, or leave both empty for the usual period.");
            }
        }
        let period = match (from, to) {
            (Some(from), Some(to)) => match Period::new(from, to) {
                Ok(period) => Some(period),
                Err(error) => {
                    let place = if matches!(error, PeriodError::TooLong(_)) { "from" } else { "to" };
                    reader.mark(place, error);
                    None
                }
            },
            _ => None,
        };
        reader.finish(Some(Self { period, by }))
    }
}

/// A month in the form, as it was typed.
#[derive(Debug, Clone)]
pub(super) struct MonthField {
    pub(super) name: &'static str,
    pub(super) label: &'static str,
    pub(super) value: String,
    pub(super) error: String,
}

impl MonthField {
    fn new(name: &'static str, label: &'static str, value: &str, errors: &[FieldError]) -> Self {
        let error = errors
            .iter()
            .find(|error| error.name == name)
            .map_or_else(String::new, |error| error.message.clone());
        Self { name, label, value: value.to_owned(), error }
    }

    /// A browser empties a month input whose value is no month, and what was typed would be lost.
    pub(super) fn kind(&self) -> &'static str {
        if self.value.is_empty() || self.value.parse::<Month>().is_ok() { "month" } else { "text" }
    }
}

/// The form of the period.
#[derive(Debug, Clone)]
pub(super) struct PeriodForm {
    pub(super) months: [MonthField; 2],
    pub(super) by: String,
    pub(super) errors: Vec<FieldError>,
}

impl PeriodForm {
    fn new(from: &str, to: &str, by: &str, errors: Vec<FieldError>) -> Self {
        Self {
            months: [
                MonthField::new("from", "From month", from, &errors),
                MonthField::new("to", "To month", to, &errors),
            ],
            by: by.to_owned(),
            errors,
        }
    }

    /// The form as it was typed, with what is wrong.
    pub(super) fn typed(values: &Values, errors: Vec<FieldError>) -> Self {
        Self::new(values.get("from"), values.get("to"), values.get("by"), errors)
    }

    /// The form of a period that is shown.
    pub(super) fn of(period: Period, by: By) -> Self {
        Self::new(&period.from().to_string(), &period.to().to_string(), by.slug(), Vec::new())
    }

    /// What is wrong with the grouping; empty when nothing is.
    pub(super) fn by_error(&self) -> &str {
        self.errors.iter().find(|error| error.name == "by").map_or("", |error| error.message.as_str())
    }

    pub(super) fn label_of(&self, name: &str) -> &'static str {
        self.months.iter().find(|month| month.name == name).map_or("Line by line", |month| month.label)
    }

    /// What stands over the list of errors.
    pub(super) fn error_heading(&self) -> String {
        match self.errors.len() {
            1 => "No rates yet: one field needs another look".to_owned(),
            count => format!("No rates yet: {count} fields need another look"),
        }
    }

    pub(super) fn choices(&self) -> &'static [By] {
        By::ALL
    }
}
