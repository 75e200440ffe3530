//! Bank accounts and cards, by their check digits.

use super::super::kind::Confidence::{self, High, Low};
use super::super::scan::Scan;

pub(super) fn at(scan: &Scan<'_>, at: usize) -> Option<(usize, Confidence)> {
    international(scan, at).map(|end| (end, High)).or_else(|| card(scan, at))
}

/// The longest international account number (ISO 13616).
const LONGEST: usize = 34;

/// `GB42 AAUR 0636 0837 7835 33`: an international account number, whose check is modulo 97 (ISO 7064).
fn international(scan: &Scan<'_>, at: usize) -> Option<usize> {
    let country = scan
        .get(at)
        .filter(|token| token.text.len() == 2 && token.text.chars().all(|c| c.is_ascii_uppercase()))?;
    (scan.digits(at + 1) >= 2 && scan.glued(at + 1)).then_some(())?;
    let mut written = country.text.to_owned();
    let (mut end, mut whole) = (at + 1, None);
    while let Some(token) = scan.get(end) {
        let part = token.text.chars().all(|c| c.is_ascii_uppercase() || c.is_ascii_digit());
        if !part || written.len() + token.text.len() > LONGEST {
            break;
        }
        written.push_str(token.text);
        end += 1;
        if written.len() >= 15
            && !scan.get(end).is_some_and(|next| next.glued && next.text.chars().all(char::is_alphanumeric))
            && remainder(&written) == 1
        {
            whole = Some(end);
        }
    }
    whole
}

/// The remainder of an account number by 97, its first four characters moved to the end.
fn remainder(account: &str) -> u32 {
    let (first, rest) = account.split_at(4);
    rest.chars().chain(first.chars()).filter_map(|c| c.to_digit(36)).fold(0, |sum, value| {
        let shift = if value > 9 { 100 } else { 10 };
        (sum * shift + value) % 97
    })
}

/// `4111 1111 1111 1111`, `3782 822463 10005`: a card, whose check is Luhn's (ISO/IEC 7812-1).
fn card(scan: &Scan<'_>, at: usize) -> Option<(usize, Confidence)> {
    (scan.digits(at) > 0).then_some(())?;
    if (13..=19).contains(&scan.digits(at)) {
        let free = !scan.glued(at + 1) || matches!(scan.lower(at + 1), "." | "," | ")" | ";");
        let begins = scan.get(at)?.text.starts_with(['3', '4', '5', '6']);
        return (free && begins && is_luhn(scan.get(at)?.text)).then_some((at + 1, Low));
    }
    let groups: &[usize] =
        if scan.digits(at + 1).max(scan.digits(at + 2)) == 6 { &[4, 6, 5] } else { &[4, 4, 4, 4] };
    let (mut end, mut written) = (at, String::new());
    for (index, length) in groups.iter().enumerate() {
        end += usize::from(index > 0 && scan.glued_mark(end, "-"));
        (scan.digits(end) == *length).then_some(())?;
        written.push_str(scan.get(end)?.text);
        end += 1;
    }
    is_luhn(&written).then_some((end, High))
}

fn is_luhn(digits: &str) -> bool {
    let doubled = |(place, digit): (usize, u32)| match digit * 2 {
        _ if place % 2 == 0 => digit,
        twice if twice > 9 => twice - 9,
        twice => twice,
    };
    digits.chars().rev().filter_map(|c| c.to_digit(10)).enumerate().map(doubled).sum::<u32>() % 10 == 0
}

#[cfg(test)]
mod tests {
    use super::{is_luhn, remainder};

    /// The example account of ISO 13616's registry for Great Britain and the test numbers that card
    /// networks set aside (from memory).
    #[test]
    fn the_checks_hold_for_examples_and_fail_when_a_digit_changes() {
        assert_eq!(remainder("GB29NWBK60161331926819"), 1);
        assert_ne!(remainder("GB29NWBK60161331926818"), 1);
        assert!(is_luhn("4111111111111111") && is_luhn("378282246310005"));
        assert!(!is_luhn("4111111111111112"));
    }
}
