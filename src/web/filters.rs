//! The form above what it narrows down: months and choices, read from the address.

use super::form::{Choice, ChoiceGroup, FieldError, Reader, Values};
use crate::case::Month;
use crate::rates::{Period, PeriodError};

/// Reads `from` and `to`: both or neither.
pub(super) fn read_period(reader: &mut Reader, values: &Values) -> Option<Period> {
    let given = |name| !values.get(name).trim().is_empty();
    let (from, to) = (reader.optional::<Month>("from"), reader.optional::<Month>("to"));
    for (name, other) in [("from", "to"), ("to", "from")] {
        if given(other) && !given(name) {
            reader.mark(name, "Give both months, or leave both empty for the usual period.");
        }
    }
    match Period::new(from?, to?) {
        Ok(period) => Some(period),
        Err(error) => {
            reader.mark(if matches!(error, PeriodError::TooLong(_)) { "from" } else { "to" }, error);
            None
        }
    }
}

/// The two months of a period, as [`read_period`] reads them.
pub(super) fn period_values(period: Period) -> Values {
    Values::new().with("from", period.from()).with("to", period.to())
}

/// A field of the form.
#[derive(Debug, Clone)]
pub(super) struct FilterField {
    pub(super) name: &'static str,
    pub(super) label: &'static str,
    pub(super) value: String,
    pub(super) error: String,
    /// What can be chosen; none for a month or for words.
    pub(super) groups: Vec<ChoiceGroup>,
    /// Whether it takes words to look for rather than a month.
    pub(super) words: bool,
    /// Whether a choice is found by typing.
    pub(super) by_typing: bool,
}

impl FilterField {
    /// A browser empties a month input whose value is no month, and what was typed would be lost.
    pub(super) fn kind(&self) -> &'static str {
        if self.words {
            return "search";
        }
        if self.value.is_empty() || self.value.parse::<Month>().is_ok() { "month" } else { "text" }
    }

    /// What was asked for and is no choice; it stays to be seen.
    pub(super) fn is_foreign(&self) -> bool {
        let is_choice =
            self.groups.iter().flat_map(|group| &group.choices).any(|choice| choice.value == self.value);
        !self.value.is_empty() && !is_choice
    }
}

/// The form.
#[derive(Debug, Clone)]
pub(super) struct FilterForm {
    pub(super) fields: Vec<FilterField>,
    pub(super) errors: Vec<FieldError>,
    /// Values that the form carries and nobody sees.
    pub(super) carried: Vec<(&'static str, String)>,
}

impl FilterForm {
    /// A form that begins with words to look for.
    pub(super) fn of_words(
        field: (&'static str, &'static str),
        values: &Values,
        errors: Vec<FieldError>,
    ) -> Self {
        let mut form =
            Self { fields: Vec::new(), errors, carried: Vec::new() }.field(field, Vec::new(), values);
        for field in &mut form.fields {
            field.words = true;
        }
        form
    }

    /// With a value that the form carries and nobody sees.
    pub(super) fn carrying(mut self, name: &'static str, value: impl ToString) -> Self {
        self.carried.push((name, value.to_string()));
        self
    }

    /// With a choice under headings that is found by typing, or none of them.
    pub(super) fn tree(
        self,
        field: (&'static str, &'static str),
        groups: Vec<ChoiceGroup>,
        values: &Values,
    ) -> Self {
        let any = ChoiceGroup { label: String::new(), choices: vec![Choice::new("", "any")] };
        let mut form = self.field(field, std::iter::once(any).chain(groups).collect(), values);
        if let Some(last) = form.fields.last_mut() {
            last.by_typing = true;
        }
        form
    }

    /// A form of a period.
    pub(super) fn of_period(values: &Values, errors: Vec<FieldError>) -> Self {
        Self { fields: Vec::new(), errors, carried: Vec::new() }
            .field(("from", "From month"), Vec::new(), values)
            .field(("to", "To month"), Vec::new(), values)
    }

    /// With a choice; the name and the label of its field come first.
    pub(super) fn choice(
        self,
        field: (&'static str, &'static str),
        choices: Vec<Choice>,
        values: &Values,
    ) -> Self {
        self.grouped(field, vec![ChoiceGroup { label: String::new(), choices }], values)
    }

    /// With a choice under headings.
    pub(super) fn grouped(
        self,
        field: (&'static str, &'static str),
        groups: Vec<ChoiceGroup>,
        values: &Values,
    ) -> Self {
        self.field(field, groups, values)
    }

    fn field(
        mut self,
        (name, label): (&'static str, &'static str),
        groups: Vec<ChoiceGroup>,
        values: &Values,
    ) -> Self {
        let error = self
            .errors
            .iter()
            .find(|error| error.name == name)
            .map_or_else(String::new, |error| error.message.clone());
        let value = values.get(name).to_owned();
        let field = FilterField { name, label, value, error, groups, words: false, by_typing: false };
        self.fields.push(field);
        self
    }

    pub(super) fn label_of(&self, name: &str) -> &'static str {
        self.fields.iter().find(|field| field.name == name).map_or("", |field| field.label)
    }

    /// What stands over the list of errors.
    pub(super) fn error_heading(&self) -> String {
        match self.errors.len() {
            1 => "Nothing is shown yet: one field needs another look".to_owned(),
            count => format!("Nothing is shown yet: {count} fields need another look"),
        }
    }
}
