//! Names with a title.

use std::ops::Range;

use super::super::lexicon::Class;
use super::super::scan::Scan;
use super::shape::{is_particle, is_surname_in_capitals, name_end};
use super::thing;

/// The end of `Dr Marlow`, `Prof. A. Quenby`, `Mrs de la Tolland`, `dr marlow`, `Prof. Dr. med. Kern`.
pub(super) fn at(scan: &Scan<'_>, at: usize) -> Option<usize> {
    let end = one_titled(scan, at)?;
    // "Drs Marlow and Pell"
    let second = end + 1;
    let more = matches!(scan.lower(at), "drs" | "profs" | "messrs" | "mesdames")
        && matches!(scan.lower(end), "and" | "&");
    let end = if more && scan.capitalised(second) { name_end(scan, second) } else { end };
    (!thing::is_after(scan, end)).then_some(end)
}

fn one_titled(scan: &Scan<'_>, at: usize) -> Option<usize> {
    let mut name = after_title(scan, at)?;
    let alone = scan.is(at, Class::RoleTitle) && !scan.is(at, Class::Title);
    for _ in 0..3 {
        // "Prof. Dr. Kern", "Mr and Mrs Haddow"
        let joined = name + usize::from(matches!(scan.lower(name), "and" | "&" | "und" | "et" | "y"));
        let Some(next) = after_title(scan, joined) else { break };
        name = next;
    }
    let rank = |word: &str| matches!(word, "med" | "em" | "univ" | "phil" | "habil" | "dipl" | "hc");
    while is_particle(scan.lower(name))
        || rank(scan.lower(name))
        || (scan.lower(name) == "." && rank(scan.lower_before(name)))
        || scan.glued_mark(name, "-")
    {
        name += 1;
    }
    let next = scan.get(name)?;
    // A role or a capital of the house follows a title in lists: "Nurse Consultant".
    let role = next.is(Class::Role) || (next.is(Class::Trade) && !next.is(Class::Given));
    let heading = alone
        && next.is(Class::Common)
        && !next.is(Class::Given)
        && !next.is(Class::GivenOrWord)
        && (scan.capitalised(name + 1) || !is_told(scan, name));
    if next.is_capitalised() && !role && !heading {
        return Some(name_end(scan, name));
    }
    // "Dr X", "Mr T"; not "Sister I saw".
    let pronoun = next.text == "I" && !scan.glued_mark(name + 1, ".");
    let article = next.text == "A" && alone;
    if next.is_initial() && !pronoun && !article {
        return Some(name_end(scan, name));
    }
    if is_surname_in_capitals(scan, name) && !role && !alone {
        return Some(name_end(scan, name));
    }
    // Typed in haste: "dr marlow asked".
    let small = next.text.chars().all(char::is_lowercase) && next.text.chars().count() > 2;
    let unknown = [Class::Common, Class::Trade, Class::Eponym, Class::Role, Class::Unit]
        .iter()
        .all(|class| !next.is(*class));
    let given = next.is(Class::Given) && !next.is(Class::Trade);
    let plain_title = matches!(scan.lower(at), "dr" | "mr" | "mrs" | "ms" | "prof" | "miss");
    (small && plain_title && !scan.glued(name) && (unknown || given)).then_some(name + 1)
}

/// Whether an act or a mark follows, so that a word with a capital after "Nurse" is no heading.
fn is_told(scan: &Scan<'_>, name: usize) -> bool {
    scan.is(name + 1, Class::PersonVerb)
        || scan.get(name + 1).is_none_or(|next| matches!(next.text, "." | "," | "'" | "’" | ")" | ";" | ":"))
        || matches!(scan.lower(name + 1), "was" | "is" | "and" | "from" | "to" | "at" | "who")
}

/// The token after a title and its full stop.
fn after_title(scan: &Scan<'_>, at: usize) -> Option<usize> {
    let title = scan.get(at)?;
    // `д-р Иванова`, `г-жа Иванова`
    let hyphened = scan.glued_mark(at + 1, "-")
        && matches!((title.lower.as_str(), scan.lower(at + 2)), ("д", "р") | ("г", "н" | "жа"));
    if hyphened {
        return Some(at + 3);
    }
    let role = title.is(Class::RoleTitle)
        && (title.is_capitalised() || title.text == "M")
        && (title.text != "M" || scan.glued_mark(at + 1, "."));
    // `mr` and `ms` in capitals are grades and milliseconds; `fr`, `sr`, `pan` and `hr` are words in small letters.
    let capitals = title.is_in_capitals() && title.text.is_ascii();
    let small = title.text.chars().next().is_some_and(char::is_lowercase);
    // `Op. Dr. Kaya`, `Pr Lefranc`: in small letters they are words of the trade.
    let ambiguous = small
        && !matches!(title.lower.as_str(), "dr" | "mr" | "mrs" | "ms" | "prof" | "dra")
        && title.text.is_ascii();
    let plain =
        title.is(Class::Title) && !ambiguous && (!capitals || matches!(title.text, "DR" | "MRS" | "PROF"));
    // `Fr 6` and `Hr 92` measure; `ms` after a number too.
    let measures = scan.digits(at.wrapping_sub(1)) > 0 || scan.digits(at + 1) > 0;
    ((role || plain) && !measures).then(|| at + 1 + usize::from(scan.glued_mark(at + 1, ".")))
}

/// `Ayşe Hanım`, `Mehmet Bey`, `王医生`: where the title stands behind.
pub(super) fn before_title(scan: &Scan<'_>, at: usize) -> Option<Range<usize>> {
    const BEHIND: [&str; 6] = ["医生", "醫生", "先生", "女士", "さん", "医師"];
    let turkish =
        scan.capitalised(at) && matches!(scan.lower(at + 1), "hanım" | "bey") && scan.capitalised(at + 1);
    let chinese = scan.get(at).is_some_and(|token| {
        !token.text.is_ascii()
            && BEHIND.iter().any(|title| token.text.find(title).is_some_and(|place| place > 0))
    });
    turkish.then_some(at..at + 2).or_else(|| chinese.then_some(at..at + 1))
}
