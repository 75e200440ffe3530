//! Telephone, fax and pager numbers.

use super::kind::Confidence::{self, High, Low};
use super::kind::{Kind, Suspicion};
use super::scan::{Made, Scan};

/// How many digits a number has at least after a word that says that it reaches a person, and whether the
/// word belongs to the number.
fn cue(word: &str) -> Option<(usize, bool)> {
    #[rustfmt::skip]
    let cue = match word {
        "tel" | "telephone" | "telefon" | "telefono" | "telefone" | "teléfono" | "téléphone" | "tél" | "tlf" | "phone" | "phones"
        | "mobile" | "mob" | "cell" | "cellphone" | "landline" | "handy" | "gsm" | "portable" | "cellulare" | "celular" | "móvil"
        | "telefax" | "fax" | "faxed" | "dial" | "dialled" | "dialed" | "ring" | "rang" | "whatsapp" | "sms" | "hotline"
        | "switchboard" | "voicemail" | "extension" => (4, true),
        "bleep" | "bleeped" | "pager" | "beeper" | "dect" | "paged" | "ext" | "extn" => (3, true),
        "call" | "called" | "contact" | "reach" | "reached" | "reachable" | "callback" | "number" | "text" | "texted" | "phoned"
        | "at" | "on" | "via" => (9, false),
        _ => return None,
    };
    Some(cue)
}

/// How many tokens a number may span.
const LONGEST: usize = 24;

pub(super) fn find(scan: &Scan<'_>) -> Vec<Suspicion> {
    let mut found = Vec::new();
    let mut at = 0;
    while at < scan.tokens.len() {
        let next = cued(scan, at)
            .map(|(start, end)| (start, end, High))
            .or_else(|| by_form(scan, at).map(|(end, confidence)| (at, end, confidence)));
        if let Some((start, end, confidence)) = next {
            found.push(suspicion(scan, start, with_extension(scan, end), confidence));
        }
        at = next.map_or(at + 1, |(_, end, _)| end);
    }
    found
}

/// After a verb the verb stays: "ring the number".
fn suspicion(scan: &Scan<'_>, start: usize, end: usize, confidence: Confidence) -> Suspicion {
    let suspicion = Suspicion::new(Kind::Phone, scan.span(start..end), confidence);
    let verb = scan.get(start).filter(|token| {
        matches!(
            token.lower.as_str(),
            "dial" | "dialled" | "dialed" | "ring" | "rang" | "faxed" | "bleeped" | "paged"
        )
    });
    match verb {
        Some(verb) => suspicion.with_put(Some(format!("{} the number", verb.text))),
        None => suspicion,
    }
}

/// Where a number with a word before it starts and ends. The word belongs to it unless it is one of many.
fn cued(scan: &Scan<'_>, at: usize) -> Option<(usize, usize)> {
    let word = scan.get(at).filter(|token| token.made == Made::Word)?;
    let (least, belongs) = cue(&word.lower)?;
    let mut start = at + 1;
    for _ in 0..4 {
        start += usize::from(matches!(
            scan.lower(start),
            ":" | "no" | "number" | "nr" | "." | "#" | "on" | "is" | "was" | "me" | "us"
        ));
    }
    let (end, digits) = run(scan, start);
    let free = !scan.glued(start) || scan.get(start - 1).is_some_and(|before| before.made == Made::Mark);
    ((least..=15).contains(&digits) && free && !measures(scan, end))
        .then_some((if belongs { at } else { start }, end))
}

