//! Numbers that a register gives: to a person, an examination, a device.

mod cues;
mod form;

use super::kind::Confidence::High;
use super::kind::{Kind, Suspicion};
use super::scan::{Made, Scan};

pub(super) use form::find as find_by_form;

/// How many tokens a number may span.
const LONGEST: usize = 40;

/// Numbers with a word before them that tells what they are.
pub(super) fn find(scan: &Scan<'_>) -> Vec<Suspicion> {
    let mut found = Vec::new();
    let mut at = 0;
    while at < scan.tokens.len() {
        let next =
            cued(scan, at).or_else(|| unique_device_number(scan, at)).or_else(|| object_number(scan, at));
        if let Some((kind, end)) = next {
            found.push(Suspicion::new(kind, scan.span(at..end), High));
        }
        at = next.map_or(at + 1, |(_, end)| end);
    }
    found
}

fn cued(scan: &Scan<'_>, at: usize) -> Option<(Kind, usize)> {
    let word = scan.get(at).filter(|token| token.made == Made::Word)?;
    cues::beginning_with(&word.lower).iter().find_map(|cue| {
        let mut value = scan.words_at(at, cue.words)?;
        for _ in 0..4 {
            let between = matches!(
                scan.lower(value),
                "no" | "number"
                    | "numbers"
                    | "nr"
                    | "."
                    | "#"
                    | ":"
                    | "id"
                    | "is"
                    | "was"
                    | "="
                    | "№"
                    | "num"
                    | "nº"
                    | "n"
                    | "º"
                    | "°"
                    | "ref"
            );
            let bracket = scan.lower(value) == "(" && !opens_a_part(scan, value);
            value += usize::from(between || bracket);
        }
        let end =
            value_at(scan, value, cue.least).or_else(|| form::by_form(scan, value).map(|(end, _)| end))?;
        (!is_own_code(scan, value, end)).then_some((cue.kind, end))
    })
}

/// `2026-014`: a code of a case here, which stands for nobody outside the record.
fn is_own_code(scan: &Scan<'_>, start: usize, end: usize) -> bool {
    let text = &scan.text[scan.span(start..end)];
    text.split_once('-').is_some_and(|(year, number)| {
        let digits = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit());
        year.len() == 4
            && year.starts_with("20")
            && (3..=4).contains(&number.len())
            && digits(year)
            && digits(number)
    })
}

/// The end of a number, of letters and digits that touch, or of groups of digits.
fn value_at(scan: &Scan<'_>, start: usize, least: usize) -> Option<usize> {
    scan.get(start)?;
    let mut end = start + 1;
    while end < start + LONGEST
        && scan.glued(end)
        && (touches_on(scan, end)
            || opens_a_part(scan, end)
            || (scan.lower(end) == ")" && is_bracketed(scan, start, end)))
    {
        end += 1;
    }
    let digits_only =
        |from: usize, to: usize| scan.tokens[from..to].iter().all(|token| token.made == Made::Digits);
    let mut groups = 1;
    while digits_only(start, end) && groups < 5 && scan.digits(end) > 0 {
        let grown = end + 1;
        // `lot 9920417 12 mm`: the second number measures.
        if scan.unit_at(grown)
            || scan.glued(grown) && !matches!(scan.lower(grown), "." | "," | ")" | ";" | ":")
        {
            break;
        }
        end = grown;
        groups += 1;
    }
    let text = &scan.text[scan.span(start..end)];
    let digits = text.chars().filter(char::is_ascii_digit).count();
    // A dose, a size or a length of time is a plain number with its unit.
    let measures =
        scan.measure_at(end) || (text.contains('.') && digits_only(start, start + 1) && digits < 8);
    (digits >= least && !measures).then_some(end)
}

/// Whether a bracket opens inside a number, as in a bar code: `(01)0987…(10)QX4419`.
fn opens_a_part(scan: &Scan<'_>, at: usize) -> bool {
    scan.lower(at) == "(" && scan.digits(at + 1) > 0 && scan.lower(at + 2) == ")"
}

/// Whether a closing bracket has its opening one inside the number.
fn is_bracketed(scan: &Scan<'_>, start: usize, at: usize) -> bool {
    at >= start + 2 && scan.lower(at - 2) == "("
}

/// Whether a token goes on with the number: a letter, a digit, or a mark between two.
fn touches_on(scan: &Scan<'_>, at: usize) -> bool {
    scan.get(at).is_some_and(|token| match token.made {
        Made::Word | Made::Digits => true,
        Made::Mark => {
            matches!(token.text, "-" | "/" | "." | "_" | "–" | ":")
                && scan.get(at + 1).is_some_and(|next| next.glued && next.made != Made::Mark)
        }
    })
}

/// `(01)09876501234564…`: a device's number as the bar code has it, without a word before it.
fn unique_device_number(scan: &Scan<'_>, at: usize) -> Option<(Kind, usize)> {
    let begins = scan.lower(at) == "(" && scan.lower(at + 1) == "01" && scan.lower(at + 2) == ")";
    let end = (begins && scan.digits(at + 3) == 14).then(|| value_at(scan, at, 14)).flatten()?;
    Some((Kind::DeviceIdentifier, end))
}

/// `1.2.840.113619.2.55.3`: the number of a picture, a series or a study.
fn object_number(scan: &Scan<'_>, at: usize) -> Option<(Kind, usize)> {
    if scan.digits(at) == 0 || scan.glued(at) {
        return None;
    }
    let mut end = at + 1;
    while end < at + LONGEST && scan.glued_mark(end, ".") && scan.glued(end + 1) && scan.digits(end + 1) > 0 {
        end += 2;
    }
    (end - at >= 11).then_some((Kind::Accession, end))
}
