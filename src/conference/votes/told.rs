//! What the room answered, in sentences.

use super::{Phase, Poll, that_counts};

/// What the room answered at each decision point, before and after it saw what followed, of the polls of
/// one case in the order in which they were opened. A poll that nobody answered is left out.
#[must_use]
pub fn in_words<'a>(polls: impl Iterator<Item = &'a Poll>) -> Vec<String> {
    let polls: Vec<&Poll> = polls.collect();
    let mut decisions = Vec::new();
    for poll in &polls {
        if !decisions.contains(&&poll.decision) {
            decisions.push(&poll.decision);
        }
    }
    decisions
        .into_iter()
        .filter_map(|decision| {
            let answers = [(Phase::Before, "Before"), (Phase::After, "After")].map(|(phase, when)| {
                that_counts(polls.iter().copied(), decision, phase)
                    .filter(|poll| poll.total() > 0)
                    .map(|poll| (poll, format!("{when}: {}.", answer(poll))))
            });
            let (first, _) = answers.iter().flatten().next()?;
            let told: Vec<String> = answers.iter().flatten().map(|(_, told)| told.clone()).collect();
            Some(format!("{} {}", first.question, told.join(" ")))
        })
        .collect()
}

/// `9 of 12 “A second wire”, 3 “A stent at once”`.
fn answer(poll: &Poll) -> String {
    let total = poll.total();
    let (mut told, mut first) = (Vec::new(), true);
    for option in poll.options.iter().filter(|option| option.total() > 0) {
        let of = if first { format!(" of {total}") } else { String::new() };
        told.push(format!("{}{of} “{}”", option.total(), option.text.trim_end_matches('.')));
        first = false;
    }
    told.join(", ")
}
