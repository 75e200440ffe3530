//! One field of a case file: how it is written, and reading it; and a group of fields, of which
//! every one is looked at before the group is judged.

use super::nearest::{hint, nearest};
use super::source::Problems;
use super::tree::{Entry, Node, Value, find};
use crate::case::Key;

/// A type that one value of a file can hold.
pub(super) trait Field: Sized {
    /// How it is written, to stand after "Write it as".
    const WRITTEN: &'static str;

    /// Reads the value. `None` when it is of another sort than [`Field::WRITTEN`] says.
    ///
    /// # Errors
    /// A sentence on what is wrong with a value of the right sort.
    fn read(value: &Value) -> Option<Result<Self, String>>;
}

/// What is read of a file, and where its problems go.
pub(super) struct Reading<'p> {
    pub(super) problems: &'p mut Problems,
    /// Whether something that is missing may stand where the file could not be understood.
    pub(super) patchy: bool,
    /// How a list of rows is written in this language.
    pub(super) rows_written: fn(&str) -> String,
}

/// The keys of one part of a case: an event, the patient.
pub(super) struct Fields<'f, 'p> {
    reading: &'f mut Reading<'p>,
    entries: &'f [Entry],
    at: usize,
    /// The path of this part with a dot behind it; empty for the case itself.
    path: String,
    /// What this part is called in a sentence.
    noun: &'static str,
    known: Vec<&'static str>,
}

/// The rows that could be read, each with its place in the file's list, and the keys of the others.
pub(super) struct Rows<T> {
    pub(super) rows: Vec<(usize, T)>,
    /// The keys of rows that could not be read; what points to them points somewhere.
    pub(super) lost_keys: Vec<Key>,
    /// Whether a row could not be read and has no key that can.
    pub(super) lost_without_key: bool,
}

impl<'f, 'p> Fields<'f, 'p> {
    /// The keys of the case itself.
    pub(super) fn of_case(reading: &'f mut Reading<'p>, entries: &'f [Entry], at: usize) -> Self {
        Self { reading, entries, at, path: String::new(), noun: "a case", known: Vec::new() }
    }

    fn problem(&mut self, at: usize, path: String, message: impl Into<String>) {
        self.reading.problems.add(at, path, message);
    }

    /// Reads a key that has to be there.
    pub(super) fn need<T: Field>(&mut self, key: &'static str) -> Option<T> {
        if find(self.entries, key).is_none() && !self.reading.patchy {
            let noun = capital(self.noun);
            let message = format!("{noun} needs the key “{key}”: {}.", T::WRITTEN);
            self.problem(self.at, self.path.trim_end_matches('.').to_owned(), message);
        }
        self.may(key)
    }

    /// Reads a key that may be left out.
    pub(super) fn may<T: Field>(&mut self, key: &'static str) -> Option<T> {
        self.known.push(key);
        let node = find(self.entries, key)?;
        let path = format!("{}{key}", self.path);
        self.value(node, key, path)
    }

    fn value<T: Field>(&mut self, node: &Node, key: &str, path: String) -> Option<T> {
        match T::read(&node.value) {
            Some(Ok(value)) => Some(value),
            Some(Err(message)) => {
                self.problem(node.at, path, message);
                None
            }
            None => {
                let message = format!("Write “{key}” as {}. This is {}.", T::WRITTEN, node.value.sort());
                self.problem(node.at, path, message);
                None
            }
        }
    }

    /// Reads a list of values, each on its own; empty when the key is left out.
    pub(super) fn list<T: Field>(&mut self, key: &'static str) -> Vec<T> {
        self.known.push(key);
        let Some(node) = find(self.entries, key) else {
            return Vec::new();
        };
        let Value::List(items) = &node.value else {
            let message = format!("Write “{key}” as a list in brackets, each item {}.", T::WRITTEN);
            self.problem(node.at, format!("{}{key}", self.path), message);
            return Vec::new();
        };
        let items = items.iter().enumerate();
        items
            .filter_map(|(index, item)| self.value(item, key, format!("{}{key}[{index}]", self.path)))
            .collect()
    }

    /// Reads a part that is a group of keys, such as the patient; its default when it is left out.
    pub(super) fn part<T: Default>(
        &mut self,
        key: &'static str,
        noun: &'static str,
        read: impl FnOnce(&mut Fields) -> T,
    ) -> T {
        self.known.push(key);
        let Some(node) = find(self.entries, key) else {
            return T::default();
        };
        let Value::Table(entries) = &node.value else {
            let message = format!("“{key}” is a group of keys, not {}.", node.value.sort());
            self.problem(node.at, format!("{}{key}", self.path), message);
            return T::default();
        };
        let mut fields = Fields {
            reading: &mut *self.reading,
            entries,
            at: node.at,
            path: format!("{}{key}.", self.path),
            noun,
            known: Vec::new(),
        };
        let part = read(&mut fields);
        fields.refuse_unknown();
        part
    }

