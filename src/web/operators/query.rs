//! The period and the subject that an address asks for.

use crate::rates::{Period, Subject};
use crate::vocabulary::Vocabulary;
use crate::web::filters::{FilterForm, read_period};
use crate::web::form::{Choice, ChoiceGroup, FieldError, Reader, Values};

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
        None if text.is_empty() => Some(Subject::Whole),
        None => Subject::of_key(text, ""),
        Some((kind, slug)) => Subject::of_key(kind, slug),
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
fn subjects(vocabulary: &Vocabulary) -> Vec<ChoiceGroup> {
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

/// The form of the period and the subject.
pub(super) fn form(values: &Values, vocabulary: &Vocabulary, errors: Vec<FieldError>) -> FilterForm {
    FilterForm::of_period(values, errors).grouped(("of", "Of"), subjects(vocabulary), values)
}
