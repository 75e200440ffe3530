//! The keys of one part of a file: each is read once, and what nobody reads is refused.

use std::collections::BTreeSet;

use super::nearest::hint;
use super::problem::Problems;
use super::tree::{Entry, Node, Value};

/// The keys of one part of a file.
pub(super) struct Fields<'f> {
    entries: &'f [Entry],
    pub(super) at: usize,
    /// What this part is called in a sentence.
    noun: &'static str,
    known: Vec<&'static str>,
}

impl<'f> Fields<'f> {
    pub(super) const fn new(entries: &'f [Entry], at: usize, noun: &'static str) -> Self {
        Self { entries, at, noun, known: Vec::new() }
    }

    /// What stands under a key.
    pub(super) fn node(&mut self, key: &'static str) -> Option<&'f Node> {
        self.known.push(key);
        self.entries.iter().find(|entry| entry.key == key).map(|entry| &entry.node)
    }

    /// One line of text of at most so many characters.
    pub(super) fn text(
        &mut self,
        key: &'static str,
        at_most: usize,
        problems: &mut Problems,
    ) -> Option<String> {
        let node = self.node(key)?;
        text_of(node, at_most, problems).map(str::to_owned)
    }

    /// Like [`Self::text`]; without the key the part is not complete.
    pub(super) fn need(
        &mut self,
        key: &'static str,
        at_most: usize,
        problems: &mut Problems,
    ) -> Option<String> {
        self.require(key, problems);
        self.text(key, at_most, problems)
    }

    /// Says so when a key is missing.
    pub(super) fn require(&self, key: &'static str, problems: &mut Problems) {
        if !self.entries.iter().any(|entry| entry.key == key) {
            problems.add(self.at, format!("This lacks “{key}”, which {} needs.", self.noun));
        }
    }

    pub(super) fn flag(&mut self, key: &'static str, problems: &mut Problems) -> bool {
        match self.node(key) {
            None => false,
            Some(Node { value: Value::Flag(flag), .. }) => *flag,
            Some(node) => {
                problems.add(node.at, "Write true or false, without quotes.");
                false
            }
        }
    }

    /// The items of a list, at most so many; none when the key is not there.
    pub(super) fn items(&mut self, key: &'static str, at_most: usize, problems: &mut Problems) -> &'f [Node] {
        match self.node(key) {
            None => &[],
            Some(Node { value: Value::List(items), .. }) if items.len() <= at_most => items,
            Some(Node { value: Value::List(items), at }) => {
                let message =
                    format!("At most {at_most} “{key}” fit in {}; these are {}.", self.noun, items.len());
                problems.add(*at, message);
                items.get(..at_most).unwrap_or_default()
            }
            Some(node) => {
                problems.add(node.at, format!("Write “{key}” as a list: each of them in brackets."));
                &[]
            }
        }
    }

    /// A group of keys under a key.
    pub(super) fn part(
        &mut self,
        key: &'static str,
        noun: &'static str,
        problems: &mut Problems,
    ) -> Option<Self> {
        let node = self.node(key)?;
        Self::of(node, noun, problems)
    }

    /// A value that has to be a group of keys.
    pub(super) fn of(node: &'f Node, noun: &'static str, problems: &mut Problems) -> Option<Self> {
        match &node.value {
            Value::Table(entries) => Some(Self::new(entries, node.at, noun)),
            _ => {
                problems.add(node.at, format!("Here stands {noun}: keys with their values."));
                None
            }
        }
    }

    /// Refuses every key that was not asked for.
    pub(super) fn refuse_unknown(self, problems: &mut Problems) {
        let known: BTreeSet<&str> = self.known.into_iter().collect();
        for entry in self.entries.iter().filter(|entry| !known.contains(entry.key.as_str())) {
            let key: String = entry.key.chars().take(40).collect();
            let near = hint(&key, known.iter().copied());
            problems.add(entry.key_at, format!("“{key}” is no key of {}.{near}", self.noun));
        }
    }
}

/// A line of text, trimmed.
pub(super) fn text_of<'n>(node: &'n Node, at_most: usize, problems: &mut Problems) -> Option<&'n str> {
    let Value::Text(text) = &node.value else {
        problems.add(node.at, "Write this as text in quotes.");
        return None;
    };
    let text = text.trim();
    let length = text.chars().count();
    let problem = if text.is_empty() {
        "This text is empty.".to_owned()
    } else if length > at_most {
        format!("At most {at_most} characters fit here; this has {length}.")
    } else if text.chars().any(char::is_control) {
        "This text is one line, without line breaks and other control characters.".to_owned()
    } else {
        return Some(text);
    };
    problems.add(node.at, problem);
    None
}
