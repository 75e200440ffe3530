//! A slug proposed from a label.

/// The most characters of a slug.
const MOST: usize = 48;

/// The plain letters of one that carries an accent; none when there are none.
const fn plain(letter: char) -> Option<&'static str> {
    Some(match letter {
        'à' | 'á' | 'â' | 'ã' | 'ä' | 'å' | 'ā' | 'ą' => "a",
        'æ' => "ae",
        'ç' | 'ć' | 'č' => "c",
        'è' | 'é' | 'ê' | 'ë' | 'ē' | 'ę' => "e",
        'ì' | 'í' | 'î' | 'ï' | 'ī' => "i",
        'ł' => "l",
        'ñ' | 'ń' => "n",
        'ò' | 'ó' | 'ô' | 'õ' | 'ö' | 'ø' | 'ō' => "o",
        'œ' => "oe",
        'ß' => "ss",
        'ś' | 'š' => "s",
        'ù' | 'ú' | 'û' | 'ü' | 'ū' => "u",
        'ý' | 'ÿ' => "y",
        'ź' | 'ż' | 'ž' => "z",
        _ => return None,
    })
}

/// The slug that a label suggests: small letters and digits, a hyphen for what lies between; empty
/// when the label has no such letters.
pub(super) fn propose(label: &str) -> String {
    let mut slug = String::new();
    for letter in label.to_lowercase().chars() {
        let buffer = &mut [0; 4];
        let letters = match letter {
            'a'..='z' | '0'..='9' => &*letter.encode_utf8(buffer),
            '’' | '\'' => "",
            other => plain(other).unwrap_or("-"),
        };
        if letters != "-" || !(slug.is_empty() || slug.ends_with('-')) {
            slug.push_str(letters);
        }
    }
    let slug = slug.trim_start_matches(|c: char| c == '-' || c.is_ascii_digit());
    let mut end = slug.len().min(MOST);
    // Whole words only, unless the first is longer than a slug.
    if end < slug.len() && !slug[end..].starts_with('-') {
        end = slug[..end].rfind('-').unwrap_or(end);
    }
    slug[..end].trim_end_matches('-').to_owned()
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::propose;
    use crate::vocabulary::MechanismSlug;

    #[test]
    fn a_label_becomes_small_letters_and_hyphens() {
        assert_eq!(propose("Wire lost, side branch"), "wire-lost-side-branch");
        assert_eq!(propose("  Kommissür (späte) Läsion "), "kommissur-spate-lasion");
        assert_eq!(propose("Guide’s edge"), "guides-edge");
        assert_eq!(propose("2nd look missing"), "nd-look-missing");
        assert_eq!(propose("心"), "");
        assert_eq!(propose("…"), "");
    }

    #[test]
    fn a_long_label_is_cut_between_words() {
        let slug =
            propose("Balloon ruptured in a calcified lesion of the left main stem after three attempts");
        assert_eq!(slug, "balloon-ruptured-in-a-calcified-lesion-of-the");
    }

    proptest! {
        #[test]
        fn what_is_proposed_is_a_slug_when_it_has_two_letters(label in "\\PC{0,200}") {
            let slug = propose(&label);
            prop_assert!(slug.len() < 2 || slug.parse::<MechanismSlug>().is_ok(), "{slug}");
        }
    }
}
