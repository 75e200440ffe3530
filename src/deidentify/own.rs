//! A department's own words: the names of its people and places, and the form of its record numbers,
//! kept as salted digests alone.
//!
//! Whoever holds the digests and the salt can still try a guessed name against them; what they prevent is
//! reading the list. They are never shown and never exported.

use std::collections::{HashMap, HashSet};
use std::ops::Range;

use sha2::{Digest as _, Sha256};

use super::kind::{Confidence, Kind, Suspicion};
use super::lexicon::{Class, Classes};
use super::scan::{Made, Scan};
use super::suspect;

/// A name of more words than this is not looked for.
pub const WORDS_AT_MOST: usize = 6;

/// What sort of word a department keeps.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum OwnSort {
    /// Somebody who works here.
    Person,
    /// The hospital, a ward, a street, a town.
    Place,
    /// The form of a number that a register here gives: letters and digits, whatever they are.
    Number,
}

impl OwnSort {
    /// Every sort.
    pub const ALL: [Self; 3] = [Self::Person, Self::Place, Self::Number];

    /// The sort as it is stored and sent.
    #[must_use]
    pub const fn slug(self) -> &'static str {
        match self {
            Self::Person => "person",
            Self::Place => "place",
            Self::Number => "number",
        }
    }

    /// The sort of a slug.
    #[must_use]
    pub fn from_slug(slug: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|sort| sort.slug() == slug)
    }

    const fn kind(self) -> Kind {
        match self {
            Self::Person => Kind::Name,
            Self::Place => Kind::Hospital,
            Self::Number => Kind::RecordNumber,
        }
    }

    const fn put(self) -> Option<&'static str> {
        match self {
            Self::Person => Some("a colleague"),
            Self::Place => Some("this hospital"),
            Self::Number => None,
        }
    }
}

/// Why a word cannot go on the list.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum OwnWordError {
    /// Nothing to look for in it.
    #[error("A name has at least two letters.")]
    TooShort,
    /// A name of too many words.
    #[error("A name of at most {WORDS_AT_MOST} words is looked for. Give each name a line of its own.")]
    TooLong,
    /// A word that everybody uses.
    #[error("This is a word of the trade, which would be marked in every text.")]
    TradeWord,
    /// A number that has no form of its own.
    #[error("An example of a number has at least four digits, and may have letters and strokes: A123456.")]
    NoNumber,
}

/// A digest of a word with the department's salt, as lower-case hexadecimal.
pub type OwnDigest = String;

/// A word of the list as it is kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OwnEntry {
    /// What sort it is.
    pub sort: OwnSort,
    /// The digest of all of it.
    pub digest: OwnDigest,
    /// The digest of its first word, by which a text is looked through quickly.
    pub head: OwnDigest,
}

/// A department's list, ready to be held against texts.
#[derive(Debug, Clone, Default)]
pub struct OwnWords {
    salt: String,
    entries: HashMap<OwnDigest, OwnSort>,
    heads: HashSet<OwnDigest>,
    has_numbers: bool,
}

/// What a part of a text is compared by.
fn digest(salt: &str, what: &str, text: &str) -> OwnDigest {
    let mut hasher = Sha256::new();
    for part in [salt, "\0", what, "\0", text] {
        hasher.update(part.as_bytes());
    }
    hasher.finalize().iter().take(16).map(|byte| format!("{byte:02x}")).collect()
}

/// `nurse's` as `nurse`.
fn bare(word: &str) -> &str {
    word.strip_suffix("'s").unwrap_or(word)
}

/// The form of a number: `A 123-456` as `A999-999`.
fn form(text: &str) -> String {
    let shape = |c: char| match c {
        c if c.is_alphabetic() => 'A',
        c if c.is_ascii_digit() => '9',
        other => other,
    };
    text.chars().filter(|c| !c.is_whitespace()).map(shape).collect()
}

impl OwnWords {
    /// The list with this salt and these entries.
    #[must_use]
    pub fn new(salt: String, entries: impl IntoIterator<Item = OwnEntry>) -> Self {
        let mut own = Self { salt, ..Self::default() };
        for entry in entries {
            own.has_numbers |= entry.sort == OwnSort::Number;
            own.heads.insert(entry.head);
            own.entries.insert(entry.digest, entry.sort);
        }
        own
    }

    /// How many words of a sort there are.
    #[must_use]
    pub fn count(&self, sort: OwnSort) -> usize {
        self.entries.values().filter(|own| **own == sort).count()
    }

    /// Whether a word stands on the list.
    #[must_use]
    pub fn holds(&self, entry: &OwnEntry) -> bool {
        self.entries.get(&entry.digest) == Some(&entry.sort)
    }

