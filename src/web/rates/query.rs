//! What is asked of the rates, read from the address.

use crate::case::Month;
use crate::quantity::words;
use crate::rates::{Chosen, Every, Period, PeriodError, Rules, Within};
use crate::vocabulary::{Stratum, StratumSlug, Vocabulary};
use crate::web::form::{FieldError, Reader, Values};

words!(
    /// What a line of the rates stands for.
    By, "a way to group", {
        Mechanism = "mechanism", "Mechanism";
        Branch = "branch", "Branch of the tree";
    }
);

/// The value of a stratum field that leaves nothing out.
const ALL: &str = "all-pci";

/// What is asked of the page of rates.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Asked {
    /// The period; `None` for the usual one.
    pub(super) period: Option<Period>,
    /// The stratum that the rates are limited to; `None` for all procedures.
    pub(super) stratum: Option<Stratum>,
    pub(super) by: By,
}

impl Asked {
    /// Reads `from`, `to`, `stratum` and `by`. Without months it is the usual period.
    pub(super) fn read(values: &Values, vocabulary: &Vocabulary) -> Result<Self, Vec<FieldError>> {
        let mut reader = Reader::new(values);
        let period = read_period(&mut reader, values);
        let stratum = read_stratum(&mut reader, vocabulary);
        let by = reader.optional::<By>("by").unwrap_or(By::Mechanism);
        reader.finish(Some(Self { period, stratum, by }))
    }

    /// What was asked, with the period that it came to, as a query.
    pub(super) fn values(&self, period: Period) -> Values {
        period_values(period, self.stratum.as_ref()).with("by", self.by)
    }
}

/// What is asked of the page of one subject.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct AskedOfOne {
    /// The period; `None` for all that was counted.
    pub(super) period: Option<Period>,
    /// The stratum that the rates are limited to; `None` for all procedures.
    pub(super) stratum: Option<Stratum>,
    pub(super) chart: Chosen,
    pub(super) every: Every,
    pub(super) rules: Rules,
}

impl AskedOfOne {
    /// Reads `from`, `to`, `stratum`, `chart`, `every` and `rules`.
    pub(super) fn read(values: &Values, vocabulary: &Vocabulary) -> Result<Self, Vec<FieldError>> {
        let mut reader = Reader::new(values);
        let period = read_period(&mut reader, values);
        let stratum = read_stratum(&mut reader, vocabulary);
        let chart = reader.optional::<Chosen>("chart").unwrap_or(Chosen::Suited);
        let every = reader.optional::<Every>("every").unwrap_or(Every::Month);
        let rules = reader.optional::<Rules>("rules").unwrap_or(Rules::Runs);
        reader.finish(Some(Self { period, stratum, chart, every, rules }))
    }

    /// What was asked, with the period that it came to, as a query.
    pub(super) fn values(&self, period: Period) -> Values {
        period_values(period, self.stratum.as_ref())
            .with("every", self.every)
            .with("chart", self.chart)
            .with("rules", self.rules)
    }
}

fn period_values(period: Period, stratum: Option<&Stratum>) -> Values {
    Values::new()
        .with("from", period.from())
        .with("to", period.to())
        .with("stratum", stratum.map_or(ALL, |stratum| stratum.slug.as_str()))
}

/// Values as a query, to stand after an address.
pub(super) fn query_of(values: Values) -> String {
    form_urlencoded::Serializer::new(String::new()).extend_pairs(values.into_pairs()).finish()
}

/// Reads `from` and `to`: both or neither.
pub(in crate::web) fn read_period(reader: &mut Reader, values: &Values) -> Option<Period> {
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
            let place = if matches!(error, PeriodError::TooLong(_)) { "from" } else { "to" };
            reader.mark(place, error);
            None
        }
    }
}

