//! XML as it is written here: a declaration, and text that is escaped for it.

use std::borrow::Cow;

/// The first line of a part.
pub const DECLARATION: &str = "<?xml version=\"1.0\" encoding=\"UTF-8\" standalone=\"yes\"?>\n";

/// Text for an element or an attribute in double quotes. Line breaks are spaces, and what XML does not
/// allow (XML 1.0, 2.2) is U+FFFD.
#[must_use]
pub fn escape(text: &str) -> String {
    let mut escaped = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => escaped.push_str("&amp;"),
            '<' => escaped.push_str("&lt;"),
            '>' => escaped.push_str("&gt;"),
            '"' => escaped.push_str("&quot;"),
            '\t' | '\n' | '\r' => escaped.push(' '),
            c if (c as u32) < 0x20 || matches!(c, '\u{FFFE}' | '\u{FFFF}') => escaped.push('\u{FFFD}'),
            c => escaped.push(c),
        }
    }
    escaped
}

/// Whether a text is read from right to left: its first letter with a direction is of such a script.
#[must_use]
pub fn is_right_to_left(text: &str) -> bool {
    let right =
        |c: char| matches!(c as u32, 0x0590..=0x08FF | 0xFB1D..=0xFDFF | 0xFE70..=0xFEFC | 0x1E800..=0x1EFFF);
    text.chars().find(|&c| c.is_alphabetic()).is_some_and(right)
}

/// Words of a run as they stand in a line. From right to left in a line that runs from left to right, they get marks
/// behind them (Unicode, UAX #9): U+200F keeps their full stop with them, U+200E a number that follows out of them.
#[must_use]
pub fn in_line(text: &str, line_is_right_to_left: bool) -> Cow<'_, str> {
    if line_is_right_to_left || !is_right_to_left(text) {
        return text.into();
    }
    let words = text.trim_end();
    format!("{words}\u{200F}\u{200E}{}", &text[words.len()..]).into()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_xml_does_not_allow_is_replaced() {
        assert_eq!(
            escape("a<b> & \"c\"\nd\u{1}\u{FFFE}"),
            "a&lt;b&gt; &amp; &quot;c&quot; d\u{FFFD}\u{FFFD}"
        );
    }

    #[test]
    fn the_first_letter_says_the_direction() {
        assert!(is_right_to_left("12:30 \u{645}\u{631}\u{62D}\u{628}\u{627} stent"));
        assert!(!is_right_to_left("stent \u{645}"));
        assert!(!is_right_to_left("12 – 30"));
    }

    #[test]
    fn words_against_the_line_keep_their_full_stop_and_no_number_that_follows() {
        assert_eq!(in_line("\u{645}\u{631}. ", false), "\u{645}\u{631}.\u{200F}\u{200E} ");
        assert_eq!(in_line("\u{645}\u{631}. ", true), "\u{645}\u{631}. ");
        assert_eq!(in_line("stent \u{645}. ", false), "stent \u{645}. ");
    }
}
