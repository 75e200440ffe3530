//! TOML text to the tree, and what a TOML reader says turned into what a person can act on.

use std::ops::Range;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::PROBLEMS_AT_MOST;
use super::source::{Problems, Source};
use super::tree::{DEPTH_AT_MOST, Entry, Node, TOO_DEEP, Value};

/// Reads as much of a text as can be read; what cannot is added to the problems.
pub(super) fn read(source: &Source, problems: &mut Problems) -> Node {
    let (table, errors) = DeTable::parse_recoverable(source.text());
    let mut lines_told = Vec::new();
    for error in &errors {
        let slip = Slip {
            message: error.message(),
            source,
            at: error.span().map_or(source.text().len(), |span| span.start),
        };
        let line = source.line_of(slip.at);
        // One slip makes a reader stumble several times on its line: the first tells most.
        if lines_told.contains(&line) {
            continue;
        }
        if lines_told.len() > PROBLEMS_AT_MOST {
            break;
        }
        lines_told.push(line);
        let at = slip.place();
        problems.add_broken(at, slip.stretch(), slip.in_words());
    }
    Node { at: 0, value: entries(table.into_inner(), 1, problems) }
}

fn entries(table: DeTable, depth: usize, problems: &mut Problems) -> Value {
    let mut entries: Vec<Entry> = table
        .into_iter()
        .map(|(key, value)| Entry {
            key_at: key.span().start,
            key: key.into_inner().into_owned(),
            node: node(value, depth, problems),
        })
        .collect();
    entries.sort_by_key(|entry| entry.key_at);
    Value::Table(entries)
}

fn node(value: Spanned<DeValue>, depth: usize, problems: &mut Problems) -> Node {
    let at = value.span().start;
    let nested = matches!(value.get_ref(), DeValue::Array(_) | DeValue::Table(_));
    if nested && depth >= DEPTH_AT_MOST {
        problems.add(at, "", TOO_DEEP);
        return Node { at, value: Value::Nothing };
    }
    let value = match value.into_inner() {
        DeValue::String(text) => Value::Text(text.into_owned()),
        DeValue::Integer(number) => i64::from_str_radix(number.as_str(), number.radix())
            .map_or_else(|_| Value::Number(number.to_string()), Value::Whole),
        DeValue::Float(number) => Value::Number(number.as_str().to_owned()),
        DeValue::Boolean(flag) => Value::Flag(flag),
        DeValue::Datetime(_) => Value::Moment,
        DeValue::Array(items) => {
            Value::List(items.into_iter().map(|item| node(item, depth + 1, problems)).collect())
        }
        DeValue::Table(table) => entries(table, depth + 1, problems),
    };
    Node { at, value }
}

/// A place where the TOML reader stumbled.
struct Slip<'a> {
    message: &'a str,
    source: &'a Source<'a>,
    at: usize,
}

/// What the reader says, by how it begins, in words for somebody who does not write TOML daily.
/// What depends on the text around the place is decided in [`Slip::in_words`] first.
#[rustfmt::skip]
const SAYINGS: [(&str, &str); 26] = [
    ("string values must be quoted", "Text stands in quotes, such as sex = \"female\"."),
    ("invalid float", "This is neither a number nor text in quotes."),
    ("invalid integer", "This is neither a number nor text in quotes."),
    ("invalid basic string, expected `\"`", "The closing quotation mark is missing on this line."),
    ("invalid basic string", CONTROL),
    ("invalid multi-line basic string, expected `\"`", "The text that begins here has no closing \"\"\"."),
    ("invalid multi-line basic string", CONTROL),
    ("invalid literal string", "The closing apostrophe is missing on this line. Text is best put in double quotes."),
    ("invalid comment character", CONTROL),
    ("missing escaped value", "A backslash in a text begins a sign such as \\n. For the backslash itself write \\\\."),
    ("too few unicode value digits", "A backslash in a text begins a sign such as \\n. For the backslash itself write \\\\."),
    ("invalid date", "Months, days and times stand in quotes, such as month = \"2025-03\" or at = \"+12:30\"."),
    ("invalid time", "Months, days and times stand in quotes, such as month = \"2025-03\" or at = \"+12:30\"."),
    ("invalid boolean", "Write true or false, in small letters and without quotes."),
    ("key with no value", "An equals sign is missing: a line is a key, an equals sign and a value."),
    ("unclosed array table", "This heading needs two closing brackets, such as [[events]]."),
    ("unclosed table", "The closing bracket of this heading is missing, such as in [patient]."),
    ("missing comma between array elements", "A comma is missing in this list, or the bracket that closes it."),
    ("unclosed array", "The bracket that closes this list is missing."),
    ("unexpected `=` in array", "The list above this line is not closed: its bracket is missing."),
    ("unclosed inline table", "The closing brace is missing."),
    ("unexpected leading zero", "A number has no zero before it: 67, not 067."),
    ("carriage return", "A line ends in an unusual way here. Save the file with ordinary line ends."),
    ("cannot recurse further", TOO_DEEP),
    ("recursion limit", TOO_DEEP),
    ("cannot extend", "This key has a value already and cannot also hold other keys."),
];