/// Reads `stratum`: one whose cases can be told, or all.
fn read_stratum(reader: &mut Reader, vocabulary: &Vocabulary) -> Option<Stratum> {
    let slug = reader.optional::<StratumSlug>("stratum")?;
    let stratum = vocabulary.stratum(&slug);
    if slug.as_str() != ALL && stratum.and_then(Within::of).is_none() {
        reader.mark("stratum", format!("“{slug}” is no kind of procedure that cases can be told by."));
        return None;
    }
    stratum.filter(|stratum| stratum.slug.as_str() != ALL).cloned()
}

/// A field of the form above the rates.
#[derive(Debug, Clone)]
pub(super) struct FilterField {
    pub(super) name: &'static str,
    pub(super) label: &'static str,
    pub(super) value: String,
    pub(super) error: String,
    /// What can be chosen, each with its label; none for a month.
    pub(super) choices: Vec<(String, String)>,
}

impl FilterField {
    /// A browser empties a month input whose value is no month, and what was typed would be lost.
    pub(super) fn kind(&self) -> &'static str {
        if self.value.is_empty() || self.value.parse::<Month>().is_ok() { "month" } else { "text" }
    }

    /// What was asked for and is no choice; it stays to be seen.
    pub(super) fn is_foreign(&self) -> bool {
        !self.value.is_empty() && !self.choices.iter().any(|(slug, _)| *slug == self.value)
    }
}

/// The form above the rates.
#[derive(Debug, Clone)]
pub(super) struct FilterForm {
    pub(super) fields: Vec<FilterField>,
    pub(super) errors: Vec<FieldError>,
}

fn choices<T: Copy + ToString>(all: &[T], label: impl Fn(T) -> &'static str) -> Vec<(String, String)> {
    all.iter().map(|&word| (word.to_string(), label(word).to_owned())).collect()
}

impl FilterForm {
    /// The form of the page of rates.
    pub(super) fn of_rates(values: &Values, vocabulary: &Vocabulary, errors: Vec<FieldError>) -> Self {
        let form = Self::with_period(values, vocabulary, errors);
        form.field("by", "Line by line", choices(By::ALL, By::label), values)
    }

    /// The form of the page of one subject.
    pub(super) fn of_one(values: &Values, vocabulary: &Vocabulary, errors: Vec<FieldError>) -> Self {
        Self::with_period(values, vocabulary, errors)
            .field("every", "Step", choices(Every::ALL, Every::label), values)
            .field("chart", "Chart", choices(Chosen::ALL, Chosen::label), values)
            .field("rules", "Rules", choices(Rules::ALL, Rules::label), values)
    }

    fn with_period(values: &Values, vocabulary: &Vocabulary, errors: Vec<FieldError>) -> Self {
        let strata = std::iter::once((ALL.to_owned(), vocabulary.stratum_label(&crate::rates::ALL_PCI)))
            .chain(
                vocabulary
                    .strata
                    .iter()
                    .filter(|stratum| Within::of(stratum).is_some())
                    .map(|stratum| (stratum.slug.to_string(), stratum.label.clone())),
            )
            .collect();
        Self { fields: Vec::new(), errors }
            .field("from", "From month", Vec::new(), values)
            .field("to", "To month", Vec::new(), values)
            .field("stratum", "Procedures", strata, values)
    }

    fn field(
        mut self,
        name: &'static str,
        label: &'static str,
        choices: Vec<(String, String)>,
        values: &Values,
    ) -> Self {
        let error = self
            .errors
            .iter()
            .find(|error| error.name == name)
            .map_or_else(String::new, |error| error.message.clone());
        self.fields.push(FilterField { name, label, value: values.get(name).to_owned(), error, choices });
        self
    }

    pub(super) fn label_of(&self, name: &str) -> &'static str {
        self.fields.iter().find(|field| field.name == name).map_or("", |field| field.label)
    }

    /// What stands over the list of errors.
    pub(super) fn error_heading(&self) -> String {
        match self.errors.len() {
            1 => "No rates yet: one field needs another look".to_owned(),
            count => format!("No rates yet: {count} fields need another look"),
        }
    }
}
