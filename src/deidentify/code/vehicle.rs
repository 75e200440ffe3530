//! Plates and numbers of vehicles.

use super::super::kind::Confidence::{self, High, Low};
use super::super::lexicon::Class;
use super::super::scan::{Made, Scan};
use super::touching;

pub(super) fn at(scan: &Scan<'_>, at: usize) -> Option<(usize, Confidence)> {
    cued(scan, at)
        .map(|end| (end, High))
        .or_else(|| manufacturer_number(scan, at).map(|end| (end, Low)))
        .or_else(|| british(scan, at).map(|end| (end, Low)))
        .or_else(|| hyphened(scan, at).map(|end| (end, Low)))
        .or_else(|| continental(scan, at).map(|end| (end, Low)))
}

/// `number plate DX86 KXW`, `car reg. X86 8KX`, `VIN …`.
fn cued(scan: &Scan<'_>, at: usize) -> Option<usize> {
    const CUES: [&str; 6] = [
        "vin|plate|plates|kennzeichen|immatriculation|matrícula|targa|kenteken|plaka",
        "number|license|licence|registration plate|plates",
        "vehicle|car|van|taxi|ambulance|motorcycle|motorbike|lorry|truck registration|reg|plate|plates|number|no",
        "vehicle|car|van|taxi|motorcycle|motorbike|lorry|truck with plate|plates|registration",
        "vehicle|car|van|taxi|motorcycle|motorbike|lorry|truck",
        "registration|reg|rego",
    ];
    scan.get(at).filter(|token| token.made == Made::Word)?;
    let vehicle = matches!(
        scan.lower(at),
        "vin"
            | "plate"
            | "plates"
            | "kennzeichen"
            | "immatriculation"
            | "matrícula"
            | "targa"
            | "kenteken"
            | "plaka"
            | "number"
            | "license"
            | "licence"
            | "registration"
            | "vehicle"
            | "car"
            | "van"
            | "taxi"
            | "ambulance"
            | "motorcycle"
            | "motorbike"
            | "lorry"
            | "truck"
            | "reg"
            | "rego"
    );
    if !vehicle {
        return None;
    }
    CUES.iter().enumerate().find_map(|(index, words)| {
        let mut value = scan.words_at(at, words)?;
        for _ in 0..3 {
            value += usize::from(matches!(
                scan.lower(value),
                ":" | "no" | "number" | "is" | "was" | "(" | "." | "#"
            ));
        }
        // `registration 1234567` is a licence; a plate has letters too. A word alone needs all of the form.
        let letters = [0, 0, 1, 1, 2, 2][index];
        plate(scan, value, letters)
    })
}

/// The end of a plate: capitals and digits in up to four groups, with this many letters at least.
fn plate(scan: &Scan<'_>, start: usize, letters: usize) -> Option<usize> {
    let (mut end, mut capitals, mut digits, mut length) = (start, 0, 0, 0);
    for at in start..start + 12 {
        let Some(token) = scan.get(at) else { break };
        let hyphen =
            matches!(token.text, "-" | "·") && scan.get(at + 1).is_some_and(|next| next.made != Made::Mark);
        let part = token.made == Made::Digits
            || (token.made == Made::Word && token.text.chars().all(char::is_uppercase));
        if !part && !hyphen || length + token.text.len() > 17 {
            break;
        }
        if part {
            capitals += if token.made == Made::Word { token.text.chars().count() } else { 0 };
            digits += scan.digits(at);
            length += token.text.chars().count();
            end = at + 1;
        }
    }
    (capitals >= letters && digits >= 1 && (4..=17).contains(&length)).then_some(end)
}

/// A maker's number: 17 capitals and digits without I, O and Q (ISO 3779).
fn manufacturer_number(scan: &Scan<'_>, at: usize) -> Option<usize> {
    // Most words touch nothing.
    if !scan.glued(at + 1)
        || scan.get(at)?.text.starts_with(|c: char| !c.is_ascii_uppercase() && !c.is_ascii_digit())
    {
        return None;
    }
    let (end, text) = touching(scan, at, "");
    let plain = text.len() == 17
        && text.chars().all(|c| c.is_ascii_digit() || (c.is_ascii_uppercase() && !"IOQ".contains(c)));
    let count = |of: fn(&char) -> bool| text.chars().filter(of).count();
    (plain && count(char::is_ascii_digit) >= 3 && count(char::is_ascii_uppercase) >= 3).then_some(end)
}

fn capitals(scan: &Scan<'_>, at: usize, lengths: std::ops::RangeInclusive<usize>) -> bool {
    scan.get(at).is_some_and(|token| {
        lengths.contains(&token.text.len())
            && token.text.chars().all(|c| c.is_ascii_uppercase())
            && !token.is(Class::Abbreviation)
    })
}

/// `DX86 KXW`
fn british(scan: &Scan<'_>, at: usize) -> Option<usize> {
    let area = scan
        .get(at)
        .is_some_and(|token| token.text.len() == 2 && token.text.chars().all(|c| c.is_ascii_uppercase()));
    let age = scan.digits(at + 1) == 2 && scan.glued(at + 1);
    let free = !scan.glued(at + 3) || matches!(scan.lower(at + 3), "." | "," | ")" | ";");
    (area && age && capitals(scan, at + 2, 3..=3) && free).then_some(at + 3)
}

/// `ROS-V-9147`, `AB-123-CD`
fn hyphened(scan: &Scan<'_>, at: usize) -> Option<usize> {
    let joined = scan.glued_mark(at + 1, "-")
        && scan.glued(at + 2)
        && scan.glued_mark(at + 3, "-")
        && scan.glued(at + 4);
    let german =
        capitals(scan, at, 1..=3) && capitals(scan, at + 2, 1..=2) && (2..=4).contains(&scan.digits(at + 4));
    let french = capitals(scan, at, 2..=2) && scan.digits(at + 2) == 3 && capitals(scan, at + 4, 2..=2);
    (joined && (german || french) && !scan.glued(at + 6)).then_some(at + 5)
}

/// `HX625ZM`
fn continental(scan: &Scan<'_>, at: usize) -> Option<usize> {
    let touching = scan.glued(at + 1) && scan.glued(at + 2);
    (touching && capitals(scan, at, 2..=2) && scan.digits(at + 1) == 3 && capitals(scan, at + 2, 2..=2))
        .then_some(at + 3)
}
