//! What the text itself says about its capitals.

use std::collections::HashSet;

use super::super::kind::Confidence::{self, High, Low};
use super::super::lexicon::Class;
use super::super::lists::WORD_ENDINGS;
use super::super::scan::{Made, Scan};
use super::context;
use super::shape::is_known;
use super::thing;

pub(super) struct Words<'a> {
    /// Words that also stand in small letters.
    small: HashSet<&'a str>,
    /// Whether capitals inside sentences are the exception, as in prose and not in a heading.
    is_prose: bool,
}

impl<'a> Words<'a> {
    pub(super) fn of(scan: &'a Scan<'_>) -> Self {
        let words = || scan.tokens.iter().filter(|token| token.made == Made::Word && token.text.len() > 1);
        let is_small = |text: &str| text.chars().all(char::is_lowercase);
        let small: HashSet<&str> =
            words().filter(|token| is_small(token.text)).map(|token| token.text).collect();
        let capitals = words().filter(|token| token.is_capitalised() && !token.opens).count();
        let in_small = words().filter(|token| is_small(token.text)).count();
        Self { small, is_prose: 2 * in_small >= capitals }
    }

    /// Whether a capitalised word is a word of medicine or of this text, like others.
    pub(super) fn is_ordinary(&self, scan: &Scan<'_>, at: usize) -> bool {
        let lower = scan.lower(at);
        is_known(scan, at)
            || self.small.contains(lower)
            || WORD_ENDINGS.iter().any(|ending| lower.ends_with(ending))
    }

    /// Whether a given name stands here, or a word that says a person.
    pub(super) fn is_given(&self, scan: &Scan<'_>, at: usize) -> bool {
        scan.is(at, Class::Given) || scan.is(at, Class::GivenOrWord) || context::before_is_a_person(scan, at)
    }

    /// Whether a word is a name in its place, and how surely.
    pub(super) fn confidence_at(&self, scan: &Scan<'_>, at: usize) -> Option<Confidence> {
        let token = scan.get(at).filter(|token| token.is_capitalised())?;
        if is_inside_a_word(scan, at) || thing::is_beside(scan, at) || thing::is_cited(scan, at) {
            return None;
        }
        let says_person = context::before_is_a_person(scan, at) || context::after_is_a_person(scan, at);
        let everyday = token.is(Class::Common);
        if token.is(Class::GivenOrWord) {
            let plain_word =
                token.opens || is_known(scan, at) || !self.is_prose || context::is_in_a_heading(scan, at);
            let surname =
                scan.capitalised(at + 1) && !scan.is(at + 1, Class::Common) && !is_known(scan, at + 1);
            let person = says_person || surname || context::acts_like_a_person(scan, at);
            return (person || !plain_word).then_some(High);
        }
        if is_known(scan, at) {
            // "His wife, Kent, noticed": an eponym that is a person here.
            let eponym = token.is(Class::Eponym) && !token.is(Class::Trade) && !token.is(Class::Month);
            let person = context::relation_before(scan, at).is_some() || context::is_labelled(scan, at);
            let acts = !token.opens
                && self.is_prose
                && (context::acts_like_a_person(scan, at)
                    || context::is_told_of(scan, at)
                    || context::is_called(scan, at));
            return eponym.then_some(()).and(if person { Some(High) } else { acts.then_some(Low) });
        }
        if token.is(Class::Given) {
            return Some(High);
        }
        if self.is_ordinary(scan, at) {
            return None;
        }
        if says_person {
            // "the Patient Left the lab" is a heading.
            if !everyday || (!token.opens && self.is_prose && !context::is_in_a_heading(scan, at)) {
                return Some(High);
            }
            return (context::is_labelled(scan, at) && token.is(Class::SurnameOrWord)).then_some(Low);
        }
        self.unknown(scan, at, everyday)
    }

    /// Whether a word that no list has is a name: where a capital is the exception, or where it acts.
    fn unknown(&self, scan: &Scan<'_>, at: usize, everyday: bool) -> Option<Confidence> {
        let token = scan.get(at)?;
        // Two letters are units and symbols: Fr, Gy, Hb.
        let long = token.text.chars().count() > 2;
        if token.opens {
            let acts = context::speaks(scan, at) || (!everyday && context::acts_like_a_person(scan, at));
            let owns = !everyday && long && context::owns(scan, at);
            let full = !everyday && long && self.full_name(scan, at);
            let surname =
                token.is(Class::SurnameOrWord) && scan.is(at + 1, Class::PersonVerb) && self.is_prose;
            return (acts && (!everyday || context::speaks_surely(scan, at)) || owns || full || surname)
                .then_some(Low);
        }
        if !long || !self.is_prose {
            return None;
        }
        if everyday {
            // A surname that is a word, where it acts: "then Baker took the wire".
            let person = context::acts_like_a_person(scan, at)
                || context::is_told_of(scan, at)
                || context::is_called(scan, at);
            let surname = token.is(Class::SurnameOrWord);
            return ((person || surname) && !context::is_in_a_heading(scan, at)).then_some(Low);
        }
        Some(if context::is_told_of(scan, at) { High } else { Low })
    }

    /// Two unknown words with capitals, as given name and surname at the beginning of a sentence.
    fn full_name(&self, scan: &Scan<'_>, at: usize) -> bool {
        let next = at + 1;
        let unknown = scan.capitalised(next)
            && !scan.is(next, Class::Common)
            && !self.is_ordinary(scan, next)
            && !scan.glued(next);
        unknown && self.is_prose && !thing::is_beside(scan, next)
    }
}

fn is_inside_a_word(scan: &Scan<'_>, at: usize) -> bool {
    scan.glued(at)
        && scan.before(at).is_some_and(|before| {
            before.made != Made::Mark
                || matches!(before.text, "-" | "‑" | "." | "'" | "’" | "_" | "@")
                || (before.text == "/" && scan.digits(at.wrapping_sub(2)) > 0)
        })
}
