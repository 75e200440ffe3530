//! Small help with sentences.

/// `a`, `a and b`, `a, b and c`.
pub(super) fn list(parts: &[String]) -> String {
    match parts {
        [] => String::new(),
        [only] => only.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

/// A sentence with its full stop; nothing for nothing.
pub(super) fn full_stop(sentence: &str) -> String {
    let sentence = sentence.trim();
    if sentence.is_empty() || sentence.ends_with(['.', '!', '?']) {
        sentence.to_owned()
    } else {
        format!("{sentence}.")
    }
}

/// Sentences one after another, without those that are empty.
pub(super) fn sentences(parts: &[String]) -> String {
    parts.iter().map(|part| part.trim()).filter(|part| !part.is_empty()).collect::<Vec<_>>().join(" ")
}

/// `1 case`, `2 cases`.
pub(super) fn counted(count: usize, one: &str, many: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { many })
}

/// So many of the parts, and how many more there are.
pub(super) fn some_of(parts: &[String], between: &str, at_most: usize) -> String {
    // One more is as short as to say that there is one more.
    if parts.len() <= at_most + 1 {
        return parts.join(between);
    }
    format!("{} and {} more, see the table", parts[..at_most].join(between), parts.len() - at_most)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn parts(count: usize) -> Vec<String> {
        (1..=count).map(|number| number.to_string()).collect()
    }

    #[test]
    fn a_list_has_its_and_before_the_last() {
        assert_eq!([0, 1, 2, 3].map(|count| list(&parts(count))), ["", "1", "1 and 2", "1, 2 and 3"]);
    }

    #[test]
    fn a_sentence_gets_its_full_stop_once() {
        assert_eq!([" One ", "Two.", "Three?", " "].map(full_stop), ["One.", "Two.", "Three?", ""]);
    }

    #[test]
    fn a_long_list_says_how_many_are_left_out() {
        assert_eq!(some_of(&parts(3), ", ", 2), "1, 2, 3");
        assert_eq!(some_of(&parts(5), "; ", 2), "1; 2 and 3 more, see the table");
    }
}