    /// What is kept of a word.
    ///
    /// # Errors
    /// A word that cannot be looked for.
    pub fn entry(&self, sort: OwnSort, text: &str) -> Result<OwnEntry, OwnWordError> {
        let (head, whole) = match sort {
            OwnSort::Number => {
                let form = form(text);
                if form.chars().filter(|c| *c == '9').count() < 4 {
                    return Err(OwnWordError::NoNumber);
                }
                (form.clone(), form)
            }
            OwnSort::Person | OwnSort::Place => {
                let scan = Scan::read(text);
                let words: Vec<&str> = words_of(&scan).map(|at| bare(scan.lower(at))).collect();
                let [first, ..] = words.as_slice() else { return Err(OwnWordError::TooShort) };
                if words.len() > WORDS_AT_MOST {
                    return Err(OwnWordError::TooLong);
                }
                if words.iter().map(|word| word.chars().count()).sum::<usize>() < 2 {
                    return Err(OwnWordError::TooShort);
                }
                if words.len() == 1 && is_word_of_the_trade(first) {
                    return Err(OwnWordError::TradeWord);
                }
                ((*first).to_owned(), words.join(" "))
            }
        };
        Ok(OwnEntry {
            sort,
            digest: digest(&self.salt, sort.slug(), &whole),
            head: digest(&self.salt, "head", &head),
        })
    }

    /// The digest by which words that a person dismissed are known again.
    #[must_use]
    pub fn digest_of_words(&self, words: &str) -> OwnDigest {
        let plain = words.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase();
        digest(&self.salt, "dismissed", &plain)
    }

    /// The words of the list in a text, in its order.
    fn find(&self, scan: &Scan<'_>) -> Vec<(Range<usize>, OwnSort)> {
        let mut found = Vec::new();
        if self.entries.is_empty() {
            return found;
        }
        // A text says the same words again and again, and each is digested once.
        let mut is_head: HashMap<&str, bool> = HashMap::new();
        let words: Vec<usize> = words_of(scan).collect();
        let mut next = 0;
        while next < words.len() {
            let word = bare(scan.lower(words[next]));
            let head = *is_head
                .entry(word)
                .or_insert_with(|| self.heads.contains(&digest(&self.salt, "head", word)));
            let hit = if head { self.longest(scan, &words[next..]) } else { None };
            if let Some((length, sort)) = hit {
                found.push((scan.span(words[next]..words[next + length - 1] + 1), sort));
                next += length;
            } else {
                next += 1;
            }
        }
        if self.has_numbers {
            found.extend(self.numbers(scan));
        }
        found
    }

    /// The longest name of the list that begins with the first of these words.
    fn longest(&self, scan: &Scan<'_>, words: &[usize]) -> Option<(usize, OwnSort)> {
        let mut text = String::new();
        let mut longest = None;
        for (index, at) in words.iter().take(WORDS_AT_MOST).enumerate() {
            if index > 0 {
                text.push(' ');
            }
            text.push_str(bare(scan.lower(*at)));
            let sort = [OwnSort::Person, OwnSort::Place]
                .into_iter()
                .find(|sort| self.entries.get(&digest(&self.salt, sort.slug(), &text)) == Some(sort));
            if let Some(sort) = sort
                && (index > 0 || is_written_as_a_name(scan, *at))
            {
                longest = Some((index + 1, sort));
            }
        }
        longest
    }

    fn numbers(&self, scan: &Scan<'_>) -> Vec<(Range<usize>, OwnSort)> {
        let mut found = Vec::new();
        let mut at = 0;
        while at < scan.tokens.len() {
            let start = at;
            at += 1;
            while scan.glued(at) {
                at += 1;
            }
            let mut end = at;
            // A full stop or a bracket after a number is none of it.
            while end > start && scan.get(end - 1).is_some_and(|token| token.made == Made::Mark) {
                end -= 1;
            }
            let mut first = start;
            while first < end && scan.get(first).is_some_and(|token| token.made == Made::Mark) {
                first += 1;
            }
            let span = scan.span(first..end);
            let text = &scan.text[span.clone()];
            if text.len() <= 40 && text.chars().filter(char::is_ascii_digit).count() >= 4 {
                let form = form(text);
                if self.entries.contains_key(&digest(&self.salt, OwnSort::Number.slug(), &form)) {
                    found.push((span, OwnSort::Number));
                }
            }
        }
        found
    }
}

/// A word of the trade that is nobody's name.
fn is_word_of_the_trade(word: &str) -> bool {
    let classes = Classes::of(word);
    classes.has(Class::Trade) && !classes.has(Class::GivenOrWord) && !classes.has(Class::SurnameOrWord)
}

/// A name that is a word as well.
fn is_a_word(word: &str) -> bool {
    let classes = Classes::of(word);
    [Class::Trade, Class::GivenOrWord, Class::SurnameOrWord, Class::Common]
        .into_iter()
        .any(|class| classes.has(class))
}

/// The places of words and numbers, without the marks between them.
fn words_of<'a>(scan: &'a Scan<'_>) -> impl Iterator<Item = usize> + 'a {
    scan.tokens.iter().enumerate().filter(|(_, token)| token.made != Made::Mark).map(|(at, _)| at)
}