    /// Reads a group of texts whose keys are not the file's own; `take` says what is wrong with one.
    pub(super) fn answers(
        &mut self,
        key: &'static str,
        mut take: impl FnMut(&str, &str) -> Result<(), String>,
    ) {
        self.known.push(key);
        let Some(node) = find(self.entries, key) else {
            if !self.reading.patchy {
                let message = format!("{} needs the key “{key}”: a group of keys.", capital(self.noun));
                self.problem(self.at, self.path.trim_end_matches('.').to_owned(), message);
            }
            return;
        };
        let Value::Table(entries) = &node.value else {
            let message = format!("“{key}” is a group of keys, not {}.", node.value.sort());
            self.problem(node.at, format!("{}{key}", self.path), message);
            return;
        };
        for Entry { key: name, key_at, node } in entries {
            if self.reading.problems.is_full() {
                return;
            }
            let told = match node.text() {
                Some(text) => take(name, text).err().map(|message| (node.at, message)),
                None => {
                    Some((*key_at, format!("Write it as text in quotes. This is {}.", node.value.sort())))
                }
            };
            if let Some((at, message)) = told {
                let name: String = name.chars().take(40).collect();
                self.problem(at, format!("{}{key}.{name}", self.path), message);
            }
        }
    }

    /// Tells of something that is wrong with the whole part.
    pub(super) fn refuse(&mut self, field: &str, message: impl Into<String>) {
        let at = find(self.entries, field).map_or(self.at, |node| node.at);
        self.problem(at, format!("{}{field}", self.path).trim_end_matches('.').to_owned(), message);
    }

    /// Reads a list of rows, each on its own, such as the events.
    pub(super) fn rows<T>(
        &mut self,
        key: &'static str,
        noun: &'static str,
        read: impl Fn(&mut Fields) -> Option<T>,
    ) -> Rows<T> {
        self.known.push(key);
        let mut found = Rows { rows: Vec::new(), lost_keys: Vec::new(), lost_without_key: false };
        let Some(node) = find(self.entries, key) else {
            return found;
        };
        let Value::List(items) = &node.value else {
            let message = (self.reading.rows_written)(&self.heading_of(key));
            self.problem(node.at, format!("{}{key}", self.path), message);
            found.lost_without_key = true;
            return found;
        };
        for (index, item) in items.iter().enumerate() {
            if self.reading.problems.is_full() {
                found.lost_without_key = true;
                break;
            }
            match self.row(item, format!("{}{key}[{index}]", self.path), noun, &read) {
                Some(row) => found.rows.push((index, row)),
                None => match item.get("key").and_then(Node::text).and_then(|text| text.parse().ok()) {
                    Some(key) => found.lost_keys.push(key),
                    None => found.lost_without_key = true,
                },
            }
        }
        found
    }

    /// A list of rows as a heading names it: without the numbers of the rows that it stands in.
    fn heading_of(&self, key: &str) -> String {
        let outside: String = self
            .path
            .split('.')
            .map(|part| part.split('[').next().unwrap_or_default())
            .collect::<Vec<_>>()
            .join(".");
        format!("{outside}{key}")
    }

    fn row<T>(
        &mut self,
        item: &Node,
        path: String,
        noun: &'static str,
        read: impl Fn(&mut Fields) -> Option<T>,
    ) -> Option<T> {
        let Value::Table(entries) = &item.value else {
            self.problem(
                item.at,
                path,
                format!("{} is a group of keys, not {}.", capital(noun), item.value.sort()),
            );
            return None;
        };
        let mut fields = Fields {
            reading: &mut *self.reading,
            entries,
            at: item.at,
            path: format!("{path}."),
            noun,
            known: Vec::new(),
        };
        let row = read(&mut fields);
        fields.refuse_unknown();
        row
    }

    /// Tells of every key that was not asked for.
    pub(super) fn refuse_unknown(&mut self) {
        for entry in self.entries {
            if self.known.contains(&entry.key.as_str()) {
                continue;
            }
            if self.reading.problems.is_full() {
                return;
            }
            let key: String = entry.key.chars().take(40).collect();
            let known = self.known.iter().copied();
            let more = match nearest(&key, known.clone()) {
                Some(_) => hint(&key, known),
                None => format!(" It may have: {}.", self.known.join(", ")),
            };
            let message = format!("{} has no key “{key}”.{more}", capital(self.noun));
            self.problem(entry.key_at, format!("{}{key}", self.path), message);
        }
    }
}

fn capital(noun: &str) -> String {
    let mut letters = noun.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