const CONTROL: &str =
    "There is an invisible control character here. Type this line again, or paste it as plain text.";

impl Slip<'_> {
    fn is_a_duplicate(&self) -> bool {
        self.message.starts_with("duplicate key")
    }

    /// What the reader may misunderstand for this slip, beside its line; none when it understood all.
    fn stretch(&self) -> Option<Range<usize>> {
        const REACHING_ON: [&str; 5] =
            ["unclosed array,", "missing comma", "unexpected `=`", "unclosed inline", "invalid multi-line"];
        if REACHING_ON.iter().any(|start| self.message.starts_with(start)) {
            return Some(self.place()..usize::MAX);
        }
        if !self.is_a_duplicate() {
            return Some(self.at..self.at);
        }
        // The keys under a heading that stands twice were put under the first.
        let line_start = self.before().rfind('\n').map_or(0, |end| end + 1);
        let in_heading =
            self.before().get(line_start..).is_some_and(|before| before.trim_start().starts_with('['));
        let rest = self.source.text().get(self.at..).unwrap_or_default();
        in_heading.then(|| self.at..rest.find("\n[").map_or(usize::MAX, |length| self.at + length))
    }

    fn rest(&self) -> &str {
        let rest = self.source.text().get(self.at..).unwrap_or_default();
        rest.lines().next().unwrap_or_default()
    }

    fn before(&self) -> &str {
        self.source.text().get(..self.at).unwrap_or_default()
    }

    /// Where to point: a text without its end is shown where it begins, not at the end of the file.
    fn place(&self) -> usize {
        let unclosed = self.message.starts_with("invalid multi-line basic string, expected `\"`");
        unclosed.then(|| self.before().rfind("\"\"\"")).flatten().unwrap_or(self.at)
    }

    fn in_words(&self) -> String {
        if self.is_a_duplicate() {
            let ends = |c: char| c.is_whitespace() || matches!(c, '=' | ']' | '.');
            let key = self.rest().split(ends).next().unwrap_or_default().trim_matches(['"', '\'']);
            let key: String = key.chars().take(40).collect();
            return format!("“{key}” stands here a second time. Keep one of the two.");
        }
        if let Some(said) = self.by_what_stands_there() {
            return said.to_owned();
        }
        let known = SAYINGS.iter().find(|(start, _)| self.message.starts_with(start));
        known.map_or_else(
            || {
                format!(
                    "This cannot be read as TOML ({}).",
                    self.message.chars().take(80).collect::<String>()
                )
            },
            |(_, said)| (*said).to_owned(),
        )
    }

    fn by_what_stands_there(&self) -> Option<&'static str> {
        const A_LINE: &str = "A line is a key, an equals sign and a value, such as stage = \"recorded\".";
        let (rest, before) = (self.rest(), self.before());
        let word = rest.trim().to_lowercase();
        if ["string values must be quoted", "invalid float", "invalid integer"]
            .iter()
            .any(|start| self.message.starts_with(start))
        {
            return match word.chars().next() {
                None => Some("A value is missing after the equals sign."),
                Some('“' | '”' | '„' | '‘' | '’' | '«') => {
                    Some("These quotation marks are typographic. Use straight ones (\").")
                }
                _ if word == "yes" || word == "no" => Some("Write true or false, without quotes."),
                _ => None,
            };
        }
        let colon = word.starts_with(':') || before.trim_end().ends_with(':');
        if self.message.starts_with("key with no value") && colon {
            return Some("After a key stands an equals sign, not a colon.");
        }
        if self.message.starts_with("unexpected key or value") {
            return Some(match (before.chars().next_back(), word.chars().next()) {
                (Some('0'..='9'), Some(',')) => {
                    "Decimals are written with a point, such as 2.75. What is not one number stands in quotes."
                }
                (Some('"'), _) => {
                    "The text ends at the quotation mark before this. A quotation mark inside a text is written \\\"."
                }
                _ => "Something follows the value. One line holds one key and its value.",
            });
        }
        let no_key =
            ["unquoted keys", "invalid unquoted key", "invalid key-value pair", "unexpected content"];
        if no_key.iter().any(|start| self.message.starts_with(start)) {
            let json = word.starts_with('{') && before.trim().is_empty();
            return Some(if json {
                "This looks like JSON. Give the file a name that ends in .json."
            } else {
                A_LINE
            });
        }
        None
    }
}
