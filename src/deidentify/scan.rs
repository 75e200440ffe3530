//! A text as tokens that keep their case and know whether they touch.

use std::ops::Range;

use super::lexicon::{Class, Classes};
pub(super) use super::token::Made;
use super::token::{Shape, Token, lowered, piece};

/// A text, cut.
#[derive(Debug)]
pub(super) struct Scan<'a> {
    pub(super) text: &'a str,
    pub(super) tokens: Vec<Token<'a>>,
}

impl<'a> Scan<'a> {
    pub(super) fn read(text: &'a str) -> Self {
        let mut scan = Self { text, tokens: Vec::new() };
        let (mut at, mut opens) = (0, true);
        while let Some(first) = text[at..].chars().next() {
            if first.is_whitespace() {
                opens |= first == '\n';
                at += first.len_utf8();
                continue;
            }
            let (made, length) = piece(&text[at..], first);
            let span = at..at + length;
            let glued = scan.tokens.last().is_some_and(|last| last.span.end == at);
            let token = &text[span.clone()];
            let lower = lowered(token, made);
            let classes = if made == Made::Digits { Classes::default() } else { Classes::of(&lower) };
            let shape = if made == Made::Word { Shape::of(token) } else { Shape::Other };
            scan.tokens.push(Token { span, text: token, lower, classes, shape, made, glued, opens });
            opens = match made {
                Made::Mark => opens || !matches!(first, ',' | '-' | '–' | '/' | '&' | '%' | '+' | '’' | '\''),
                Made::Word | Made::Digits => false,
            };
            at += length;
        }
        scan
    }

    pub(super) fn get(&self, at: usize) -> Option<&Token<'a>> {
        #[cfg(test)]
        looks::LOOKS.with(|looks| looks.set(looks.get() + 1));
        self.tokens.get(at)
    }

    /// The token before another, if there is one.
    pub(super) fn before(&self, at: usize) -> Option<&Token<'a>> {
        self.tokens.get(at.checked_sub(1)?)
    }

    /// The token in small letters; empty outside the text.
    pub(super) fn lower(&self, at: usize) -> &str {
        self.get(at).map_or("", |token| &token.lower)
    }

    /// Whether a token stands on a list.
    pub(super) fn is(&self, at: usize, class: Class) -> bool {
        self.get(at).is_some_and(|token| token.is(class))
    }

    /// Whether the token before another stands on a list.
    pub(super) fn is_before(&self, at: usize, class: Class) -> bool {
        self.before(at).is_some_and(|token| token.is(class))
    }

    /// Whether a token is a word.
    pub(super) fn is_word(&self, at: usize) -> bool {
        self.get(at).is_some_and(|token| token.made == Made::Word)
    }

    /// How many digits a token has, if it is digits alone; 0 otherwise.
    pub(super) fn digits(&self, at: usize) -> usize {
        self.get(at).filter(|token| token.made == Made::Digits).map_or(0, |token| token.text.len())
    }

    /// Whether a token is the first of a sentence or of a line.
    pub(super) fn begins_sentence(&self, at: usize) -> bool {
        let after_stop = self.before(at).is_none_or(|before| matches!(before.text, "." | "!" | "?"));
        let new_line = || {
            let end = self.before(at).map_or(0, |before| before.span.end);
            self.get(at).is_some_and(|token| self.text[end..token.span.start].contains('\n'))
        };
        self.get(at).is_some_and(|token| token.opens) && (after_stop || new_line())
    }

    /// The token before another in small letters; empty at the beginning.
    pub(super) fn lower_before(&self, at: usize) -> &str {
        self.before(at).map_or("", |token| &token.lower)
    }

    /// Whether a token touches the one before.
    pub(super) fn glued(&self, at: usize) -> bool {
        self.get(at).is_some_and(|token| token.glued)
    }

    /// Whether a token is this mark and touches the one before.
    pub(super) fn glued_mark(&self, at: usize, mark: &str) -> bool {
        self.get(at).is_some_and(|token| token.glued && token.text == mark)
    }

    /// The number that a token is, of at most four digits.
    pub(super) fn number(&self, at: usize) -> Option<u32> {
        let token = self.get(at).filter(|token| token.made == Made::Digits && token.text.len() <= 4)?;
        token.text.parse().ok()
    }

    /// Whether a token is a word and begins with a capital like a name.
    pub(super) fn capitalised(&self, at: usize) -> bool {
        self.get(at).is_some_and(Token::is_capitalised)
    }

    /// The place in the text of some tokens.
    pub(super) fn span(&self, tokens: Range<usize>) -> Range<usize> {
        match self.tokens.get(tokens) {
            Some([first, .., last]) => first.span.start..last.span.end,
            Some([only]) => only.span.clone(),
            _ => 0..0,
        }
    }

    /// The end of some words that stand here in this order, full stops after them included. A word may
    /// be one of several: `patient no|number`.
    pub(super) fn words_at(&self, mut at: usize, words: &str) -> Option<usize> {
        for word in words.split(' ') {
            let token = self.get(at)?;
            if !word.split('|').any(|one| token.lower == one) {
                return None;
            }
            at += 1;
            if self.glued_mark(at, ".") {
                at += 1;
            }
        }
        Some(at)
    }

    /// Whether a unit stands here, and no small word that only may follow a count: "of", "in".
    pub(super) fn measure_at(&self, at: usize) -> bool {
        self.unit_at(at)
            && !matches!(
                self.lower(at),
                "of" | "or" | "in" | "per" | "d" | "s" | "x" | "patients" | "people" | "cases"
            )
    }

    /// Whether a unit or a count stands here, so that the number before it measures something.
    pub(super) fn unit_at(&self, at: usize) -> bool {
        self.is(at, Class::Unit)
    }
}

/// How often a token was looked at, for the check that the time grows with the text and no faster.
#[cfg(test)]
pub(super) mod looks {
    use std::cell::Cell;

    thread_local! {
        pub(in super::super) static LOOKS: Cell<usize> = const { Cell::new(0) };
    }
}
