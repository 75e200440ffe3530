//! What is asked of the library, in its address, and the form that asks it.

use std::str::FromStr;

use crate::case::list::{Cursor, Filter};
use crate::case::search_sqlite::SearchQuery;
use crate::case::{LessonKind, Stage, is_presented};
use crate::choices;
use crate::quantity::words;
use crate::vocabulary::{Branch, CauseSlug, MechanismSlug, SlugError, Vocabulary};
use crate::web::case::leaf_choices::{BRANCH, cause_leaves, mechanisms, with_branches};
use crate::web::filters::FilterForm;
use crate::web::form::{Choice, FieldError, Reader, Values};
use crate::web::paging::page_address;

words!(
    /// What the library lists.
    View, "a view", {
        Cases = "cases", "By case";
        Lessons = "lessons", "By lesson";
    }
);

impl View {
    /// What it lists, as a noun for one and for several.
    pub(super) const fn nouns(self) -> (&'static str, &'static str) {
        match self {
            Self::Cases => ("case", "cases"),
            Self::Lessons => ("signed lesson", "signed lessons"),
        }
    }
}

/// A leaf of a tree, or all of a branch.
#[derive(Debug, Clone, PartialEq, Eq)]
enum Within<Slug> {
    Leaf(Slug),
    Branch(String),
}

impl<Slug: FromStr<Err = SlugError>> FromStr for Within<Slug> {
    type Err = SlugError;
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        match text.trim().strip_prefix(BRANCH) {
            Some(branch) => Ok(Self::Branch(branch.to_owned())),
            None => text.parse().map(Self::Leaf),
        }
    }
}

impl<Slug> Within<Slug> {
    /// The leaf and the branch, one of which there is.
    fn parts(self) -> (Option<Slug>, Option<String>) {
        match self {
            Self::Leaf(slug) => (Some(slug), None),
            Self::Branch(branch) => (None, Some(branch)),
        }
    }
}

/// A leaf or branch of the address, when the tree has it.
fn read_within<Slug: FromStr<Err = SlugError>>(
    reader: &mut Reader,
    name: &str,
    branches: &[Branch],
    has_leaf: impl Fn(&Slug) -> bool,
) -> (Option<Slug>, Option<String>) {
    let Some(within) = reader.optional::<Within<Slug>>(name) else {
        return (None, None);
    };
    let known = match &within {
        Within::Leaf(slug) => has_leaf(slug),
        Within::Branch(slug) => branches.iter().any(|branch| branch.slug == *slug),
    };
    if !known {
        reader.mark(name, "The tree has nothing of this name. Choose one from the list.");
    }
    within.parts()
}

/// A question to the library.
#[derive(Debug, Clone)]
pub(super) struct Asked {
    pub(super) view: View,
    pub(super) filter: Filter,
    pub(super) after: Option<Cursor>,
}

impl Asked {
    pub(super) fn read(values: &Values, vocabulary: &Vocabulary) -> Result<Self, Vec<FieldError>> {
        let mut reader = Reader::new(values);
        let (mechanism, branch) =
            read_within::<MechanismSlug>(&mut reader, "mechanism", &vocabulary.mechanism_branches, |slug| {
                vocabulary.mechanism(slug).is_some()
            });
        let (cause, cause_branch) =
            read_within::<CauseSlug>(&mut reader, "cause", &vocabulary.cause_branches, |slug| {
                vocabulary.cause(slug).is_some()
            });
        let filter = Filter {
            mechanism,
            branch,
            cause,
            cause_branch,
            lesson_kind: reader.optional::<LessonKind>("lesson"),
            stages: Stage::ALL.iter().copied().filter(|stage| is_presented(*stage)).collect(),
            words: SearchQuery::parse(values.get("q")),
            ..Filter::default()
        };
        let view = reader.optional("view").unwrap_or(View::Cases);
        let after = reader.optional::<Cursor>("after");
        reader.finish(Some(Self { view, filter, after }))
    }

    /// Whether an address asks for anything in particular.
    pub(super) fn is_filtered(values: &Values) -> bool {
        ["q", "mechanism", "cause", "lesson"].iter().any(|name| !values.get(name).trim().is_empty())
    }
}

/// The form that asks.
pub(super) fn form_of(
    values: &Values,
    vocabulary: &Vocabulary,
    view: View,
    errors: Vec<FieldError>,
) -> FilterForm {
    let asked = |name: &str, slug: &str| values.get(name) == slug;
    let harms = mechanisms(vocabulary, |slug| asked("mechanism", slug.as_str()));
    let causes = cause_leaves(vocabulary, |slug| asked("cause", slug.as_str()));
    let kinds = std::iter::once(Choice::new("", "any")).chain(choices!(LessonKind)).collect();
    let form = FilterForm::of_words(("q", "Words"), values, errors)
        .tree(("mechanism", "What it was"), with_branches(harms, &vocabulary.mechanism_branches), values)
        .tree(("cause", "Why"), with_branches(causes, &vocabulary.cause_branches), values)
        .choice(("lesson", "A lesson helps to"), kinds, values);
    if view == View::Cases { form } else { form.carrying("view", view) }
}

/// Where the same words and mechanism are looked for among all cases.
pub(super) fn in_cases(values: &Values) -> String {
    let mechanism = values.get("mechanism");
    let (name, slug) = match mechanism.strip_prefix(BRANCH) {
        Some(branch) => ("branch", branch),
        None => ("mechanism", mechanism),
    };
    page_address("/cases", &Values::new().with("q", values.get("q")).with(name, slug), None)
}

#[cfg(test)]
mod tests {
    use super::{Asked, in_cases};
    use crate::vocabulary::Vocabulary;
    use crate::web::form::Values;

    #[test]
    fn what_the_tree_does_not_have_is_marked() {
        let read = |query: &str| Asked::read(&Values::from_encoded(query), &Vocabulary::default());
        assert!(read("q=wire&mechanism=&cause=&view=lessons").is_ok());
        for (query, field) in [
            ("mechanism=no-such", "mechanism"),
            ("mechanism=branch:no-such", "mechanism"),
            ("cause=%3Cb%3E", "cause"),
            ("lesson=teach", "lesson"),
            ("view=map", "view"),
            ("after=x", "after"),
        ] {
            let errors = read(query).unwrap_err();
            assert_eq!(
                errors.iter().map(|error| error.name.as_str()).collect::<Vec<_>>(),
                [field],
                "{query}"
            );
        }
    }

    #[test]
    fn the_same_question_is_asked_of_all_cases() {
        let asked = |query: &str| in_cases(&Values::from_encoded(query));
        assert_eq!(asked("q=lost+wire&mechanism=branch:wire&cause=x"), "/cases?q=lost+wire&branch=wire");
        assert_eq!(asked("mechanism=flow-no-reflow"), "/cases?mechanism=flow-no-reflow");
    }
}
