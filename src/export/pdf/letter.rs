//! Letters as the fonts have them, and what stands in place of those that no font has.

use std::collections::BTreeSet;

use icu_normalizer::ComposingNormalizerBorrowed;

use super::font::Fonts;
use crate::export::picture::is_seen;

/// What stands in place of a letter that no font has.
pub(super) const INSTEAD: char = '?';

/// How many of the letters that are lacking are named.
const NAMED: usize = 12;

/// A text in letters as fonts have them: composed (Unicode NFC), the sign for micro as the letter mu, which looks
/// the same (Unicode NFKC), white space as a space or a space that does not break.
pub(super) fn usual(text: &str) -> String {
    ComposingNormalizerBorrowed::new_nfc()
        .normalize(text)
        .chars()
        .map(|letter| match letter {
            'µ' => 'μ',
            '\u{A0}' | '\u{2007}' | '\u{202F}' => '\u{A0}',
            // A drawing has line breaks of its own.
            '\n' => '\n',
            letter if letter.is_whitespace() || letter.is_control() => ' ',
            letter => letter,
        })
        .collect()
}

/// A text of which every sign can be drawn: what is joined of several letters stays joined only where one font
/// has them all, and a letter that none has is spelt or [`INSTEAD`].
pub(super) fn drawable(text: &str, fonts: &Fonts, lacking: &BTreeSet<char>) -> String {
    let mut drawn = String::with_capacity(text.len());
    for sign in signs(text) {
        if sign.is_ascii() || fonts.one_has(sign) {
            drawn.push_str(sign);
            continue;
        }
        for letter in sign.chars().filter(|letter| is_seen(*letter) || letter.is_whitespace()) {
            match spelt(letter) {
                Some(spelling) if lacking.contains(&letter) => drawn.push_str(spelling),
                // A line may end behind it: a text of such a script has no spaces.
                _ if lacking.contains(&letter) => drawn.extend([INSTEAD, '\u{200B}']),
                _ => drawn.push(letter),
            }
        }
    }
    drawn
}

/// A text cut into signs: a letter with what changes or joins it (Unicode, emoji sequences: variation selectors,
/// joiners, skin tones, the keycap).
fn signs(text: &str) -> impl Iterator<Item = &str> {
    let mut rest = text;
    std::iter::from_fn(move || {
        let mut letters = rest.char_indices();
        letters.next()?;
        let mut is_joined = false;
        let end = letters
            .find(|(_, letter)| {
                let goes_on = is_joined
                    || matches!(*letter as u32, 0x200D | 0x20E3 | 0x300..=0x36F | 0xFE00..=0xFE0F | 0x1F3FB..=0x1F3FF);
                is_joined = *letter == '\u{200D}';
                !goes_on
            })
            .map_or(rest.len(), |(at, _)| at);
        let (sign, behind) = rest.split_at(end);
        rest = behind;
        Some(sign)
    })
}

/// How a sign of ours is spelt where no font has it. No bracket that opens: a drawing is XML.
pub(super) const fn spelt(letter: char) -> Option<&'static str> {
    match letter {
        '→' => Some("->"),
        '←' => Some("«"),
        '′' => Some("'"),
        '″' => Some("''"),
        _ => None,
    }
}

/// A sentence on the letters that no font has; empty when there are none that are not spelt.
pub(super) fn told(lacking: &BTreeSet<char>) -> String {
    let lost: Vec<char> = lacking.iter().copied().filter(|letter| spelt(*letter).is_none()).collect();
    if lost.is_empty() {
        return String::new();
    }
    let mut named: Vec<String> =
        lost.iter().take(NAMED).map(|letter| format!("U+{:04X}", u32::from(*letter))).collect();
    if lost.len() > NAMED {
        named.push(format!("and {} more", lost.len() - NAMED));
    }
    format!(
        "Some letters of this text stand here as “{INSTEAD}”: the computer that made the file has no font for them ({}). Print the page in a browser instead, or install a font that has them.",
        named.join(", ")
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_joined_is_one_sign() {
        let all: Vec<&str> =
            signs("ab❤\u{FE0F}\u{1F468}\u{200D}\u{2695}\u{FE0F}!1\u{FE0F}\u{20E3}").collect();
        assert_eq!(
            all,
            ["a", "b", "❤\u{FE0F}", "\u{1F468}\u{200D}\u{2695}\u{FE0F}", "!", "1\u{FE0F}\u{20E3}"]
        );
        assert_eq!(signs("").count(), 0);
    }

    #[test]
    fn what_no_font_has_is_spelt_or_marked_and_leaves_no_joiner() {
        let fonts = Fonts::ours();
        let draw = |text: &str| {
            let lacking = fonts.lacking(&text.chars().collect());
            drawable(text, &fonts, &lacking)
        };
        assert_eq!(draw("TIMI 3 → 0, “é”"), "TIMI 3 -> 0, “é”");
        assert_eq!(draw("a\u{1F468}\u{200D}\u{2695}\u{FE0F}b"), "a?\u{200B}?\u{200B}b");
        assert_eq!(draw("漢字"), "?\u{200B}?\u{200B}");
    }

    #[test]
    fn letters_that_look_the_same_are_one() {
        assert_eq!(usual("5 µg\u{202F}e\u{301}\u{7}"), "5 μg\u{A0}é ");
    }

    #[test]
    fn only_the_first_of_many_letters_are_named() {
        let lacking = (0x4E00..0x4E20).filter_map(char::from_u32).collect();
        let said = told(&lacking);
        assert!(said.contains("U+4E0B, and 20 more"), "{said}");
        assert_eq!(told(&['→'].into()), "");
    }
}
