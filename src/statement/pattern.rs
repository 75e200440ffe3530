//! Phrases, written as text and found among the words of a statement.
//!
//! A pattern is a row of elements, each for one word or mark:
//!
//! | element | stands for |
//! |---|---|
//! | `word` | that word |
//! | `a\|b` | one of these |
//! | `calcif~` | a word that begins so |
//! | `~ing` | a word that ends so |
//! | `#` | a word that begins with a digit |
//! | `$role` | a word of that list in [`super::word_lists`] |
//! | `element?` | the element or nothing |
//! | `..3` | up to three words, marks between them not counted |
//! | `--2` | up to two words that carry meaning: none of those that begin another phrase |
//!
//! A phrase begins with a plain element. In a pattern for [`Text::around`] one element carries a star;
//! of the gaps, only `--2` may stand before it.
//!
//! A phrase lies within one sentence. The ways through a pattern are bounded by its gaps, so that
//! reading is linear in the length of the statement.

use std::ops::Range;

use super::text::{Text, Token};
use super::word_lists::{self, FUNCTION_WORDS};

/// How many tokens before its star a phrase may begin.
const FURTHEST_BACK: usize = 6;

impl Text<'_> {
    /// The end of a phrase that begins at a token.
    pub(super) fn phrase_at(&self, at: usize, pattern: &str) -> Option<usize> {
        let first = self.tokens.get(at)?;
        let mut elements = pattern.split_whitespace();
        // Most phrases end here, before anything is gathered.
        if !fits(first, elements.next()?) {
            return None;
        }
        let rest: Vec<&str> = elements.collect();
        self.follow(at + 1, first.sentence, &rest)
    }

    /// The first of some phrases that begins at a token.
    pub(super) fn any_at(&self, at: usize, patterns: &[&str]) -> Option<usize> {
        patterns.iter().find_map(|pattern| self.phrase_at(at, pattern))
    }

    /// Whether a phrase stands somewhere among some tokens.
    pub(super) fn contains(&self, mut tokens: Range<usize>, pattern: &str) -> bool {
        tokens.any(|at| self.phrase_at(at, pattern).is_some())
    }

    /// Whether a phrase stands around a token: the pattern's element with the star is that token.
    pub(super) fn around(&self, at: usize, pattern: &str) -> bool {
        let Some(token) = self.tokens.get(at) else { return false };
        let Some((before, from)) = pattern.split_once('*') else { return false };
        let star = from.split(' ').next().unwrap_or(from);
        if !fits(token, star) {
            return false;
        }
        let before: Vec<&str> = before.split_whitespace().collect();
        let after: Vec<&str> = from.split_whitespace().skip(1).collect();
        let sentence = self.sentence_of(at);
        let starts = at.saturating_sub(FURTHEST_BACK).max(sentence.start)..=at;
        self.follow(at + 1, token.sentence, &after).is_some()
            && starts.into_iter().any(|start| self.leads_to(start, at, &before))
    }

    /// Whether some elements, from a token on, end exactly before another.
    fn leads_to(&self, at: usize, goal: usize, elements: &[&str]) -> bool {
        let Some((element, rest)) = elements.split_first() else { return at == goal };
        if let Some(gap) = element.strip_prefix("--") {
            let words = gap.parse().unwrap_or(0);
            let plain = |token: &Token| token.is_word && !FUNCTION_WORDS.contains(&token.lower.as_str());
            return (0..=words).any(|skip| {
                let skipped = at..at + skip;
                skipped.end <= goal
                    && self.tokens[skipped.clone()].iter().all(plain)
                    && self.leads_to(skipped.end, goal, rest)
            });
        }
        let (element, optional) = element.strip_suffix('?').map_or((*element, false), |plain| (plain, true));
        (at < goal && fits(&self.tokens[at], element) && self.leads_to(at + 1, goal, rest))
            || (optional && self.leads_to(at, goal, rest))
    }

    fn follow(&self, at: usize, sentence: usize, elements: &[&str]) -> Option<usize> {
        let Some((element, rest)) = elements.split_first() else { return Some(at) };
        if let Some(gap) = element.strip_prefix("..") {
            return self.follow_gap(at, sentence, gap, rest, |_| true);
        }
        if let Some(gap) = element.strip_prefix("--") {
            return self.follow_gap(at, sentence, gap, rest, |word| !FUNCTION_WORDS.contains(&word));
        }
        let (element, optional) = element.strip_suffix('?').map_or((*element, false), |plain| (plain, true));
        let here = self.tokens.get(at).filter(|token| token.sentence == sentence);
        let taken =
            here.filter(|token| fits(token, element)).and_then(|_| self.follow(at + 1, sentence, rest));
        taken.or_else(|| optional.then(|| self.follow(at, sentence, rest)).flatten())
    }

    fn follow_gap(
        &self,
        mut at: usize,
        sentence: usize,
        gap: &str,
        rest: &[&str],
        may_skip: fn(&str) -> bool,
    ) -> Option<usize> {
        let mut left: usize = gap.parse().unwrap_or(0);
        loop {
            if let Some(end) = self.follow(at, sentence, rest) {
                return Some(end);
            }
            let token = self.tokens.get(at).filter(|token| token.sentence == sentence)?;
            if token.is_word {
                left = left.checked_sub(1)?;
                if !may_skip(&token.lower) {
                    return None;
                }
            } else if token.lower == ";" {
                return None;
            }
            at += 1;
        }
    }
}

fn fits(token: &Token, element: &str) -> bool {
    element.split('|').any(|one| match one.as_bytes() {
        [b'#'] => token.lower.starts_with(|first: char| first.is_ascii_digit()),
        [b'$', ..] => word_lists::named(&one[1..]).contains(&token.lower.as_str()),
        [b'~', ..] => token.lower.len() > one.len() && token.lower.ends_with(&one[1..]),
        [.., b'~'] => token.lower.starts_with(&one[..one.len() - 1]),
        _ => token.lower == one,
    })
}
