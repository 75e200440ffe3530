//! How places, times and counts are put into a sentence.

use crate::case::record::Event;
use crate::case::words::{Segment, Vessel};
use crate::quantity::{Certainty, Offset};
use crate::timeline::Elapsed;

/// An event's time with how sure it is: `+12:30`, `≈ +12:30 (±5 min)`, `order only`.
#[must_use]
pub fn time_words(event: &Event) -> String {
    match event.time {
        Certainty::Within(minutes) => format!("≈ {} (±{minutes} min)", event.at),
        Certainty::Exact | Certainty::OrderOnly => short_time(event.at, event.time),
    }
}

/// A time inside a sentence: `+12:30`, `≈ +12:30`, `order only`.
#[must_use]
pub fn short_time(at: Offset, certainty: Certainty) -> String {
    match certainty {
        Certainty::Exact => at.to_string(),
        Certainty::Within(_) => format!("≈ {at}"),
        Certainty::OrderOnly => "order only".to_owned(),
    }
}

/// The time from one thing to the next: `after 5 min`, `between 0 and 20 min later`.
#[must_use]
pub fn later(elapsed: Elapsed) -> String {
    if elapsed == Elapsed::NONE {
        "at once".to_owned()
    } else if elapsed.stated().is_some() || elapsed.shortest() == elapsed.longest() {
        format!("after {elapsed}")
    } else {
        format!("{elapsed} later")
    }
}

/// A segment as it is said: `LAD mid`. Its number in the coronary tree stays out.
#[must_use]
pub fn place_words(segment: Segment) -> String {
    let label = segment.label();
    label.rsplit_once(" (").map_or(label, |(name, _)| name).to_owned()
}

/// A vessel inside a sentence: `the LAD`, `D1`.
#[must_use]
pub const fn in_text(vessel: Vessel) -> &'static str {
    match vessel {
        Vessel::LeftMain => "the left main",
        Vessel::Lad => "the LAD",
        Vessel::Diagonal1 => "D1",
        Vessel::Diagonal2 => "D2",
        Vessel::Lcx => "the LCx",
        Vessel::ObtuseMarginal => "the OM",
        Vessel::LcxPosterolateral => "the posterolateral branch of the LCx",
        Vessel::LcxPda => "the PDA from the LCx",
        Vessel::Rca => "the RCA",
        Vessel::RcaPda => "the PDA",
        Vessel::RcaPosterolateral => "the posterolateral branch of the RCA",
    }
}

/// `Event 7`, `Events 7, 9 and 11`; nothing for none.
#[must_use]
pub fn event_numbers(numbers: &[u32]) -> String {
    let words: Vec<String> = numbers.iter().map(u32::to_string).collect();
    match words.as_slice() {
        [] => String::new(),
        [one] => format!("Event {one}"),
        many => format!("Events {}", join(many)),
    }
}

/// `a`, `a and b`, `a, b and c`.
#[must_use]
pub fn join<S: AsRef<str>>(items: &[S]) -> String {
    let items: Vec<&str> = items.iter().map(AsRef::as_ref).collect();
    match items.as_slice() {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

/// `No`, `One`, `Two` … `Twelve`, then digits: how a sentence begins with a count.
#[must_use]
pub fn count(number: usize) -> String {
    const WORDS: [&str; 13] = [
        "No", "One", "Two", "Three", "Four", "Five", "Six", "Seven", "Eight", "Nine", "Ten", "Eleven",
        "Twelve",
    ];
    WORDS.get(number).map_or_else(|| number.to_string(), |word| (*word).to_owned())
}

/// The text with a small first letter, unless its first word is an abbreviation such as TIMI.
#[must_use]
pub fn lower_first(text: &str) -> String {
    let mut letters = text.chars();
    match (letters.next(), letters.next()) {
        (Some(first), second) if !second.is_some_and(|c| c.is_uppercase() || c.is_numeric()) => {
            first.to_lowercase().chain(text.chars().skip(1)).collect()
        }
        _ => text.to_owned(),
    }
}

/// The text with a capital first letter.
#[must_use]
pub fn upper_first(text: &str) -> String {
    let mut letters = text.chars();
    // “eGFR” and “pH” keep their small letter.
    if text.chars().nth(1).is_some_and(char::is_uppercase) {
        return text.to_owned();
    }
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// The text as a sentence: with a full stop, unless it ends in one or in another mark.
#[must_use]
pub fn sentence(text: &str) -> String {
    let text = text.trim();
    if text.is_empty() || text.ends_with(['.', '!', '?', '…']) {
        text.to_owned()
    } else {
        format!("{text}.")
    }
}

/// At most so many characters of a text on one line, cut between words.
#[must_use]
pub fn shorten(text: &str, most: usize) -> String {
    let line = text.split_whitespace().collect::<Vec<_>>().join(" ");
    if line.chars().count() <= most {
        return line;
    }
    let cut: String = line.chars().take(most.saturating_sub(1)).collect();
    let cut = cut.rsplit_once(' ').map_or(cut.as_str(), |(whole, _)| whole);
    format!("{}…", cut.trim_end_matches([',', ';', ':', '.', ' ']))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_list_of_events_is_read_as_a_person_writes_it() {
        assert_eq!(event_numbers(&[]), "");
        assert_eq!(event_numbers(&[7]), "Event 7");
        assert_eq!(event_numbers(&[7, 9, 11]), "Events 7, 9 and 11");
    }

    #[test]
    fn a_place_is_named_without_its_number() {
        let named: Vec<String> = Segment::ALL.iter().copied().map(place_words).collect();
        assert_eq!(named[6], "LAD mid");
        assert!(named.iter().all(|name| !name.contains('(')), "{named:?}");
    }

    #[test]
    fn abbreviations_keep_their_capitals() {
        assert_eq!(lower_first("TIMI 3 at the end"), "TIMI 3 at the end");
        assert_eq!(lower_first("D1 was lost"), "D1 was lost");
        assert_eq!(lower_first("Not known"), "not known");
        assert_eq!(lower_first("A wire"), "a wire");
        assert_eq!(upper_first("the LAD"), "The LAD");
    }

    #[test]
    fn a_long_text_is_cut_between_words_on_one_line() {
        assert_eq!(shorten("one two three", 40), "one two three");
        assert_eq!(shorten("one\ntwo,   three four", 10), "one two…");
        assert_eq!(shorten("", 10), "");
    }

    #[test]
    fn a_sentence_ends_once() {
        assert_eq!(sentence("Flow is back"), "Flow is back.");
        assert_eq!(sentence("Is it back?"), "Is it back?");
        assert_eq!(sentence("  "), "");
    }
}
