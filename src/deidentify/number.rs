//! Numbers that a register gives: to a person, an examination, a device.

use super::kind::Confidence::{High, Low};
use super::kind::{Kind, Suspicion};
use super::scan::{Made, Scan};

/// A word before a number, the kind of the number, and how many digits it has at least.
struct Cue(&'static str, Kind, usize);

#[rustfmt::skip]
const CUES: &[Cue] = &[
    Cue("mrn", Kind::RecordNumber, 3), Cue("medical record", Kind::RecordNumber, 3),
    Cue("hospital|hosp|patient|record|unit|chart|insurance|policy|member|account|licence|license|registration|chi|passport|case no|number|nr|id", Kind::RecordNumber, 3),
    Cue("nhs|chi no|number|nr", Kind::RecordNumber, 4), Cue("nhs", Kind::RecordNumber, 9), Cue("pid", Kind::RecordNumber, 4),
    Cue("ssn", Kind::RecordNumber, 4), Cue("social security", Kind::RecordNumber, 4),
    Cue("national|personal id|number|identity", Kind::RecordNumber, 4), Cue("passport", Kind::RecordNumber, 5),
    Cue("health card|plan|insurance", Kind::RecordNumber, 4), Cue("gmc|nmc", Kind::RecordNumber, 6),
    Cue("accession", Kind::Accession, 3),
    Cue("acc|study|exam|examination|specimen|sample|request|order|series no|number|nr|id|uid", Kind::Accession, 3),
    Cue("udi", Kind::DeviceIdentifier, 4), Cue("s / n", Kind::DeviceIdentifier, 3), Cue("sn|serial|imei", Kind::DeviceIdentifier, 3),
    Cue("lot|batch", Kind::DeviceIdentifier, 4), Cue("ref|model|catalogue no|number|nr", Kind::DeviceIdentifier, 4),
    Cue("ref", Kind::DeviceIdentifier, 5),
];

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
    scan.get(at).filter(|token| token.made == Made::Word)?;
    CUES.iter().find_map(|Cue(words, kind, least)| {
        let mut value = scan.words_at(at, words)?;
        for _ in 0..3 {
            let between = matches!(
                scan.lower(value),
                "no" | "number" | "nr" | "." | "#" | ":" | "id" | "is" | "=" | "№"
            );
            value += usize::from(between);
        }
        Some((*kind, value_at(scan, value, *least)?))
    })
}

/// The end of a number, of letters and digits that touch, or of groups of digits.
fn value_at(scan: &Scan<'_>, start: usize, least: usize) -> Option<usize> {
    scan.get(start)?;
    let mut end = start + 1;
    while end < start + LONGEST
        && scan.glued(end)
        && (touches_on(scan, end) || scan.lower(end) == "(" || scan.lower(end) == ")")
    {
        end += 1;
    }
    let digits_only =
        |from: usize, to: usize| scan.tokens[from..to].iter().all(|token| token.made == Made::Digits);
    let mut groups = 1;
    while digits_only(start, end) && groups < 5 && scan.get(end).is_some_and(|next| next.made == Made::Digits)
    {
        let grown = end + 1;
        // `lot 9920417 12 mm`: the second number measures.
        if scan.unit_at(grown) || scan.glued(grown) && scan.lower(grown) != "." && scan.lower(grown) != "," {
            break;
        }
        end = grown;
        groups += 1;
    }
    let text = &scan.text[scan.span(start..end)];
    let digits = text.chars().filter(char::is_ascii_digit).count();
    // A dose, a size or a length of time is a plain number with its unit.
    let measures = scan.unit_at(end) || (text.contains('.') && digits_only(start, start + 1) && digits < 8);
    (digits >= least && !measures).then_some(end)
}

/// Whether a token goes on with the number: a letter, a digit, or a mark between two.
fn touches_on(scan: &Scan<'_>, at: usize) -> bool {
    scan.get(at).is_some_and(|token| match token.made {
        Made::Word | Made::Digits => true,
        Made::Mark => {
            matches!(token.text, "-" | "/" | "." | "_")
                && scan.get(at + 1).is_some_and(|next| next.glued && next.made != Made::Mark)
        }
    })
}

/// `(01)09876501234564…`: a device's number as the bar code has it, without a word before it.
fn unique_device_number(scan: &Scan<'_>, at: usize) -> Option<(Kind, usize)> {
    let begins = scan.lower(at) == "(" && scan.lower(at + 1) == "01" && scan.lower(at + 2) == ")";
    let long = scan.get(at + 3).is_some_and(|token| token.made == Made::Digits && token.text.len() == 14);
    let end = (begins && long).then(|| value_at(scan, at, 14)).flatten()?;
    Some((Kind::DeviceIdentifier, end))
}

/// `1.2.840.113619.2.55.3`: the number of a picture, a series or a study.
fn object_number(scan: &Scan<'_>, at: usize) -> Option<(Kind, usize)> {
    let is_part = |at: usize| scan.get(at).is_some_and(|token| token.made == Made::Digits);
    if !is_part(at) || scan.glued(at) {
        return None;
    }
    let mut end = at + 1;
    while end < at + LONGEST && scan.glued_mark(end, ".") && scan.glued(end + 1) && is_part(end + 1) {
        end += 2;
    }
    (end - at >= 11).then_some((Kind::Accession, end))
}

/// Long numbers that nothing explains, and the usual forms of national numbers.
pub(super) fn find_bare(scan: &Scan<'_>) -> Vec<Suspicion> {
    let found = (0..scan.tokens.len()).filter_map(|at| {
        let token = scan.get(at).filter(|token| token.made == Made::Digits && !token.glued)?;
        if let Some(end) = grouped(scan, at, &[3, 2, 4], "-") {
            return Some(Suspicion::new(Kind::RecordNumber, scan.span(at..end), High));
        }
        if let Some(end) = grouped(scan, at, &[3, 3, 4], " ").filter(|end| check_digit_holds(scan, at..*end))
        {
            return Some(Suspicion::new(Kind::RecordNumber, scan.span(at..end), High));
        }
        let free = !scan.glued(at + 1) || matches!(scan.lower(at + 1), "." | "," | ")" | ";");
        let published = matches!(scan.lower_before(at), "pmid" | "doi" | ":" | "pubmed" | "nct" | "/");
        let long = token.text.len() >= 7 && free && !published && !scan.unit_at(at + 1);
        long.then(|| Suspicion::new(Kind::RecordNumber, token.span.clone(), Low))
    });
    found.collect()
}

/// The end of groups of digits of these lengths, with a mark or a space between them.
fn grouped(scan: &Scan<'_>, at: usize, lengths: &[usize], between: &str) -> Option<usize> {
    let mut end = at;
    for (index, length) in lengths.iter().enumerate() {
        if index > 0 && between != " " {
            if !scan.glued_mark(end, between) || !scan.glued(end + 1) {
                return None;
            }
            end += 1;
        }
        scan.get(end).filter(|token| token.made == Made::Digits && token.text.len() == *length)?;
        end += 1;
    }
    Some(end)
}

/// The check digit of a ten-digit health number, modulo 11 (common practice, from memory).
fn check_digit_holds(scan: &Scan<'_>, tokens: std::ops::Range<usize>) -> bool {
    let digits: Vec<u32> =
        scan.tokens[tokens].iter().flat_map(|t| t.text.chars()).filter_map(|c| c.to_digit(10)).collect();
    let sum: u32 = digits.iter().zip((2..=10).rev()).map(|(digit, weight)| digit * weight).sum();
    digits.len() == 10 && (11 - sum % 11) % 11 == digits[9]
}
