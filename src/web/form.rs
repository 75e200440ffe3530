//! Forms as data: what was typed, reading it into the record's types, and showing it again.
//!
//! A form is read once, at the edge. What cannot be read goes back with every typed value in its
//! place, the field marked, and a sentence that says what is allowed.

use std::str::FromStr;

use axum::body::Body;
use axum::extract::{FromRequest, Request};

use super::error::Error;
use super::merge::{MARKS, marks};
use super::state::App;
use crate::case::Month;
use crate::department::unit_of;

/// The most bytes that a form may send.
pub const FORM_BYTES: usize = 512 * 1024;
/// The most fields that a form may send; the largest of ours, a year of counts, has some 200.
pub const FORM_FIELDS: usize = 2_000;

/// What a form holds, name by name, as it was typed.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Values(Vec<(String, String)>);

impl Values {
    /// No values: an empty form.
    #[must_use]
    pub const fn new() -> Self {
        Self(Vec::new())
    }

    /// Adds a value.
    #[must_use]
    pub fn with(mut self, name: &str, value: impl ToString) -> Self {
        self.0.push((name.to_owned(), value.to_string()));
        self
    }

    /// The values without those of a name.
    #[must_use]
    pub fn without(mut self, name: &str) -> Self {
        self.0.retain(|(other, _)| other != name);
        self
    }

    /// Adds a value when there is one.
    #[must_use]
    pub fn with_opt(self, name: &str, value: Option<impl ToString>) -> Self {
        match value {
            Some(value) => self.with(name, value),
            None => self,
        }
    }

    /// Adds several values of one name.
    #[must_use]
    pub fn with_all<T: ToString>(self, name: &str, values: impl IntoIterator<Item = T>) -> Self {
        values.into_iter().fold(self, |all, value| all.with(name, value))
    }

    /// The first value of a name, empty when there is none.
    #[must_use]
    pub fn get(&self, name: &str) -> &str {
        self.0.iter().find(|(key, _)| key == name).map_or("", |(_, value)| value.as_str())
    }

    /// Every value of a name.
    pub fn all(&self, name: &str) -> impl Iterator<Item = &str> {
        self.0.iter().filter(move |(key, _)| key == name).map(|(_, value)| value.as_str())
    }

    /// Whether a name has this value.
    #[must_use]
    pub fn has(&self, name: &str, value: &str) -> bool {
        self.all(name).any(|held| held == value)
    }

    /// A number with its unit: as it was typed where the unit was typed with it, else with the unit
    /// chosen beside it. Empty when no number was typed.
    #[must_use]
    pub fn quantity(&self, name: &str) -> String {
        let number = self.get(name).trim();
        let bare = number.chars().all(|c| c.is_ascii_digit() || matches!(c, '.' | ',' | ' '));
        let unit = self.get(&format!("{name}_unit"));
        if number.is_empty() || !bare || unit.is_empty() {
            return number.to_owned();
        }
        format!("{number} {unit}")
    }

    /// Adds a number and its unit, each in its own field.
    #[must_use]
    pub fn with_quantity(self, name: &str, text: &str) -> Self {
        let unit = unit_of(text);
        let number = text.strip_suffix(unit).unwrap_or(text).trim();
        let both = self.with(name, number);
        if unit.is_empty() { both } else { both.with(&format!("{name}_unit"), unit) }
    }

    /// Whether a checkbox of this name was ticked.
    #[must_use]
    pub fn ticked(&self, name: &str) -> bool {
        self.all(name).any(|value| !value.is_empty())
    }

    /// Names and values in their order.
    #[must_use]
    pub fn into_pairs(self) -> Vec<(String, String)> {
        self.0
    }

    /// The values of a form-encoded text, such as a query.
    #[must_use]
    pub fn from_encoded(text: &str) -> Self {
        Self(form_urlencoded::parse(text.as_bytes()).into_owned().collect())
    }

    /// The values of a form-encoded body.
    ///
    /// # Errors
    /// When the body is larger than [`FORM_BYTES`], has more than [`FORM_FIELDS`] fields, or breaks off.
    pub async fn from_body(body: Body) -> Result<Self, Error> {
        let bytes = axum::body::to_bytes(body, FORM_BYTES).await.map_err(|_| {
            Error::BadRequest(
                "The form is larger than half a megabyte. Shorten the longest text; it is still in your browser: go back.".to_owned(),
            )
        })?;
        if bytes.iter().filter(|byte| **byte == b'&').count() >= FORM_FIELDS {
            return Err(Error::BadRequest(
                "The form has more fields than any of ours. Go back, and open its page afresh.".to_owned(),
            ));
        }
        Ok(Self(form_urlencoded::parse(&bytes).into_owned().collect()))
    }
}