/// A name that is a word as well, and initials, need their capitals; any other name does not.
fn is_written_as_a_name(scan: &Scan<'_>, at: usize) -> bool {
    let Some(token) = scan.get(at) else { return false };
    let word = bare(&token.lower);
    if word.chars().count() <= 3 {
        return token.text.chars().filter(|c| c.is_alphabetic()).all(char::is_uppercase)
            || (word.chars().count() == 3 && token.is_capitalised());
    }
    token.is_capitalised()
        || token.text.chars().all(|c| c.is_uppercase() || !c.is_alphabetic())
        || !is_a_word(word)
}

/// What in a text may identify a person, with the department's own words: as [`suspect`], and what stands
/// on the list is sure.
#[must_use]
pub fn suspect_with(text: &str, own: &OwnWords) -> Vec<Suspicion> {
    let mut found = suspect(text);
    for (span, sort) in own.find(&Scan::read(text)) {
        let mut met = false;
        for other in &mut found {
            if other.span.start < span.end && span.start < other.span.end {
                other.confidence = Confidence::High;
                met = true;
            }
        }
        if !met {
            let mut suspicion = Suspicion::new(sort.kind(), span, Confidence::High);
            "This stands on your department’s own list.".clone_into(&mut suspicion.why);
            suspicion.put = sort.put().map(str::to_owned);
            found.push(suspicion);
        }
    }
    found.sort_by_key(|suspicion| suspicion.span.start);
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    fn list(words: &[(OwnSort, &str)]) -> OwnWords {
        let empty = OwnWords::new("salt".to_owned(), []);
        let entries: Vec<OwnEntry> =
            words.iter().map(|(sort, text)| empty.entry(*sort, text).unwrap()).collect();
        OwnWords::new("salt".to_owned(), entries)
    }

    fn found<'a>(text: &'a str, own: &OwnWords) -> Vec<&'a str> {
        suspect_with(text, own).into_iter().map(|one| &text[one.span]).collect()
    }

    #[test]
    fn a_name_of_the_list_is_found_however_it_is_written() {
        let own = list(&[
            (OwnSort::Person, "Osgood"),
            (OwnSort::Person, "Ida Varnish-Pell"),
            (OwnSort::Place, "The Elms"),
        ]);
        assert_eq!(found("then osgood wired it", &own), ["osgood"]);
        assert_eq!(found("OSGOOD’S wire", &own), ["OSGOOD"]);
        assert_eq!(found("and ida varnish pell held it", &own), ["ida varnish pell"]);
        assert_eq!(found("sent on to the elms, stable", &own), ["the elms"]);
        assert!(found("the wire was held", &own).is_empty());
    }

    #[test]
    fn a_name_that_is_a_word_needs_its_capital() {
        let own = list(&[(OwnSort::Person, "Will"), (OwnSort::Person, "KO"), (OwnSort::Person, "Ray")]);
        assert!(found("the wire will hold, a ray of light", &own).is_empty());
        assert_eq!(found("then Ray pulled, and KO agreed", &own), ["Ray", "KO"]);
    }

    #[test]
    fn a_number_is_known_by_its_form() {
        let own = list(&[(OwnSort::Number, "QX-123456")]);
        assert_eq!(found("under AB-998877.", &own), ["AB-998877"]);
        assert!(own.find(&Scan::read("under ABC-998877")).is_empty(), "another form");
        assert!(found("stent 3.0 x 28 mm, ACT 287 s", &own).is_empty());
    }

    #[test]
    fn what_was_doubtful_is_sure_when_it_stands_on_the_list() {
        let text = "while Marlow wired the branch";
        assert_eq!(suspect(text)[0].confidence, Confidence::Low);
        let sure = suspect_with(text, &list(&[(OwnSort::Person, "Marlow")]));
        assert_eq!((sure.len(), sure[0].confidence), (1, Confidence::High));
    }

    #[test]
    fn the_list_holds_no_words_and_another_salt_another_list() {
        let own = list(&[(OwnSort::Person, "Osgood")]);
        assert!(!format!("{own:?}").to_lowercase().contains("osgood"));
        let other = OwnWords::new("pepper".to_owned(), []);
        let entry = other.entry(OwnSort::Person, "Osgood").unwrap();
        assert!(!own.entries.contains_key(&entry.digest));
        assert_ne!(own.digest_of_words("Osgood"), other.digest_of_words("Osgood"));
        assert_eq!(own.digest_of_words(" Dr  Osgood"), own.digest_of_words("dr osgood"));
    }

    #[test]
    fn what_cannot_be_looked_for_is_refused() {
        let own = OwnWords::default();
        assert_eq!(own.entry(OwnSort::Person, " . "), Err(OwnWordError::TooShort));
        assert_eq!(own.entry(OwnSort::Person, "wire"), Err(OwnWordError::TradeWord));
        assert_eq!(own.entry(OwnSort::Person, "a b c d e f g"), Err(OwnWordError::TooLong));
        assert_eq!(own.entry(OwnSort::Number, "A12"), Err(OwnWordError::NoNumber));
    }
}
