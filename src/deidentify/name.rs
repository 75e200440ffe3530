//! Names of people, and their initials.

mod context;

use std::collections::HashSet;
use std::ops::Range;

use super::kind::Confidence::{High, Low};
use super::kind::{Confidence, Kind, Suspicion};
use super::lists::{
    ABBREVIATIONS, EPONYMS, GIVEN_NAMES, MONTHS, NAMES_AND_WORDS, ROLES, TITLES, TRADE_WORDS, WEEKDAYS,
    WORD_ENDINGS,
};
use super::scan::{Made, Scan};

/// How many tokens a name may span.
const LONGEST: usize = 9;

pub(super) fn find(scan: &Scan<'_>) -> Vec<Suspicion> {
    let words = Words::of(scan);
    let mut found = Vec::new();
    let mut at = 0;
    while at < scan.tokens.len() {
        let next = found_at(scan, &words, at);
        if let Some((kind, ref tokens, confidence)) = next {
            found.push(suspicion(scan, kind, tokens.clone(), confidence));
        }
        at = next.map_or(at + 1, |(_, tokens, _)| tokens.end.max(at + 1));
    }
    found
}

fn found_at(scan: &Scan<'_>, words: &Words<'_>, at: usize) -> Option<(Kind, Range<usize>, Confidence)> {
    let high = |tokens| (Kind::Name, tokens, High);
    titled(scan, at)
        .map(|end| high(at..end))
        .or_else(|| initials(scan, at))
        .or_else(|| initial_and_name(scan, words, at).map(|end| high(at..end)))
        .or_else(|| initials_after_role(scan, at).map(|tokens| (Kind::Initials, tokens, Low)))
        .or_else(|| {
            let confidence = words.confidence_at(scan, at)?;
            let town = confidence == Low && context::is_a_place(scan, at);
            Some((if town { Kind::Location } else { Kind::Name }, at..name_end(scan, at), confidence))
        })
}

/// A name offers the words before it where they say who it is.
fn suspicion(scan: &Scan<'_>, kind: Kind, tokens: Range<usize>, confidence: Confidence) -> Suspicion {
    let relation = context::relation_before(scan, tokens.start);
    let mut suspicion = Suspicion::new(kind, scan.span(tokens), confidence);
    if let Some(relation) = relation.filter(|_| kind == Kind::Name) {
        suspicion.instead = format!("leave it out: “{relation}” says enough");
    }
    suspicion
}

/// `Dr Marlow`, `Prof. A. Quenby`, `Mrs de la Tolland`.
fn titled(scan: &Scan<'_>, at: usize) -> Option<usize> {
    let title = scan.get(at)?;
    if !TITLES.contains(&title.text) {
        return None;
    }
    let mut name = at + 1 + usize::from(scan.glued_mark(at + 1, "."));
    while matches!(
        scan.lower(name),
        "de" | "da" | "la" | "le" | "van" | "von" | "den" | "der" | "el" | "al" | "bin" | "-"
    ) {
        name += 1;
    }
    let next = scan.get(name)?;
    let word = matches!(next.lower.as_str(), "i" | "on" | "who");
    // A role or a capital of the house follows a title in lists: "Nurse Consultant".
    let role = ROLES.contains(&next.lower.as_str()) || TRADE_WORDS.contains(&next.lower.as_str());
    ((next.is_capitalised() && !role) || next.is_initial() && !word).then(|| name_end(scan, name))
}

/// The end of a name: further names, initials and hyphens.
fn name_end(scan: &Scan<'_>, start: usize) -> usize {
    let mut end = start + 1;
    let mut at = end;
    while at < start + LONGEST {
        let Some(token) = scan.get(at) else { break };
        let initial = scan.get(at - 1).is_some_and(|last| last.is_initial());
        let goes_on = match token.made {
            Made::Word => {
                let name = (token.is_capitalised() || token.is_initial()) && !is_known(&token.lower);
                if name || (token.is_capitalised() && initial) {
                    end = at + 1;
                }
                name || matches!(token.lower.as_str(), "de" | "la" | "van" | "von" | "den" | "der")
            }
            // Between initials, or inside a double name.
            Made::Mark => {
                (token.text == "." && initial) || (token.text == "-" && token.glued && scan.glued(at + 1))
            }
            Made::Digits => false,
        };
        if !goes_on {
            break;
        }
        at += 1;
    }
    end
}

/// `K.O.`, `J.R. Marlow`: dotted capitals that are no abbreviation of the trade.
fn initials(scan: &Scan<'_>, at: usize) -> Option<(Kind, Range<usize>, Confidence)> {
    let mut end = at;
    let mut letters = String::new();
    while scan.get(end).is_some_and(|token| token.is_initial() && (end == at || token.glued))
        && letters.len() < 12
    {
        letters.push_str(scan.get(end)?.text);
        end += 1;
        if !scan.glued_mark(end, ".") {
            break;
        }
        end += 1;
    }
    let plausible = (2..=4).contains(&letters.chars().count()) && !ABBREVIATIONS.contains(&letters.as_str());
    if !plausible || scan.glued(at) && scan.lower_before(at) != "(" {
        return None;
    }
    if scan.capitalised(end) && !is_known(scan.lower(end)) && !scan.glued(end) {
        return Some((Kind::Name, at..name_end(scan, end), High));
    }
    Some((Kind::Initials, at..end, High))
}