impl FromRequest<App> for Values {
    type Rejection = Error;
    async fn from_request(request: Request, _: &App) -> Result<Self, Error> {
        Self::from_body(request.into_body()).await
    }
}

/// What is wrong with a field, in a sentence.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FieldError {
    /// The field.
    pub name: String,
    /// What is wrong and what is allowed.
    pub message: String,
}

/// Reads values into types and keeps what is wrong with them.
#[derive(Debug)]
pub struct Reader<'a> {
    values: &'a Values,
    errors: Vec<FieldError>,
}

impl<'a> Reader<'a> {
    /// A reader of a form's values.
    #[must_use]
    pub const fn new(values: &'a Values) -> Self {
        Self { values, errors: Vec::new() }
    }

    /// Marks a field.
    pub fn mark(&mut self, name: &str, message: impl ToString) {
        self.errors.push(FieldError { name: name.to_owned(), message: message.to_string() });
    }

    fn parse<T>(&mut self, name: &str, text: &str) -> Option<T>
    where
        T: FromStr,
        T::Err: ToString,
    {
        if text.contains('\u{FFFD}') {
            self.mark(name, "Some characters here did not arrive whole. Type them again.");
            return None;
        }
        match text.parse() {
            Ok(value) => Some(value),
            Err(error) => {
                self.mark(name, error);
                None
            }
        }
    }

    /// A value that must be there.
    pub fn required<T>(&mut self, name: &str, when_empty: &str) -> Option<T>
    where
        T: FromStr,
        T::Err: ToString,
    {
        let text = self.values.get(name);
        if text.trim().is_empty() {
            self.mark(name, when_empty);
            return None;
        }
        self.parse(name, text)
    }

    /// The month of something that has happened: one must be given, and none to come.
    pub fn past_month(&mut self, name: &str, this_month: Month) -> Option<Month> {
        let month = self.required::<Month>(name, "Say in which month it was.")?;
        if month > this_month {
            self.mark(name, "This month is still to come. Say in which month it was.");
            return None;
        }
        Some(month)
    }

    /// A value that may be left empty.
    pub fn optional<T>(&mut self, name: &str) -> Option<T>
    where
        T: FromStr,
        T::Err: ToString,
    {
        let text = self.values.get(name);
        if text.trim().is_empty() {
            return None;
        }
        self.parse(name, text)
    }

    /// A number with its unit, which may be left empty.
    pub fn quantity<T>(&mut self, name: &str) -> Option<T>
    where
        T: FromStr,
        T::Err: ToString,
    {
        let text = self.values.quantity(name);
        if text.is_empty() { None } else { self.parse(name, &text) }
    }

    /// Every value of a name.
    pub fn many<T>(&mut self, name: &str) -> Vec<T>
    where
        T: FromStr,
        T::Err: ToString,
    {
        let texts: Vec<&str> = self.values.all(name).filter(|text| !text.trim().is_empty()).collect();
        texts.into_iter().filter_map(|text| self.parse(name, text)).collect()
    }

    /// One value a line, empty lines left out.
    pub fn lines<T>(&mut self, name: &str, at_most: usize) -> Vec<T>
    where
        T: FromStr,
        T::Err: ToString,
    {
        let lines: Vec<&str> = self.values.get(name).lines().filter(|line| !line.trim().is_empty()).collect();
        if lines.len() > at_most {
            self.mark(name, format!("At most {at_most} lines; there are {}.", lines.len()));
        }
        lines.into_iter().take(at_most).filter_map(|line| self.parse(name, line)).collect()
    }

    /// Whether nothing is marked.
    #[must_use]
    pub fn is_clean(&self) -> bool {
        self.errors.is_empty()
    }

    /// The result: the value when no field was marked, what is wrong otherwise.
    ///
    /// # Errors
    /// The marks, when there are any or the value is missing.
    pub fn finish<T>(self, value: Option<T>) -> Result<T, Vec<FieldError>> {
        match value {
            Some(value) if self.errors.is_empty() => Ok(value),
            _ => Err(self.errors),
        }
    }
}

/// One thing to choose.
#[derive(Debug, Clone)]
pub struct Choice {
    /// What is sent.
    pub value: String,
    /// What is read.
    pub label: String,
    /// Everyday words that find it.
    pub words: String,
    /// A second, quieter line.
    pub small: String,
}

