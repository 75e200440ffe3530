//! Where a name ends.

use super::super::lexicon::Class;
use super::super::scan::{Made, Scan};

/// How many tokens a name may span.
const LONGEST: usize = 12;

/// Small words inside names: `van den Berg`, `da Cunha`.
pub(super) fn is_particle(lower: &str) -> bool {
    matches!(
        lower,
        "de" | "da"
            | "do"
            | "dos"
            | "das"
            | "del"
            | "della"
            | "di"
            | "du"
            | "des"
            | "la"
            | "le"
            | "van"
            | "von"
            | "vom"
            | "zu"
            | "zur"
            | "den"
            | "der"
            | "ten"
            | "ter"
            | "te"
            | "el"
            | "al"
            | "bin"
            | "ibn"
            | "bint"
            | "af"
            | "av"
            | "y"
            | "dela"
            | "st"
    )
}

/// The end of a name: further names, initials and hyphens, and what is written after it: `Jr.`, `MD`.
pub(super) fn name_end(scan: &Scan<'_>, start: usize) -> usize {
    let end = names_end(scan, start);
    let suffix = end + usize::from(scan.lower(end) == ",");
    let written = scan.get(suffix).is_some_and(|token| {
        matches!(token.text, "Jr" | "Sr" | "MD" | "PhD" | "DDS" | "DVM" | "FRCP" | "FACC" | "MBBS" | "RN")
            || (suffix == end && matches!(token.text, "II" | "III" | "IV" | "V"))
    });
    // `Ellis III` is a grade, and is not asked about here.
    let generation = suffix == end && end == start + 1 && scan.is(start, Class::Eponym);
    if !written || generation {
        return end;
    }
    suffix + 1 + usize::from(scan.glued_mark(suffix + 1, ".") && matches!(scan.lower(suffix), "jr" | "sr"))
}

fn names_end(scan: &Scan<'_>, start: usize) -> usize {
    let mut end = start + 1;
    let mut at = end;
    while at < start + LONGEST {
        let Some(token) = scan.get(at) else { break };
        let initial = scan.get(at - 1).is_some_and(|last| last.is_initial());
        let goes_on = match token.made {
            Made::Word => {
                let capital =
                    token.is_capitalised() || token.is_initial() || is_surname_in_capitals(scan, at);
                // "Gerard Edwards" is a person, and no valve of Edwards follows.
                let surname = token.is(Class::Eponym)
                    && !token.is(Class::Trade)
                    && scan.is(at - 1, Class::Given)
                    && !super::thing::is_beside(scan, at);
                let name = capital && (!is_known(scan, at) || surname) && !token.is(Class::AfterWard);
                if name || (token.is_capitalised() && initial) {
                    end = at + 1;
                }
                name || is_particle(&token.lower)
            }
            // Between initials, or inside a double name.
            Made::Mark => {
                (token.text == "." && initial)
                    || (matches!(token.text, "-" | "‑" | "'" | "’")
                        && token.glued
                        && scan.glued(at + 1)
                        && (scan.capitalised(at + 1) || is_surname_in_capitals(scan, at + 1)))
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

/// `MARLOW` behind a title or a given name; `LAD` and `PCI` are no names.
pub(super) fn is_surname_in_capitals(scan: &Scan<'_>, at: usize) -> bool {
    scan.get(at).is_some_and(|token| {
        token.is_in_capitals() && token.text.chars().count() >= 3 && !token.is(Class::Abbreviation)
    })
}

/// Whether a word is one of the trade or the calendar, or an eponym.
pub(super) fn is_known(scan: &Scan<'_>, at: usize) -> bool {
    scan.get(at).is_some_and(|token| {
        [Class::Eponym, Class::Trade, Class::Month, Class::Role, Class::Weekday, Class::Hospital]
            .iter()
            .any(|class| token.is(*class))
    }) || scan
        .lower(at)
        .strip_suffix('s')
        .is_some_and(|one| super::super::lexicon::Classes::of(one).has(Class::Weekday))
}

/// The beginning of a name with the small words before it: "van Rensburg".
pub(super) fn with_particles(scan: &Scan<'_>, start: usize) -> usize {
    let mut first = start;
    for _ in 0..3 {
        let particle = matches!(
            scan.lower_before(first),
            "van"
                | "von"
                | "der"
                | "den"
                | "ten"
                | "ter"
                | "zu"
                | "zur"
                | "della"
                | "del"
                | "dos"
                | "da"
                | "bin"
                | "ibn"
                | "bint"
                | "af"
        );
        if !particle || scan.glued(first) {
            break;
        }
        first -= 1;
    }
    first
}
