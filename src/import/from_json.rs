//! JSON text to the tree. Each value is read as a slice of the text, so that its place is known.

use std::borrow::Cow;
use std::fmt;

use serde::de::{Deserialize, Deserializer, MapAccess, Visitor};
use serde_json::value::RawValue;

use super::source::{Problems, Source};
use super::tree::{DEPTH_AT_MOST, Entry, Node, TOO_DEEP, Value};

/// Reads the text; when it is no JSON, that is the one problem, because JSON has no line to go on from.
pub(super) fn read(source: &Source, problems: &mut Problems) -> Node {
    let reader = Reader { source };
    match serde_json::from_str::<&RawValue>(source.text()) {
        Ok(raw) => {
            let node = reader.node(raw, 0, problems);
            if !matches!(node.value, Value::Table(_)) {
                problems.add_broken(node.at, Some(0..usize::MAX), "A case file is one object, in braces.");
            }
            node
        }
        Err(error) => {
            reader.stumble(0, source.text(), &error, problems);
            Node { at: 0, value: Value::Nothing }
        }
    }
}

/// The members of an object in their order, also those that stand twice.
struct Members<'a>(Vec<(Cow<'a, str>, &'a RawValue)>);

impl<'de: 'a, 'a> Deserialize<'de> for Members<'a> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Each;
        impl<'de> Visitor<'de> for Each {
            type Value = Members<'de>;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("an object")
            }
            fn visit_map<A: MapAccess<'de>>(self, mut map: A) -> Result<Self::Value, A::Error> {
                let mut members = Vec::new();
                while let Some(Key(key)) = map.next_key()? {
                    members.push((key, map.next_value()?));
                }
                Ok(Members(members))
            }
        }
        deserializer.deserialize_map(Each)
    }
}

/// A key, borrowed from the text when nothing in it is escaped.
struct Key<'a>(Cow<'a, str>);

impl<'de: 'a, 'a> Deserialize<'de> for Key<'a> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Text;
        impl<'de> Visitor<'de> for Text {
            type Value = Key<'de>;
            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a key")
            }
            fn visit_borrowed_str<E>(self, text: &'de str) -> Result<Self::Value, E> {
                Ok(Key(Cow::Borrowed(text)))
            }
            fn visit_str<E>(self, text: &str) -> Result<Self::Value, E> {
                Ok(Key(Cow::Owned(text.to_owned())))
            }
        }
        deserializer.deserialize_str(Text)
    }
}

struct Reader<'a> {
    source: &'a Source<'a>,
}

impl<'a> Reader<'a> {
    /// Where a slice of the text begins.
    fn at(&self, slice: &str) -> usize {
        (slice.as_ptr() as usize).saturating_sub(self.source.text().as_ptr() as usize)
    }

    fn node(&self, raw: &'a RawValue, depth: usize, problems: &mut Problems) -> Node {
        let text = raw.get();
        let at = self.at(text);
        let first = text.bytes().next();
        if matches!(first, Some(b'{' | b'[')) && depth >= DEPTH_AT_MOST {
            problems.add(at, "", TOO_DEEP);
            return Node { at, value: Value::Nothing };
        }
        let value = match first {
            Some(b'{') => serde_json::from_str(text).map(|members| self.entries(members, depth, problems)),
            Some(b'[') => serde_json::from_str::<Vec<&RawValue>>(text).map(|items| {
                Value::List(items.into_iter().map(|item| self.node(item, depth + 1, problems)).collect())
            }),
            Some(b'"') => serde_json::from_str(text).map(Value::Text),
            Some(b't') => Ok(Value::Flag(true)),
            Some(b'f') => Ok(Value::Flag(false)),
            Some(b'n') => Ok(Value::Nothing),
            _ => Ok(text.parse().map_or_else(|_| Value::Number(text.to_owned()), Value::Whole)),
        };
        let value = value.unwrap_or_else(|error| {
            self.stumble(at, text, &error, problems);
            Value::Nothing
        });
        Node { at, value }
    }

    fn entries(&self, Members(members): Members<'a>, depth: usize, problems: &mut Problems) -> Value {
        let mut entries: Vec<Entry> = Vec::new();
        for (key, raw) in members {
            // A key that is written with escapes has no slice of its own; its value then stands for it.
            let key_at = match &key {
                Cow::Borrowed(slice) => self.at(slice).saturating_sub(1),
                Cow::Owned(_) => self.at(raw.get()),
            };
            if entries.iter().any(|entry| entry.key == key) {
                let key: String = key.chars().take(40).collect();
                problems.add(key_at, "", format!("“{key}” stands here a second time. Keep one of the two."));
                continue;
            }
            if entries.len() >= KEYS_AT_MOST {
                problems.add(key_at, "", format!("No part of a case has more than {KEYS_AT_MOST} keys."));
                break;
            }
            entries.push(Entry { key: key.into_owned(), key_at, node: self.node(raw, depth + 1, problems) });
        }
        Value::Table(entries)
    }

    /// Adds what the JSON reader says about a slice of the text that begins at a byte.
    fn stumble(&self, from: usize, slice: &str, error: &serde_json::Error, problems: &mut Problems) {
        let before =
            slice.split_inclusive('\n').take(error.line().saturating_sub(1)).map(str::len).sum::<usize>();
        let mut at = (from + before + error.column().saturating_sub(1)).min(self.source.text().len());
        while !self.source.text().is_char_boundary(at) {
            at -= 1;
        }
        let (before, rest) = self.source.text().split_at(at);
        let comma_before_end = rest.starts_with([']', '}']) && before.trim_end().ends_with(',');
        let message = if comma_before_end { COMMA_TOO_MANY.to_owned() } else { in_words(error) };
        problems.add_broken(at, Some(0..usize::MAX), message);
    }
}

/// More keys than any part of a case has; a bound on the search for keys that stand twice.
const KEYS_AT_MOST: usize = 200;

/// What the JSON reader says, by what is in it, in words for a person.
#[rustfmt::skip]
const SAYINGS: [(&str, &str); 14] = [
    ("trailing comma", COMMA_TOO_MANY),
    ("expected `:`", "A colon is missing after the key."),
    ("expected `,` or `}`", "A comma or a closing brace is missing before this."),
    ("expected `,` or `]`", "A comma or a closing bracket is missing before this."),
    ("control character", "A line break or a control character stands inside a text. Write a line break as \\n."),
    ("invalid escape", "A backslash in a text begins a sign such as \\n. For the backslash itself write \\\\."),
    ("lone leading surrogate", "A sign after \\u is incomplete."),
    ("unexpected end of hex escape", "A sign after \\u is incomplete."),
    ("invalid unicode code point", "A sign after \\u is incomplete."),
    ("invalid number", "This is not a number as JSON writes it: 67, not 067 or +67; decimals with a point."),
    ("number out of range", "This number is too large."),
    ("key must be a string", "A key stands in double quotes."),
    ("trailing characters", "Something follows the closing brace. One file holds one case."),
    ("recursion limit", TOO_DEEP),
];

const COMMA_TOO_MANY: &str = "There is a comma too many before the closing bracket.";

fn in_words(error: &serde_json::Error) -> String {
    if error.is_eof() {
        return "The file ends before its last text, bracket or brace is closed.".to_owned();
    }
    let message = error.to_string();
    let known = SAYINGS.iter().find(|(part, _)| message.contains(part));
    known.map_or_else(
        || "This cannot be read as JSON: a value is text in double quotes, a number, true, false, a list or an object.".to_owned(),
        |(_, said)| (*said).to_owned(),
    )
}
