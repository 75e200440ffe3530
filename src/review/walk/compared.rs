//! A person's choices on a walk beside what was chosen and what the room chose first.

use super::Walk;
use crate::case::reading::words::count;
use crate::case::{Key, Line, Sentences, StoredCase};
use crate::conference::votes::{Phase, Poll, Tally, that_counts};

/// What the room chose first at a decision, before it was discussed.
#[derive(Debug, Clone, PartialEq)]
pub struct RoomChoice {
    /// The decision.
    pub decision: Key,
    /// The option that more chose than any other, in the words that the room saw.
    pub option: String,
}

/// The first choices of the room that voted on a case. A vote that is open, or in which two options are
/// level, gives none.
#[must_use]
pub fn room_choices(case: &StoredCase, polls: &[Poll]) -> Vec<RoomChoice> {
    case.decisions
        .iter()
        .filter_map(|row| {
            let decision = &row.value.key;
            let poll = that_counts(polls, decision, Phase::Before).filter(|poll| !poll.is_open())?;
            let most = poll.options.iter().map(Tally::total).max().filter(|most| *most > 0)?;
            let mut first = poll.options.iter().filter(|option| option.total() == most);
            let option = first.next()?.text.clone();
            first.next().is_none().then(|| RoomChoice { decision: decision.clone(), option })
        })
        .collect()
}

/// A decision in the list at the end.
#[derive(Debug, Clone, PartialEq)]
pub struct Compared<'w> {
    /// Its number on the walk.
    pub number: usize,
    /// The question.
    pub question: &'w Sentences,
    /// What the person chose on this walk.
    pub own: &'w Line,
    /// What they chose the first time, where that was something else.
    pub first: Option<&'w Line>,
    /// What was chosen then; none where that is not recorded.
    pub chosen: Option<&'w Line>,
    /// What the room chose first.
    pub room: Option<&'w str>,
}

impl Walk<'_> {
    /// The decisions side by side: what the person chose, what was chosen, what the room chose. Empty
    /// before the end.
    #[must_use]
    pub fn compared<'w>(&'w self, room: &'w [RoomChoice]) -> Vec<Compared<'w>> {
        if !self.is_done() {
            return Vec::new();
        }
        let by_room = |key: &Key| room.iter().find(|choice| choice.decision == *key);
        (1..)
            .zip(&self.stops)
            .filter_map(|(number, stop)| {
                let own = &stop.now?.option;
                Some(Compared {
                    number,
                    question: &stop.decision.question,
                    own,
                    first: stop.first.map(|first| &first.option).filter(|first| *first != own),
                    chosen: stop.decision.chosen_option().map(|option| &option.text),
                    room: by_room(&stop.decision.key).map(|choice| choice.option.as_str()),
                })
            })
            .collect()
    }
}

/// How a person's choices compare with what was chosen, and with the room's, a sentence each. None is
/// wrong: another choice may have been as good.
#[must_use]
pub fn in_words(compared: &[Compared]) -> Vec<String> {
    let chosen = compared.iter().filter_map(|each| Some(each.own == each.chosen?));
    let room = compared.iter().filter_map(|each| Some(each.own.as_str() == each.room?));
    [
        alike(&chosen.collect::<Vec<_>>(), "was chosen then"),
        alike(&room.collect::<Vec<_>>(), "was the room's first choice"),
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// `At two of three stops you chose what was chosen then.`, from whether each stop was alike.
pub(super) fn alike(stops: &[bool], what: &str) -> Option<String> {
    let in_words = |number: usize| count(number).to_lowercase();
    let same = stops.iter().filter(|same| **same).count();
    Some(match (same, stops.len()) {
        (_, 0) => return None,
        (1, 1) => format!("You chose what {what}."),
        (_, 1) => format!("You chose something other than what {what}."),
        (same, all) if same == all => format!("At all {} stops you chose what {what}.", in_words(all)),
        (0, all) => {
            format!("At each of the {} stops you chose something other than what {what}.", in_words(all))
        }
        (same, all) => format!("At {} of {} stops you chose what {what}.", in_words(same), in_words(all)),
    })
}
