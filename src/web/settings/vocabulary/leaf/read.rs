//! Reading the form of a new leaf.

use super::{ICPS, LONDON_PROTOCOL, branches};
use crate::case::{Sentences, Text};
use crate::vocabulary::{Cause, CauseSlug, Mechanism, MechanismRole, MechanismSlug, StratumSlug, Vocabulary};
use crate::web::form::{FieldError, Reader, Values};
use crate::web::settings::vocabulary::Tree;
use crate::web::settings::vocabulary::slug::propose;

/// An everyday word or two that find a leaf.
type Word = Text<40>;
/// The most characters of a label: it stands in a column of a table.
const LABEL: usize = 80;
/// The most words that find one leaf.
const MOST_WORDS: usize = 24;
/// What stands for a mapping that nobody has made.
const NOT_SETTLED: &str = "not settled";

/// What a leaf of either tree has.
struct Common {
    branch: String,
    label: String,
    slug: String,
    definition: String,
    example: String,
    words: Vec<String>,
}

fn one_line<const MAX: usize>(reader: &mut Reader<'_>, name: &str, when_empty: &str) -> Option<String> {
    let text = reader.required::<Text<MAX>>(name, when_empty)?;
    if text.as_str().contains(['\n', '\t']) {
        reader.mark(name, "Keep it to one line.");
        return None;
    }
    Some(text.to_string())
}

fn read_words(reader: &mut Reader<'_>, typed: &str) -> Vec<String> {
    let mut words: Vec<String> = Vec::new();
    for piece in typed.split(['\n', ',', ';']).map(str::trim).filter(|piece| !piece.is_empty()) {
        match piece.parse::<Word>() {
            Ok(word) => {
                let word = word.as_str().to_lowercase();
                if !words.contains(&word) {
                    words.push(word);
                }
            }
            Err(error) => {
                let shown: String = piece.chars().take(20).collect();
                reader.mark("words", format!("“{shown}…”: {error}"));
                return words;
            }
        }
    }
    if words.len() > MOST_WORDS {
        reader.mark(
            "words",
            format!(
                "At most {MOST_WORDS} words; there are {}. Keep those that people really type.",
                words.len()
            ),
        );
    }
    words
}

/// The leaf that has this label already, in words that say what to do instead.
fn label_taken(tree: Tree, label: &str, vocabulary: &Vocabulary) -> Option<String> {
    let same = |other: &str| other.to_lowercase() == label.to_lowercase();
    let retired = match tree {
        Tree::Mechanisms => {
            vocabulary.mechanisms.iter().find(|leaf| same(&leaf.label)).map(|leaf| leaf.retired)
        }
        Tree::Causes => vocabulary.causes.iter().find(|leaf| same(&leaf.label)).map(|leaf| leaf.retired),
    }?;
    Some(if retired {
        format!("There is a retired {} of this label. Take that one up again.", tree.one())
    } else {
        format!("There is a {} of this label already.", tree.one())
    })
}

/// A slug names one leaf of the house, whichever tree it is in.
fn slug_taken(slug: &str, vocabulary: &Vocabulary) -> Option<String> {
    let mechanism =
        vocabulary.mechanisms.iter().find(|leaf| leaf.slug.as_str() == slug).map(|leaf| &leaf.label);
    let cause = || vocabulary.causes.iter().find(|leaf| leaf.slug.as_str() == slug).map(|leaf| &leaf.label);
    mechanism.or_else(cause).map(|label| format!("“{slug}” is the lasting name of “{label}”. Write another."))
}

