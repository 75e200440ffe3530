//! Text that reads as the same words after a Markdown reader.

/// One line: line breaks, tabs and control characters become spaces, and the ends are trimmed.
pub(super) fn as_one_line(text: &str) -> String {
    let spaced: String = text.chars().map(|c| if c.is_control() { ' ' } else { c }).collect();
    spaced.trim().to_owned()
}

/// Escapes what Markdown would read as markup, and no more, so that the file stays readable.
/// The text is taken to start a line; what follows other text is escaped with [`escape_after`].
pub(super) fn escape(text: &str) -> String {
    let mut escaped = String::with_capacity(text.len() + 8);
    escape_after(&mut escaped, text);
    escaped
}

/// Adds a text to a line that may have begun, escaped for where it stands.
pub(super) fn escape_after(line: &mut String, text: &str) {
    for (index, c) in text.char_indices() {
        if is_markup(line, c, &text[index + c.len_utf8()..]) {
            line.push('\\');
        }
        line.push(c);
    }
}

/// Whether a character would be read as markup behind this line and before this rest. Looks back
/// no further than it must: a line may be a whole narrative.
fn is_markup(line: &str, c: char, rest: &str) -> bool {
    let starts_line = |before: &str| before.is_empty() || before.ends_with('\n');
    match c {
        '\\' | '`' | '*' | '_' | '[' | ']' | '<' | '|' | '~' => true,
        // A reference such as &amp; or &#38;.
        '&' => rest.starts_with(|next: char| next == '#' || next.is_ascii_alphanumeric()),
        // Opens a heading, or closes one.
        '#' => line.chars().last().is_none_or(char::is_whitespace),
        '>' | '+' | '-' | '=' | ':' => starts_line(line.trim_end_matches([' ', '\t'])),
        // Opens a numbered list.
        '.' | ')' => {
            let before = line.trim_end_matches(|digit: char| digit.is_ascii_digit());
            before.len() < line.len() && starts_line(before)
        }
        _ => false,
    }
}

/// Escapes every character that could mean anything: what is left when the readable form does not
/// read as the same words.
pub(super) fn escape_everything(text: &str) -> String {
    let mut escaped = String::with_capacity(text.len() * 2);
    for c in text.chars() {
        if c.is_ascii_punctuation() {
            escaped.push('\\');
        }
        escaped.push(c);
    }
    escaped
}

/// A written line as a table's cell. A bar becomes a reference, because readers differ in how they
/// undo an escaped one.
pub(super) fn cell_of(written: &str) -> String {
    written.replace("\\|", "&#124;").replace('|', "&#124;")
}

/// Text between backticks, more of them than stand in it.
pub(super) fn code_span(text: &str) -> String {
    let fence = "`".repeat(longest_run(text, '`') + 1);
    let pad = if text.starts_with(['`', ' ']) || text.ends_with(['`', ' ']) { " " } else { "" };
    format!("{fence}{pad}{text}{pad}{fence}")
}

/// How many of a character stand next to each other at most.
pub(super) fn longest_run(text: &str, wanted: char) -> usize {
    text.split(|c| c != wanted).map(|run| run.chars().count()).max().unwrap_or(0)
}

/// An address as the destination of a link.
pub(super) fn destination(address: &str) -> String {
    let mut written = String::with_capacity(address.len() + 2);
    written.push('<');
    for c in address.chars() {
        if matches!(c, '<' | '>' | '\\' | '&') {
            written.push('\\');
        }
        written.push(c);
    }
    written.push('>');
    written
}