impl Choice {
    /// A choice without more to say.
    #[must_use]
    pub fn new(value: impl ToString, label: impl ToString) -> Self {
        Self {
            value: value.to_string(),
            label: label.to_string(),
            words: String::new(),
            small: String::new(),
        }
    }

    /// The choice with everyday words that find it.
    #[must_use]
    pub fn found_by(mut self, words: impl ToString) -> Self {
        self.words = words.to_string();
        self
    }

    /// The choice with a second line.
    #[must_use]
    pub fn explained(mut self, small: impl ToString) -> Self {
        self.small = small.to_string();
        self
    }
}

/// Choices under one heading; without a heading they stand at the top.
#[derive(Debug, Clone)]
pub struct ChoiceGroup {
    /// The heading; empty for none.
    pub label: String,
    /// The choices.
    pub choices: Vec<Choice>,
}

/// What a field is answered with.
#[derive(Debug, Clone)]
pub enum Control {
    /// One line of text.
    Line {
        /// `text`, `month`, `date`, `search`.
        kind: &'static str,
        /// A class for its width: `w-short`, `w-mid`, `w-long` or none.
        width: &'static str,
        /// The unit written behind it; empty for none.
        unit: &'static str,
    },
    /// A number with one of these units, sent under the name and the name with `_unit` behind.
    Quantity {
        /// The units on offer.
        units: &'static [&'static str],
        /// The one that is offered first.
        usual: &'static str,
    },
    /// A password or a code, which no page shows again once it was sent.
    Secret {
        /// What it is for the browser: `current-password`, `new-password` or `one-time-code`.
        autocomplete: &'static str,
    },
    /// A value that the form carries and nobody sees.
    Hidden,
    /// Several lines of text; the number is how many show.
    Lines(u8),
    /// One of a list; chosen by typing where scripts run.
    Select {
        /// What stands for no answer; none when an answer must be given.
        empty: Option<&'static str>,
        /// The choices.
        groups: Vec<ChoiceGroup>,
        /// Whether typing finds a choice.
        by_typing: bool,
    },
    /// One of a few, all in view.
    Radios(Vec<Choice>),
    /// Any of a few, all in view.
    Checks(Vec<Choice>),
    /// Yes or no.
    Toggle,
}

/// A field of a form.
#[derive(Debug, Clone)]
pub struct Field {
    /// Its name, also its id.
    pub name: &'static str,
    /// What it asks.
    pub label: String,
    /// How to answer.
    pub hint: String,
    /// Whether it says that it may stay empty.
    pub optional: bool,
    /// What it is answered with.
    pub control: Control,
}

impl Field {
    /// A field that must be answered.
    #[must_use]
    pub fn new(name: &'static str, label: impl Into<String>, control: Control) -> Self {
        Self { name, label: label.into(), hint: String::new(), optional: false, control }
    }

    /// A field of one line.
    #[must_use]
    pub fn line(name: &'static str, label: impl Into<String>, width: &'static str) -> Self {
        Self::new(name, label, Control::Line { kind: "text", width, unit: "" })
    }

    /// A field of one number with a unit.
    #[must_use]
    pub fn number(name: &'static str, label: impl Into<String>, unit: &'static str) -> Self {
        Self::new(name, label, Control::Line { kind: "number", width: "w-short", unit })
    }

    /// A field of a number with one of several units.
    #[must_use]
    pub fn quantity(
        name: &'static str,
        label: impl Into<String>,
        units: &'static [&'static str],
        usual: &'static str,
    ) -> Self {
        Self::new(name, label, Control::Quantity { units, usual })
    }

    /// A field that nobody sees.
    #[must_use]
    pub fn hidden(name: &'static str) -> Self {
        Self::new(name, "", Control::Hidden)
    }

    /// A field of a password or a code; see [`Control::Secret`].
    #[must_use]
    pub fn secret(name: &'static str, label: impl Into<String>, autocomplete: &'static str) -> Self {
        Self::new(name, label, Control::Secret { autocomplete })
    }

    /// A field of several lines.
    #[must_use]
    pub fn lines(name: &'static str, label: impl Into<String>, rows: u8) -> Self {
        Self::new(name, label, Control::Lines(rows))
    }

    /// A field that is answered from a list of the trade's words, or not at all.
    #[must_use]
    pub fn words(
        name: &'static str,
        label: impl Into<String>,
        empty: &'static str,
        choices: Vec<Choice>,
    ) -> Self {
        let groups = vec![ChoiceGroup { label: String::new(), choices }];
        Self::new(name, label, Control::Select { empty: Some(empty), groups, by_typing: false })
    }

    /// Whether its choices stand beside one another: only short ones do.
    #[must_use]
    pub fn stands_across(&self) -> bool {
        const SHORT: usize = 36;
        match &self.control {
            Control::Radios(choices) => choices.iter().all(|choice| choice.label.chars().count() <= SHORT),
            _ => false,
        }
    }

    /// The field with a hint.
    #[must_use]
    pub fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hint = hint.into();
        self
    }

    /// The field, saying that it may stay empty.
    #[must_use]
    pub fn optional(mut self) -> Self {
        self.optional = true;
        self
    }
}

