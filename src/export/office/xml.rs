//! XML as it is written here: a declaration, and text that is escaped for it.

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
}
