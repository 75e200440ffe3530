//! TOML text as a tree of values, each with the byte where it starts.

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::problem::Problems;

/// The deepest nesting that a list can need: steps, a step, its signs, a sign, its kinds.
const DEPTH_AT_MOST: usize = 6;

/// A value and where it starts.
pub(super) struct Node {
    pub(super) at: usize,
    pub(super) value: Value,
}

/// A value as it was written.
pub(super) enum Value {
    Text(String),
    Whole(i64),
    Flag(bool),
    List(Vec<Node>),
    Table(Vec<Entry>),
    /// A number with a fraction, a date: nothing that a list can use.
    Other,
}

/// A key, where it starts, and what it holds.
pub(super) struct Entry {
    pub(super) key: String,
    pub(super) key_at: usize,
    pub(super) node: Node,
}

/// The keys of the file, in its order; what is not TOML is added to the problems.
pub(super) fn read(text: &str, problems: &mut Problems) -> Vec<Entry> {
    let (table, errors) = DeTable::parse_recoverable(text);
    let mut lines_told = Vec::new();
    for error in &errors {
        let at = error.span().map_or(text.len(), |span| span.start);
        let line = text.get(..at).map_or(0, |before| before.matches('\n').count());
        // One slip makes a reader stumble several times on its line: the first tells most.
        if !lines_told.contains(&line) && lines_told.len() < 60 {
            lines_told.push(line);
            problems.add(at, in_words(error.message(), text.get(at..).unwrap_or_default()));
        }
    }
    if errors.is_empty() { entries(table.into_inner(), 1, problems) } else { Vec::new() }
}

/// What the reader of the language says, for somebody who does not write TOML daily.
fn in_words(message: &str, rest: &str) -> String {
    let next = rest.chars().next();
    if message.starts_with("duplicate key") {
        return "This key stands here a second time. Keep one of the two.".to_owned();
    }
    if matches!(next, Some('“' | '”' | '„' | '‘' | '’' | '«')) {
        return "These quotation marks are typographic. Use straight ones (\").".to_owned();
    }
    let said = match message {
        m if m.starts_with("string values must be quoted") => {
            "Text stands in quotes, such as slug = \"no-reflow\"."
        }
        m if m.starts_with("invalid basic string") => {
            "The text that begins on this line has no closing quotation mark, or holds a control character."
        }
        m if m.starts_with("missing escaped value") => {
            "A backslash in a text begins a sign such as \\\". For the backslash itself write \\\\."
        }
        m if m.starts_with("key with no value") => {
            "An equals sign is missing: a line is a key, an equals sign and a value."
        }
        m if m.starts_with("unclosed array table") => {
            "This heading needs two closing brackets, such as [[steps]]."
        }
        m if m.starts_with("unclosed table") => "The closing bracket of this heading is missing.",
        m if m.starts_with("unclosed array") || m.starts_with("missing comma between array") => {
            "A comma is missing in this list, or the bracket that closes it."
        }
        m if m.starts_with("unclosed inline table") => "The closing brace is missing.",
        _ => {
            let message: String = message.chars().take(80).collect();
            return format!("This cannot be read as TOML ({message}).");
        }
    };
    said.to_owned()
}

fn entries(table: DeTable, depth: usize, problems: &mut Problems) -> Vec<Entry> {
    let mut entries: Vec<Entry> = table
        .into_iter()
        .map(|(key, value)| Entry {
            key_at: key.span().start,
            key: key.into_inner().into_owned(),
            node: node(value, depth, problems),
        })
        .collect();
    entries.sort_by_key(|entry| entry.key_at);
    entries
}

fn node(value: Spanned<DeValue>, depth: usize, problems: &mut Problems) -> Node {
    let at = value.span().start;
    if depth > DEPTH_AT_MOST {
        problems.add(at, "This is nested deeper than anything in a list.");
        return Node { at, value: Value::Other };
    }
    let value = match value.into_inner() {
        DeValue::String(text) => Value::Text(text.into_owned()),
        DeValue::Integer(number) => {
            i64::from_str_radix(number.as_str(), number.radix()).map_or(Value::Other, Value::Whole)
        }
        DeValue::Boolean(flag) => Value::Flag(flag),
        DeValue::Array(items) => {
            Value::List(items.into_iter().map(|item| node(item, depth + 1, problems)).collect())
        }
        DeValue::Table(table) => Value::Table(entries(table, depth + 1, problems)),
        DeValue::Float(_) | DeValue::Datetime(_) => Value::Other,
    };
    Node { at, value }
}
