//! Small counts in words.

const WORDS: [&str; 21] = [
    "no",
    "one",
    "two",
    "three",
    "four",
    "five",
    "six",
    "seven",
    "eight",
    "nine",
    "ten",
    "eleven",
    "twelve",
    "thirteen",
    "fourteen",
    "fifteen",
    "sixteen",
    "seventeen",
    "eighteen",
    "nineteen",
    "twenty",
];

/// A count up to twenty in a word, `no` for none; digits beyond.
pub(super) fn word(count: u64) -> String {
    let word = usize::try_from(count).ok().and_then(|count| WORDS.get(count));
    word.map_or_else(|| count.to_string(), |&word| word.to_owned())
}

/// `one cause`, `two causes`.
pub(super) fn counted(count: usize, one: &str, many: &str) -> String {
    let number = u64::try_from(count).map_or_else(|_| count.to_string(), word);
    format!("{number} {}", if count == 1 { one } else { many })
}

/// With its first letter large, to begin a sentence.
pub(super) fn sentence_case(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// A label within a sentence: its first letter small, unless it begins with an abbreviation.
pub(super) fn within(label: &str) -> String {
    let label = label.trim();
    let mut letters = label.chars();
    match (letters.next(), letters.clone().next()) {
        (Some(first), second) if !second.is_some_and(|c| c.is_uppercase() || c.is_numeric()) => {
            first.to_lowercase().chain(letters).collect()
        }
        _ => label.to_owned(),
    }
}

/// A label as it was written, in quotation marks.
pub(super) fn quoted(label: &str) -> String {
    format!("“{}”", label.trim())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn counts_to_twenty_are_words() {
        assert_eq!([0, 1, 11, 19, 20, 21].map(word), ["no", "one", "eleven", "nineteen", "twenty", "21"]);
        assert_eq!(counted(1, "cause", "causes"), "one cause");
        assert_eq!(counted(0, "cause", "causes"), "no causes");
    }

    #[test]
    fn a_label_goes_into_a_sentence() {
        let labels = ["Task", "LAD occluded", "D1 lost", " A plan ", "Überlastung", ""];
        assert_eq!(labels.map(within), ["task", "LAD occluded", "D1 lost", "a plan", "überlastung", ""]);
        assert_eq!(["one of", "übrig", ""].map(sentence_case), ["One of", "Übrig", ""]);
    }
}
