//! The period and the subject that an address asks for.

use crate::case::Month;
use crate::rates::{Period, Subject};
use crate::vocabulary::Vocabulary;
use crate::web::form::{Choice, ChoiceGroup, FieldError, Reader, Values};
use crate::web::rates::read_period;

/// What is asked.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Asked {
    /// The period; `None` for the usual one.
    pub(super) period: Option<Period>,
    pub(super) subject: Subject,
}

impl Asked {
    /// Reads `from`, `to` and `of`.
    pub(super) fn read(values: &Values, vocabulary: &Vocabulary) -> Result<Self, Vec<FieldError>> {
        let mut reader = Reader::new(values);
        let period = read_period(&mut reader, values);
        let subject = subject_of(values.get("of")).filter(|subject| subject.label(vocabulary).is_some());
        if subject.is_none() {
            reader.mark("of", "Choose one from the list.");
        }
        reader.finish(subject.map(|subject| Self { period, subject }))
    }
}

/// Reads the period alone.
pub(super) fn asked_period(values: &Values) -> Result<Option<Period>, Vec<FieldError>> {
    let mut reader = Reader::new(values);
    let period = read_period(&mut reader, values);
    reader.finish(Some(period))
}

fn subject_of(text: &str) -> Option<Subject> {
    match text.split_once(':') {
        None if text.is_empty() || text == Subject::WHOLE => Some(Subject::Whole),
        Some((Subject::BRANCH, slug)) => Some(Subject::Branch(slug.to_owned())),
        Some((Subject::MECHANISM, slug)) => Some(Subject::Mechanism(slug.parse().ok()?)),
        _ => None,
    }
}

/// A subject as an address writes it.
pub(super) fn written(subject: &Subject) -> String {
    match subject.key() {
        (kind, "") => kind.to_owned(),
        (kind, slug) => format!("{kind}:{slug}"),
    }
}

/// Every subject that can be chosen: the whole, then each branch with its mechanisms.
pub(super) fn subjects(vocabulary: &Vocabulary) -> Vec<ChoiceGroup> {
    let whole = ChoiceGroup {
        label: String::new(),
        choices: vec![Choice::new(written(&Subject::Whole), Subject::ANY)],
    };
    let branches = vocabulary.mechanism_branches.iter().map(|branch| {
        let all = Subject::Branch(branch.slug.clone());
        let own = vocabulary.mechanisms.iter().filter(|leaf| leaf.branch == branch.slug && !leaf.retired);
        let leaves =
            own.map(|leaf| Choice::new(written(&Subject::Mechanism(leaf.slug.clone())), &leaf.label));
        let first = Choice::new(written(&all), format!("{}: any", branch.label));
        ChoiceGroup { label: branch.label.clone(), choices: std::iter::once(first).chain(leaves).collect() }
    });
    std::iter::once(whole).chain(branches).collect()
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
    /// A browser empties a month input whose value is no month, and what was typed would be lost.
    pub(super) fn kind(&self) -> &'static str {
        if self.value.is_empty() || self.value.parse::<Month>().is_ok() { "month" } else { "text" }
    }
}

/// The form of the period and, where there is a choice of it, the subject.
#[derive(Debug, Clone)]
pub(super) struct PeriodForm {
    pub(super) months: [MonthField; 2],
    pub(super) of: String,
    pub(super) subjects: Vec<ChoiceGroup>,
    pub(super) errors: Vec<FieldError>,
}

impl PeriodForm {
    fn new(from: &str, to: &str, errors: Vec<FieldError>) -> Self {
        let error = |name: &str| {
            errors
                .iter()
                .find(|error| error.name == name)
                .map_or_else(String::new, |error| error.message.clone())
        };
        let month = |name: &'static str, label: &'static str, value: &str| MonthField {
            name,
            label,
            value: value.to_owned(),
            error: error(name),
        };
        Self {
            months: [month("from", "From month", from), month("to", "To month", to)],
            of: String::new(),
            subjects: Vec::new(),
            errors,
        }
    }

    /// The form as it was typed, with what is wrong.
    pub(super) fn typed(values: &Values, errors: Vec<FieldError>) -> Self {
        Self::new(values.get("from"), values.get("to"), errors)
    }

    /// The form of a period that is shown.
    pub(super) fn of(period: Period) -> Self {
        Self::new(&period.from().to_string(), &period.to().to_string(), Vec::new())
    }

    /// The form with a choice of the subject.
    pub(super) fn with_subjects(self, vocabulary: &Vocabulary, of: String) -> Self {
        Self { of, subjects: subjects(vocabulary), ..self }
    }

    /// What is wrong with the subject; empty when nothing is.
    pub(super) fn of_error(&self) -> &str {
        self.errors.iter().find(|error| error.name == "of").map_or("", |error| error.message.as_str())
    }

    pub(super) fn label_of(&self, name: &str) -> &'static str {
        self.months.iter().find(|month| month.name == name).map_or("Of", |month| month.label)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_subject_is_written_as_it_is_read() {
        for subject in [
            Subject::Whole,
            Subject::Branch("wire".to_owned()),
            Subject::Mechanism("flow-no-reflow".parse().unwrap()),
        ] {
            assert_eq!(subject_of(&written(&subject)), Some(subject));
        }
        assert_eq!(subject_of(""), Some(Subject::Whole));
        for bad in ["mechanism:", "mechanism:<b>", "person:x", "whole:x", "x"] {
            assert_eq!(subject_of(bad), None, "{bad}");
        }
    }
}
