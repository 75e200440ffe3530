//! A piece of a text: what it is made of, how it is written, and the lists it stands on.

use std::ops::Range;

use super::lexicon::{Class, Classes};

/// What a token is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Made {
    /// Letters, with apostrophes inside: `Judkins`, `O'Neill`.
    Word,
    /// Digits alone: `3.0` is three tokens.
    Digits,
    /// One other character.
    Mark,
}

/// How a token is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Shape {
    /// A capital and then small letters.
    Capitalised,
    /// Capitals alone, two or more.
    InCapitals,
    Other,
}

impl Shape {
    pub(super) fn of(word: &str) -> Self {
        // `d'Angelo`
        let article = word.split_once(['\'', '’']).filter(|(first, _)| first.len() == 1 && *first != "O");
        let name = article.map_or(word, |(_, name)| name);
        let mut letters = name.chars();
        let first_is_capital = letters.next().is_some_and(char::is_uppercase);
        // `IIb` and `mmHg` are no names; `O'Neill` and `McGrath` are.
        let second = letters.next();
        if first_is_capital
            && second.is_some_and(|second| second.is_lowercase() || matches!(second, '\'' | '’'))
        {
            return Self::Capitalised;
        }
        let capitals = word.chars().all(|c| c.is_uppercase() || matches!(c, '\'' | '’'));
        if capitals && word.chars().nth(1).is_some() { Self::InCapitals } else { Self::Other }
    }
}

/// A piece of a text.
#[derive(Debug)]
pub(super) struct Token<'a> {
    pub(super) span: Range<usize>,
    pub(super) text: &'a str,
    pub(super) lower: String,
    /// The lists it stands on.
    pub(super) classes: Classes,
    pub(super) shape: Shape,
    pub(super) made: Made,
    /// Whether no space stands between it and the token before.
    pub(super) glued: bool,
    /// Whether it is the first word of a sentence, a line, a quotation or a bracket.
    pub(super) opens: bool,
}

impl Token<'_> {
    /// Whether it stands on a list.
    pub(super) fn is(&self, class: Class) -> bool {
        self.classes.has(class)
    }

    /// Whether it is a word in capitals, of two letters or more: `MARLOW`.
    pub(super) const fn is_in_capitals(&self) -> bool {
        matches!(self.shape, Shape::InCapitals)
    }

    /// Whether it is written like a name: a capital and then small letters.
    pub(super) const fn is_capitalised(&self) -> bool {
        matches!(self.shape, Shape::Capitalised)
    }

    /// Whether it is a single capital letter.
    pub(super) fn is_initial(&self) -> bool {
        self.made == Made::Word && self.text.chars().count() == 1 && self.text.chars().all(char::is_uppercase)
    }
}

/// A token in small letters, its apostrophes plain.
pub(super) fn lowered(token: &str, made: Made) -> String {
    match made {
        Made::Digits | Made::Mark => token.to_owned(),
        Made::Word if token.is_ascii() => token.to_ascii_lowercase(),
        // A dotted capital I becomes i and a dot above it, which no list has.
        Made::Word => token.to_lowercase().replace('’', "'").replace("i\u{307}", "i"),
    }
}

/// The token that a text begins with, and its length in bytes.
pub(super) fn piece(text: &str, first: char) -> (Made, usize) {
    let run = |keep: fn(char) -> bool| text.find(|c: char| !keep(c)).unwrap_or(text.len());
    if first.is_ascii_digit() {
        return (Made::Digits, run(|c| c.is_ascii_digit()));
    }
    if !is_letter(first) {
        return (Made::Mark, first.len_utf8());
    }
    let mut length = run(is_letter);
    // `O'Neill` is one word, `nurse's` is a word and its ending.
    while let Some(mark) = text[length..].chars().next().filter(|c| matches!(c, '\'' | '’')) {
        let rest = &text[length + mark.len_utf8()..];
        let more = rest.find(|c: char| !is_letter(c)).unwrap_or(rest.len());
        if more < 2 {
            break;
        }
        length += mark.len_utf8() + more;
    }
    (Made::Word, length)
}

/// Whether a character is a letter or an accent that is set upon one.
fn is_letter(c: char) -> bool {
    c.is_alphabetic() || ('\u{300}'..='\u{36f}').contains(&c)
}
