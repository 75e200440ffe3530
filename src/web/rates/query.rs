//! What is asked of the rates, read from the address.

use crate::quantity::words;
use crate::rates::{ALL_PCI, Chosen, Every, Period, Rules, Within};
use crate::vocabulary::{Stratum, StratumSlug, Vocabulary};
use crate::web::filters::{self, FilterForm, read_period};
use crate::web::form::{Choice, FieldError, Reader, Values};

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
    filters::period_values(period).with("stratum", stratum.map_or(ALL, |stratum| stratum.slug.as_str()))
}

/// Values as a query, to stand after an address.
pub(super) fn query_of(values: Values) -> String {
    form_urlencoded::Serializer::new(String::new()).extend_pairs(values.into_pairs()).finish()
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

fn choices<T: Copy + ToString>(all: &[T], label: impl Fn(T) -> &'static str) -> Vec<Choice> {
    all.iter().map(|&word| Choice::new(word, label(word))).collect()
}

/// The form of the page of rates.
pub(super) fn form_of_rates(values: &Values, vocabulary: &Vocabulary, errors: Vec<FieldError>) -> FilterForm {
    form_of_period(values, vocabulary, errors).choice(
        ("by", "Line by line"),
        choices(By::ALL, By::label),
        values,
    )
}

/// The form of the page of one subject.
pub(super) fn form_of_one(values: &Values, vocabulary: &Vocabulary, errors: Vec<FieldError>) -> FilterForm {
    form_of_period(values, vocabulary, errors)
        .choice(("every", "Step"), choices(Every::ALL, Every::label), values)
        .choice(("chart", "Chart"), choices(Chosen::ALL, Chosen::label), values)
        .choice(("rules", "Rules"), choices(Rules::ALL, Rules::label), values)
}

fn form_of_period(values: &Values, vocabulary: &Vocabulary, errors: Vec<FieldError>) -> FilterForm {
    let told = vocabulary.strata.iter().filter(|stratum| Within::of(stratum).is_some());
    let strata = std::iter::once(Choice::new(ALL, vocabulary.stratum_label(&ALL_PCI)))
        .chain(told.map(|stratum| Choice::new(&stratum.slug, &stratum.label)))
        .collect();
    FilterForm::of_period(values, errors).choice(("stratum", "Procedures"), strata, values)
}