/// `+1 (555) 010-2233`, `(555) 010-2233`, `0161 496 0000`, `555-010-2233`.
fn by_form(scan: &Scan<'_>, at: usize) -> Option<(usize, Confidence)> {
    let token = scan.get(at)?;
    // `x4471`, where no size stands before.
    let extension =
        token.text == "x" && !token.glued && scan.glued(at + 1) && (4..=5).contains(&scan.digits(at + 1));
    if extension && scan.digits(at.wrapping_sub(1)) == 0 && !scan.glued(at + 2) {
        return Some((at + 2, Low));
    }
    let touches = token.glued && !matches!(scan.lower_before(at), "(" | ":" | "[" | "," | "/");
    if touches || !(token.made == Made::Digits || matches!(token.text, "+" | "(")) {
        return None;
    }
    let (end, digits) = run(scan, at);
    if measures(scan, end) {
        return None;
    }
    let width = scan.digits(at);
    let international =
        token.text == "+" && scan.glued(at + 1) && (8..=15).contains(&digits) && scan.digits(at + 1) <= 14;
    let abroad =
        token.text.starts_with("00") && (width >= 3 || !scan.glued(at + 1)) && (9..=16).contains(&digits);
    let area = token.text == "("
        && scan.lower(at + 2) == ")"
        && scan.digits(at + 1) >= 2
        && (9..=12).contains(&digits)
        && (scan.digits(at + 1) >= 3 || scan.get(at + 1).is_some_and(|code| code.text.starts_with('0')));
    // The second digit of a decimal is 0 too: "0.014".
    let zero = token.text.starts_with('0')
        && width >= 2
        && (8..=12).contains(&digits)
        && (digits >= 9 || width == 2)
        && end - at >= 2
        || token.text.starts_with('0') && (10..=11).contains(&width) && end == at + 1;
    let groups: Vec<usize> = (at..end).map(|place| scan.digits(place)).filter(|width| *width > 0).collect();
    let marked = |mark: &str| end - at == 5 && scan.glued_mark(at + 1, mark) && scan.glued_mark(at + 3, mark);
    let marked_groups = groups == [3, 3, 4] && (marked("-") || marked("."));
    if international || abroad || area || zero || marked_groups {
        return Some((end, High));
    }
    // Groups with spaces alone may be readings in a row.
    let spaced = end - at == groups.len() && matches!(groups[..], [3, 3, 4] | [3, 3, 3]);
    let apart = scan.digits(at.wrapping_sub(1)) == 0 && !scan.lower_before(at).ends_with(',');
    (spaced && apart && !scan.unit_at(end)).then_some((end, Low))
}

/// The end of a run of digits and the marks between them, and how many digits it has.
fn run(scan: &Scan<'_>, start: usize) -> (usize, usize) {
    let (mut end, mut digits) = (start, 0);
    for at in start..start + LONGEST {
        match scan.get(at) {
            Some(token) if token.made == Made::Digits => {
                // A new number may begin after a blank: what is long enough ends there.
                if at > start && digits >= 9 && digits + token.text.len() > 15 {
                    break;
                }
                digits += token.text.len();
                end = at + 1;
            }
            Some(token) if token.text == "+" && at == start => {}
            Some(token) if matches!(token.text, "(" | ")" | "-" | "/" | "‑") => {}
            // A full stop inside a number touches on both sides.
            Some(token) if token.text == "." && token.glued && scan.glued(at + 1) => {}
            _ => break,
        }
    }
    // A bracket that opened before the number closes after it: "(tel 0161 496 0000)".
    (end, digits)
}

/// `ext. 4417`, `x4417` after a number.
fn with_extension(scan: &Scan<'_>, end: usize) -> usize {
    let word = end + usize::from(scan.lower(end) == ",");
    if !matches!(scan.lower(word), "ext" | "extn" | "extension" | "x") {
        return end;
    }
    let value = word + 1 + usize::from(scan.glued_mark(word + 1, "."));
    if (2..=6).contains(&scan.digits(value)) { value + 1 } else { end }
}

fn measures(scan: &Scan<'_>, end: usize) -> bool {
    // `x` before digits is an extension and no size.
    let extension = scan.lower(end) == "x" && scan.glued(end + 1) && scan.digits(end + 1) >= 3;
    (scan.unit_at(end) && !extension && !matches!(scan.lower(end), "in" | "or" | "d" | "s" | "of"))
        || (scan.glued(end) && matches!(scan.lower(end), "%" | ":" | "°"))
}
