//! Ages above 89, which Safe Harbor groups as "90 or older".

use super::kind::Confidence::{High, Low};
use super::kind::{Confidence, Kind, Suspicion};
use super::lexicon::Class;
use super::scan::Scan;

/// The highest age that is taken for one.
const OLDEST: u32 = 125;

/// An age in the text: its tokens, how sure it is, and what can stand there.
struct Age {
    start: usize,
    end: usize,
    confidence: Confidence,
    put: &'static str,
}

pub(super) fn find(scan: &Scan<'_>) -> Vec<Suspicion> {
    let found = (0..scan.tokens.len()).filter_map(|at| {
        let age = in_words(scan, at).or_else(|| in_digits(scan, at))?;
        let suspicion = Suspicion::new(Kind::AgeAbove89, scan.span(age.start..age.end), age.confidence);
        Some(suspicion.with_put(Some(age.put.to_owned())))
    });
    found.collect()
}

fn in_digits(scan: &Scan<'_>, at: usize) -> Option<Age> {
    let free = !scan.glued(at)
        || matches!(scan.lower_before(at), "(" | "," | ":" | "=" | "[" | "/" | ";" | "\"" | "“" | "~");
    scan.number(at).filter(|age| (90..=OLDEST).contains(age) && free)?;
    let end = at + 1;
    let age = |end, confidence, put| Some(Age { start: at, end, confidence, put });
    let grouped = scan.glued_mark(end, "+")
        || matches!(scan.lower(end), "or" | "and")
            && matches!(scan.lower(end + 1), "older" | "above" | "over" | "more");
    if grouped {
        return None;
    }
    if let Some((end, put)) = years_old(scan, end) {
        return age(end, High, put);
    }
    let years = matches!(scan.lower(end), "years" | "yrs" | "y");
    let measured = (scan.unit_at(end) && !matches!(scan.lower(end), "f" | "m" | "of" | "or" | "in"))
        || matches!(scan.lower(end), "%" | "/");
    let decimal = scan.glued_mark(end, ".") && scan.digits(end + 1) > 0 && scan.glued(end + 1);
    if after_age_word(scan, at) && (years || !measured) && !decimal {
        return age(end + usize::from(years), High, "90 or older");
    }
    if after_person(scan, at) && matches!(scan.lower(end), "" | "," | "." | ")" | ";") && !decimal {
        return age(end, High, "90 or older");
    }
    // `her 95th birthday`
    let ordinal = scan.glued(end) && matches!(scan.lower(end), "st" | "nd" | "rd" | "th");
    if ordinal && matches!(scan.lower(end + 1), "birthday" | "year") {
        return age(
            end + 2,
            if scan.lower(end + 1) == "birthday" { High } else { Low },
            "a birthday above 89",
        );
    }
    // `in her 90s`; a heart rate "in the 90s" is nobody's.
    let decade = scan.glued(end) && scan.lower(end) == "s" && scan.digits(at) == 2;
    let part = at - usize::from(matches!(scan.lower_before(at), "early" | "mid" | "late"));
    if decade && part > 1 && matches!(scan.lower_before(part), "her" | "his") && scan.lower(part - 2) == "in"
    {
        return Some(Age { start: part - 2, end: end + 1, confidence: High, put: "90 or older" });
    }
    // `91F`, `93 M`: age and sex, as notes begin.
    let female = scan.get(end).is_some_and(|next| matches!(next.text, "F" | "f") && next.glued);
    let male = scan.get(end).is_some_and(|next| matches!(next.text, "M" | "m") && next.glued);
    if (female || male) && !matches!(scan.lower(end + 1), "/" | "²") {
        return age(end + 1, Low, if female { "woman, 90 or older," } else { "man, 90 or older," });
    }
    if is_said_to_be(scan, at) && !measured && !decimal && !scan.glued_mark(end, "-") {
        return age(end, Low, "90 or older");
    }
    (scan.lower(end) == "years" && !matches!(scan.lower_before(at), "for" | "of" | "within" | "over" | "in"))
        .then_some(Age { start: at, end: end + 1, confidence: Low, put: "90 or older" })
}

