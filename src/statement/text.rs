//! A statement as words and marks.

use std::ops::Range;

use super::finding::{Finding, Rule};

/// A word, or a mark such as a comma.
#[derive(Debug)]
pub(super) struct Token {
    /// Its place in the statement, in bytes.
    pub(super) span: Range<usize>,
    /// In small letters, with plain apostrophes and hyphens.
    pub(super) lower: String,
    /// Whether it is a word or a number rather than a mark.
    pub(super) is_word: bool,
    /// The number of its sentence, from zero.
    pub(super) sentence: usize,
}

/// A statement, cut.
#[derive(Debug)]
pub(super) struct Text<'a> {
    source: &'a str,
    pub(super) tokens: Vec<Token>,
}

impl<'a> Text<'a> {
    /// Cuts a statement into words and marks.
    pub(super) fn read(source: &'a str) -> Self {
        let mut text = Self { source, tokens: Vec::new() };
        let mut rest = source.char_indices().peekable();
        let mut sentence = 0;
        while let Some((start, first)) = rest.next() {
            if first.is_whitespace() {
                continue;
            }
            let mut end = start + first.len_utf8();
            if !first.is_alphanumeric() {
                text.push(start..end, false, sentence);
                let at_end = source[end..].chars().next().is_none_or(char::is_whitespace);
                sentence += usize::from(at_end && matches!(first, '.' | '!' | '?'));
                continue;
            }
            while let Some(&(at, next)) = rest.peek() {
                if !next.is_alphanumeric() && !joins(&source[..at], next, &source[at + next.len_utf8()..]) {
                    break;
                }
                end = at + next.len_utf8();
                rest.next();
            }
            let cut = short_form_at(&source[start..end]).map_or(end, |at| start + at);
            text.push(start..cut, true, sentence);
            if cut < end {
                text.push(cut..end, true, sentence);
            }
        }
        text
    }

    fn push(&mut self, span: Range<usize>, is_word: bool, sentence: usize) {
        let lower = match self.source[span.clone()].to_lowercase().replace('’', "'").replace('‑', "-") {
            short if is_word && short == "n't" => "not".to_owned(),
            short if is_word && short == "'ve" => "have".to_owned(),
            word => word,
        };
        self.tokens.push(Token { span, lower, is_word, sentence });
    }

    /// The word or mark at a place in the order of the statement; empty outside it.
    pub(super) fn word(&self, at: usize) -> &str {
        self.tokens.get(at).map_or("", |token| token.lower.as_str())
    }

    /// How many words, marks not counted, stand among some tokens.
    pub(super) fn count_words(&self, tokens: Range<usize>) -> usize {
        self.tokens[tokens].iter().filter(|token| token.is_word).count()
    }

    /// The tokens of the sentence in which one stands.
    pub(super) fn sentence_of(&self, at: usize) -> Range<usize> {
        let Some(token) = self.tokens.get(at) else { return at..at };
        let first = self.tokens.partition_point(|other| other.sentence < token.sentence);
        let end = self.tokens.partition_point(|other| other.sentence <= token.sentence);
        first..end
    }

    /// The words in a range of tokens, as typed.
    pub(super) fn phrase(&self, tokens: Range<usize>) -> &'a str {
        &self.source[self.span(tokens)]
    }

    /// A finding on some tokens.
    pub(super) fn finding(&self, rule: Rule, tokens: Range<usize>, why: String, ask: &str) -> Finding {
        let span = self.span(tokens);
        let phrase = self.source[span.clone()].to_owned();
        Finding { rule, span, phrase, why, ask: ask.to_owned() }
    }

    fn span(&self, tokens: Range<usize>) -> Range<usize> {
        match &self.tokens[tokens] {
            [first, .., last] => first.span.start..last.span.end,
            [only] => only.span.clone(),
            [] => 0..0,
        }
    }
}

/// Whether a mark between two characters belongs to the word: `wire's`, `run-off`, `3.5`, `14:05`.
fn joins(before: &str, mark: char, after: &str) -> bool {
    let (Some(last), Some(next)) = (before.chars().next_back(), after.chars().next()) else { return false };
    match mark {
        '\'' | '’' | '-' | '‑' => last.is_alphanumeric() && next.is_alphanumeric(),
        '.' | ',' | ':' | '/' => last.is_ascii_digit() && next.is_ascii_digit(),
        _ => false,
    }
}

/// Where a short form ends a word: `did|n't`, `could|'ve`, `nurse|'s`.
fn short_form_at(word: &str) -> Option<usize> {
    const ENDINGS: [&str; 6] = ["n't", "n’t", "'ve", "’ve", "'s", "’s"];
    let ending = ENDINGS.iter().find(|ending| word.len() > ending.len() && word.ends_with(**ending))?;
    Some(word.len() - ending.len())
}