/// `seen by A. Quenby`; not `type C. Flow`, where a sentence ends.
fn initial_and_name(scan: &Scan<'_>, words: &Words<'_>, at: usize) -> Option<usize> {
    let initial = scan.get(at).filter(|token| token.is_initial())?;
    let name = at + 1 + usize::from(scan.glued_mark(at + 1, "."));
    let told_of = initial.opens
        || matches!(
            scan.lower_before(at),
            "by" | "with" | "from" | "to" | "and" | "asked" | "told" | "called"
        );
    let dotted = name == at + 2;
    (told_of && dotted && scan.capitalised(name) && !words.is_ordinary(scan, name))
        .then(|| name_end(scan, name))
}

/// `operator: KO`, `patient JM was`, `seen by KO`.
fn initials_after_role(scan: &Scan<'_>, at: usize) -> Option<Range<usize>> {
    let role = ROLES.contains(&scan.lower(at)) || matches!(scan.lower(at), "pt" | "by");
    let letters = at + 1 + usize::from(scan.lower(at + 1) == ":");
    let token = scan.get(letters).filter(|token| token.made == Made::Word && !token.glued)?;
    let longest = if scan.lower(at) == "by" { 2 } else { 3 };
    let capitals =
        (2..=longest).contains(&token.text.len()) && token.text.chars().all(|c| c.is_ascii_uppercase());
    let free = scan.get(letters + 1).is_none_or(|next| next.made != Made::Digits && next.text != "-");
    (role && capitals && free && !ABBREVIATIONS.contains(&token.text)).then_some(letters..letters + 1)
}

/// What the text itself says about its capitals.
struct Words<'a> {
    /// Words that also stand in small letters.
    small: HashSet<&'a str>,
    /// Whether capitals inside sentences are the exception, as in prose and not in a heading.
    is_prose: bool,
}

impl<'a> Words<'a> {
    fn of(scan: &'a Scan<'_>) -> Self {
        let words = || scan.tokens.iter().filter(|token| token.made == Made::Word && token.text.len() > 1);
        let is_small = |text: &str| text.chars().all(char::is_lowercase);
        let small: HashSet<&str> =
            words().filter(|token| is_small(token.text)).map(|token| token.text).collect();
        let capitals = words().filter(|token| token.is_capitalised() && !token.opens).count();
        let in_small = words().filter(|token| is_small(token.text)).count();
        Self { small, is_prose: in_small >= capitals }
    }

    /// Whether a capitalised word is a word like others.
    fn is_ordinary(&self, scan: &Scan<'_>, at: usize) -> bool {
        let lower = scan.lower(at);
        is_known(lower)
            || self.small.contains(lower)
            || WORD_ENDINGS.iter().any(|ending| lower.ends_with(ending))
    }

    /// Whether a word is a name in its place, and how surely.
    fn confidence_at(&self, scan: &Scan<'_>, at: usize) -> Option<Confidence> {
        let token = scan.get(at).filter(|token| token.is_capitalised())?;
        let inside_a_word = token.glued
            && scan.before(at).is_some_and(|before| {
                before.made != Made::Mark
                    || matches!(before.text, "-" | "‑" | "." | "'" | "’" | "/" | "_" | "@")
            });
        if inside_a_word {
            return None;
        }
        let lower = token.lower.as_str();
        if context::belongs_to_a_thing(scan, at) || context::is_cited(scan, at) {
            return None;
        }
        let says_person = context::before_is_a_person(scan, at) || context::after_is_a_person(scan, at);
        if NAMES_AND_WORDS.contains(&lower) {
            let plain_word = token.opens || is_known(lower);
            return (says_person || context::acts_like_a_person(scan, at) || !plain_word).then_some(High);
        }
        if is_known(lower) {
            return None;
        }
        if GIVEN_NAMES.contains(&lower) || (says_person && !self.is_ordinary(scan, at)) {
            return Some(High);
        }
        if self.is_ordinary(scan, at) {
            return None;
        }
        let speaks = token.opens && context::speaks(scan, at);
        // Two letters are units and symbols: Fr, Gy, Hb.
        let long = token.text.chars().count() > 2;
        (speaks || (long && !token.opens && self.is_prose)).then_some(Low)
    }
}

/// Whether a word is one of the trade or the calendar, or an eponym.
fn is_known(lower: &str) -> bool {
    let one_day = lower.strip_suffix('s').unwrap_or(lower);
    WEEKDAYS.contains(&one_day)
        || [EPONYMS, TRADE_WORDS, MONTHS, ROLES].iter().any(|list| list.contains(&lower))
}