/// The end of `-year-old`, `years old`, `yo`, `y/o`, `years of age`, `ans`, and what can stand there.
fn years_old(scan: &Scan<'_>, at: usize) -> Option<(usize, &'static str)> {
    let dash = |at: usize| if matches!(scan.lower(at), "-" | "‑" | "–") { at + 1 } else { at };
    let unit = dash(at);
    let before_noun = |end: usize| scan.is(end, Class::Person) || scan.is(end + 1, Class::Person);
    let as_noun = |end: usize| if before_noun(end) { "90-or-older" } else { "person aged 90 or older" };
    let of_age = |end: usize| (end, "90 or older");
    match scan.lower(unit) {
        "yo" | "yr-old" | "yearold" => Some((unit + 1, as_noun(unit + 1))),
        "y" if scan.lower(unit + 1) == "/" && scan.lower(unit + 2) == "o" => {
            Some((unit + 3, as_noun(unit + 3)))
        }
        "y" if scan.glued_mark(unit + 1, ".") && scan.lower(unit + 2) == "o" => {
            let end = unit + 3 + usize::from(scan.glued_mark(unit + 3, "."));
            Some((end, as_noun(end)))
        }
        "year" | "years" | "yr" | "yrs" | "y" => {
            let old = dash(unit + 1);
            if matches!(scan.lower(old), "old" | "o") {
                let hyphened = scan.lower(unit) != "years" || unit > at;
                return Some(if hyphened { (old + 1, as_noun(old + 1)) } else { of_age(old + 1) });
            }
            let aged = scan.lower(unit + 1) == "of" && scan.lower(unit + 2) == "age";
            (aged)
                .then(|| of_age(unit + 3))
                .or_else(|| (scan.lower(unit + 1) == "young").then(|| of_age(unit + 2)))
        }
        "ans" | "años" | "anos" | "anni" | "jaar" | "år" | "yaşında" | "lat" | "jährig" | "jähriger"
        | "jährige" | "jährigen" => Some(of_age(unit + 1)),
        "jahre" if scan.lower(unit + 1) == "alt" => Some(of_age(unit + 2)),
        _ => None,
    }
}

/// `aged 91`, `age: 91`, `age of 91`.
fn after_age_word(scan: &Scan<'_>, at: usize) -> bool {
    let mut word = at;
    for _ in 0..3 {
        match scan.lower_before(word) {
            "aged" | "age" => return true,
            ":" | "of" | "is" | "was" | "=" | "(" | "at" | "about" | "nearly" | "almost" => word -= 1,
            _ => return false,
        }
    }
    false
}

/// `she is 94`, `he was 92`, `turned 91`.
fn is_said_to_be(scan: &Scan<'_>, at: usize) -> bool {
    let subject = at.checked_sub(2).map_or("", |word| scan.lower(word));
    let said = matches!(scan.lower_before(at), "is" | "was" | "turned" | "turns")
        && matches!(subject, "she" | "he" | "patient" | "who" | "lady" | "gentleman");
    said || matches!(scan.lower_before(at), "turned" | "turning")
        && !matches!(subject, "wire" | "balloon" | "burr")
}

/// `Mrs Tolland, 91,`, `a woman (91)`, `a man of 93`.
fn after_person(scan: &Scan<'_>, at: usize) -> bool {
    let Some(mark) = at.checked_sub(1).filter(|mark| matches!(scan.lower(*mark), "," | "(" | "of")) else {
        return false;
    };
    let person = scan.is_before(mark, Class::Person);
    let named = scan.before(mark).is_some_and(|word| {
        let mut title = mark - 1;
        title -= usize::from(scan.lower_before(title) == ".");
        let titled = scan.is_before(title, Class::Title)
            || (scan.is_before(title, Class::RoleTitle) && scan.capitalised(title - 1));
        (word.is_capitalised() || word.is_in_capitals()) && (titled || word.is(Class::Given))
    });
    person || named
}

/// `ninety-two-year-old`, `in her nineties`, `a nonagenarian`, `aged ninety-one`.
fn in_words(scan: &Scan<'_>, at: usize) -> Option<Age> {
    match scan.lower(at) {
        "nineties" => {
            let part = at - usize::from(matches!(scan.lower_before(at), "early" | "mid" | "late"));
            let part = part - usize::from(part > 0 && scan.lower_before(part) == "-");
            let owner = scan.lower_before(part);
            if !matches!(owner, "her" | "his" | "their" | "the") {
                return None;
            }
            // The decade of a century is in the same words: "in the nineties".
            let confidence = if owner == "the" { Low } else { High };
            let start = part - 1;
            let start = start - usize::from(start > 0 && scan.lower_before(start) == "in");
            Some(Age { start, end: at + 1, confidence, put: "90 or older" })
        }
        "nonagenarian" | "centenarian" | "nonagenarians" | "centenarians" | "supercentenarian" => {
            let put = if scan.lower(at).ends_with('s') {
                "people aged 90 or older"
            } else {
                "person aged 90 or older"
            };
            Some(Age { start: at, end: at + 1, confidence: High, put })
        }
        "ninety" | "hundred" => {
            let more = at + 1 + usize::from(matches!(scan.lower(at + 1), "-" | "and"));
            let ones = more
                + usize::from(
                    scan.is_word(more)
                        && matches!(
                            scan.lower(more),
                            "one" | "two" | "three" | "four" | "five" | "six" | "seven" | "eight" | "nine"
                        ),
                );
            let end = if ones > more { ones } else { at + 1 };
            if let Some((end, put)) = years_old(scan, end) {
                return Some(Age { start: at, end, confidence: High, put });
            }
            let aged =
                scan.lower_before(at) == "aged" || (scan.lower_before(at) == "age" && !scan.unit_at(end));
            aged.then_some(Age { start: at, end, confidence: High, put: "90 or older" })
        }
        _ => None,
    }
}