/// The choices of a closed list of words.
#[macro_export]
macro_rules! choices {
    ($list:ty) => {
        <$list>::ALL
            .iter()
            .map(|word| {
                $crate::web::form::Choice::new(word.slug(), $crate::web::form::capitalised(word.label()))
            })
            .collect::<Vec<_>>()
    };
}

/// A label with its first letter large.
#[must_use]
pub fn capitalised(label: &str) -> String {
    let mut letters = label.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// A form to be shown: its fields, what they hold, what is wrong with them.
#[derive(Debug, Clone)]
pub struct FormView {
    /// Where it is sent.
    pub action: String,
    /// Where giving up leads.
    pub cancel: String,
    /// What the button says.
    pub save: &'static str,
    /// The fields.
    pub fields: Vec<Field>,
    /// What they hold.
    pub values: Values,
    /// What is wrong.
    pub errors: Vec<FieldError>,
    /// The fingerprint of what was shown when the form was opened; empty for a new row.
    pub base: String,
    /// Where to send that the row be taken out; none when the form is no row's.
    pub take_out: Option<String>,
}

impl FormView {
    /// What the form held when it was opened, as marks of its fields: as they were sent along, else of what it
    /// holds now.
    #[must_use]
    pub fn marks(&self) -> String {
        match self.values.get(MARKS) {
            "" => marks(&self.fields, &self.values),
            carried => carried.to_owned(),
        }
    }

    /// The unit that a number is shown with: the one that was chosen, else the usual one.
    #[must_use]
    pub fn unit<'a>(&'a self, name: &str, usual: &'a str) -> &'a str {
        match self.values.get(&format!("{name}_unit")) {
            "" => usual,
            chosen => chosen,
        }
    }

    /// What is wrong with a field; empty when nothing is.
    #[must_use]
    pub fn error(&self, name: &str) -> &str {
        self.errors.iter().find(|error| error.name == name).map_or("", |error| error.message.as_str())
    }

    /// The ids that describe a field: its hint and its error.
    #[must_use]
    pub fn described_by(&self, field: &Field) -> String {
        let mut ids = Vec::new();
        if !field.hint.is_empty() {
            ids.push(format!("{}-hint", field.name));
        }
        if !self.error(field.name).is_empty() {
            ids.push(format!("{}-error", field.name));
        }
        ids.join(" ")
    }

    /// The label of the field of an error, for the list at the top.
    #[must_use]
    pub fn label_of(&self, name: &str) -> &str {
        self.fields.iter().find(|field| field.name == name).map_or("This form", |field| field.label.as_str())
    }

    /// What stands over the list of errors.
    #[must_use]
    pub fn error_heading(&self) -> String {
        match self.errors.len() {
            1 => "Nothing is saved yet: one field needs another look".to_owned(),
            count => format!("Nothing is saved yet: {count} fields need another look"),
        }
    }

    /// What a field holds, in words, for setting two versions side by side.
    #[must_use]
    pub fn in_words(field: &Field, values: &Values) -> String {
        let label = |choices: &[Choice], value: &str| {
            choices
                .iter()
                .find(|choice| choice.value == value)
                .map_or_else(|| value.to_owned(), |choice| choice.label.clone())
        };
        match &field.control {
            Control::Quantity { .. } => values.quantity(field.name),
            Control::Secret { .. } => String::new(),
            Control::Line { .. } | Control::Lines(_) | Control::Hidden => values.get(field.name).to_owned(),
            Control::Toggle => if values.ticked(field.name) { "yes" } else { "no" }.to_owned(),
            Control::Radios(choices) => label(choices, values.get(field.name)),
            Control::Checks(choices) => {
                values.all(field.name).map(|value| label(choices, value)).collect::<Vec<_>>().join(", ")
            }
            Control::Select { groups, .. } => {
                let all: Vec<Choice> = groups.iter().flat_map(|group| group.choices.clone()).collect();
                label(&all, values.get(field.name))
            }
        }
    }
}