/// The typed lasting name, or the one that the label suggests.
fn read_slug(
    reader: &mut Reader<'_>,
    values: &Values,
    label: Option<&str>,
    vocabulary: &Vocabulary,
) -> Option<String> {
    let typed = reader.optional::<MechanismSlug>("slug").map(|slug| slug.to_string());
    if typed.is_none() && !values.get("slug").trim().is_empty() {
        return None;
    }
    let slug = match typed {
        Some(slug) => slug,
        None => {
            let proposed = propose(label?);
            if proposed.parse::<MechanismSlug>().is_err() {
                reader.mark("slug", "No lasting name can be made from this label. Write one: small letters, digits and hyphens.");
                return None;
            }
            proposed
        }
    };
    match slug_taken(&slug, vocabulary) {
        Some(taken) => {
            reader.mark("slug", taken);
            None
        }
        None => Some(slug),
    }
}

fn read_common(
    tree: Tree,
    reader: &mut Reader<'_>,
    values: &Values,
    vocabulary: &Vocabulary,
) -> Option<Common> {
    let branch = values.get("branch").trim();
    let branch = if branches(tree, vocabulary).iter().any(|known| known.slug == branch) {
        Some(branch.to_owned())
    } else {
        reader.mark("branch", "Choose a branch of the list.");
        None
    };
    let label = one_line::<LABEL>(reader, "label", "Say what it is called.");
    if let Some(taken) = label.as_deref().and_then(|label| label_taken(tree, label, vocabulary)) {
        reader.mark("label", taken);
    }
    let slug = read_slug(reader, values, label.as_deref(), vocabulary);
    let definition = reader.required::<Sentences>("definition", "Say in one line what it is.");
    let example =
        reader.required::<Sentences>("example", "Give one example, so that it is chosen alike by everybody.");
    let words = read_words(reader, values.get("words"));
    Some(Common {
        branch: branch?,
        label: label?,
        slug: slug?,
        definition: definition?.to_string(),
        example: example?.to_string(),
        words,
    })
}

pub(super) fn read_mechanism(values: &Values, vocabulary: &Vocabulary) -> Result<Mechanism, Vec<FieldError>> {
    let mut reader = Reader::new(values);
    let common = read_common(Tree::Mechanisms, &mut reader, values, vocabulary);
    let at_risk = reader.required::<StratumSlug>("at_risk", "Choose the procedures in which it can happen.");
    if at_risk.as_ref().is_some_and(|slug| vocabulary.stratum(slug).is_none()) {
        reader.mark("at_risk", "Choose a kind of procedure of the list.");
    }
    let role = reader.required::<MechanismRole>("role", "Choose what it can be.");
    let leaf = common.zip(at_risk).zip(role).and_then(|((common, at_risk), role)| {
        Some(Mechanism {
            slug: common.slug.parse().ok()?,
            branch: common.branch,
            label: common.label,
            definition: common.definition,
            example: common.example,
            words: common.words,
            at_risk,
            role,
            own: true,
            retired: false,
        })
    });
    reader.finish(leaf)
}

fn read_mapping(reader: &mut Reader<'_>, values: &Values, name: &str, known: &[&str]) -> String {
    let typed = values.get(name).trim();
    if typed.is_empty() {
        return NOT_SETTLED.to_owned();
    }
    if !known.contains(&typed) {
        reader.mark(name, "Choose one of the list, or leave it not settled.");
    }
    typed.to_owned()
}

pub(super) fn read_cause(values: &Values, vocabulary: &Vocabulary) -> Result<Cause, Vec<FieldError>> {
    let mut reader = Reader::new(values);
    let common = read_common(Tree::Causes, &mut reader, values, vocabulary);
    let london_protocol = read_mapping(&mut reader, values, "london_protocol", &LONDON_PROTOCOL);
    let icps = read_mapping(&mut reader, values, "icps", &ICPS);
    let leaf = common.and_then(|common| {
        Some(Cause {
            slug: common.slug.parse::<CauseSlug>().ok()?,
            branch: common.branch,
            label: common.label,
            definition: common.definition,
            example: common.example,
            words: common.words,
            london_protocol,
            icps,
            own: true,
            retired: false,
        })
    });
    reader.finish(leaf)
}
