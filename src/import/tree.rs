//! A file as a tree of values, each with the byte where it starts: the same for TOML and JSON.

/// The deepest nesting that a case file can need: the case, a list, a row, a list in it, a row of that, a
/// list in it, its items.
pub(super) const DEPTH_AT_MOST: usize = 8;
pub(super) const TOO_DEEP: &str = "This is nested deeper than anything in a case file.";

/// A value and where it starts.
pub(super) struct Node {
    pub(super) at: usize,
    pub(super) value: Value,
}

/// A value as it was written.
pub(super) enum Value {
    Text(String),
    Whole(i64),
    /// A number that is no whole one of 64 bits, as it was written.
    Number(String),
    Flag(bool),
    /// A date or time that TOML writes without quotes.
    Moment,
    /// JSON's `null`: as if the key were not there.
    Nothing,
    List(Vec<Node>),
    Table(Vec<Entry>),
}

/// A key of a table, where it starts, and what it holds.
pub(super) struct Entry {
    pub(super) key: String,
    pub(super) key_at: usize,
    pub(super) node: Node,
}

impl Node {
    /// What stands under a key; none when this is no table or has no such key.
    pub(super) fn get(&self, key: &str) -> Option<&Self> {
        match &self.value {
            Value::Table(entries) => find(entries, key),
            _ => None,
        }
    }

    /// The items of a list; none when this is no list.
    pub(super) fn items(&self) -> &[Self] {
        match &self.value {
            Value::List(items) => items,
            _ => &[],
        }
    }

    /// The text, when this is one.
    pub(super) fn text(&self) -> Option<&str> {
        match &self.value {
            Value::Text(text) => Some(text),
            _ => None,
        }
    }
}

impl Value {
    /// What sort of value this is, for a sentence.
    pub(super) fn sort(&self) -> &'static str {
        match self {
            Self::Text(_) => "text in quotes",
            Self::Whole(_) => "a whole number",
            Self::Number(_) => "a number",
            Self::Flag(_) => "true or false",
            Self::Moment => "a date or a time of day without quotes",
            Self::Nothing => "nothing",
            Self::List(_) => "a list",
            Self::Table(_) => "a group of keys",
        }
    }
}

/// What stands under a key; JSON's `null` counts as not there.
pub(super) fn find<'e>(entries: &'e [Entry], key: &str) -> Option<&'e Node> {
    entries
        .iter()
        .find(|entry| entry.key == key)
        .map(|entry| &entry.node)
        .filter(|node| !matches!(node.value, Value::Nothing))
}
