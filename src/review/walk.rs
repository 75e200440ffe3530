//! One reader alone goes through a case: at each decision they choose first, and only then learn what
//! was chosen and what followed.
//!
//! What a page may show is decided here. [`Walk::page`] gives a question, which holds what was known by
//! then and no more, until it is answered; nothing behind an unanswered question is given out.

pub mod store;

use crate::case::known::KnownThen;
use crate::case::reading::Reading;
use crate::case::reading::words::count;
use crate::case::{
    Day, Decision, DecisionOption, Fingerprint, Key, Lesson, Line, OptionNumber, Row, Sentences, StoredCase,
};
use crate::conference::votes::{Phase, Poll, Tally, that_counts};
use crate::quantity::Offset;

/// A decision with fewer options leaves nothing to choose.
pub const OPTIONS_TO_CHOOSE: usize = 2;

/// What a person chose at a decision.
#[derive(Debug, Clone, PartialEq)]
pub struct Answer {
    /// The decision.
    pub decision: Key,
    /// The option in the words that it had.
    pub option: Line,
    /// Why.
    pub reason: Option<Sentences>,
    /// The day.
    pub on: Day,
}

/// What a person chose in a case: on this walk, and before it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Answers {
    /// On this walk.
    pub now: Vec<Answer>,
    /// The first ones, where an earlier walk has them.
    pub first: Vec<Answer>,
}

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

/// A decision on the way, with the person's answers.
#[derive(Debug, Clone)]
struct Stop<'c> {
    decision: &'c Decision,
    now: Option<&'c Answer>,
    first: Option<&'c Answer>,
}

/// A walk through a case.
#[derive(Debug, Clone)]
pub struct Walk<'c> {
    case: &'c StoredCase,
    stops: Vec<Stop<'c>>,
}

/// What a page of the walk shows.
#[derive(Debug)]
pub enum Page<'w> {
    /// A question that waits for its answer.
    Asked(Box<Question<'w>>),
    /// A question that is answered, with what was chosen and what followed.
    Told(Box<Told<'w>>),
    /// Every question is answered: the whole case is open.
    Open,
    /// Another question comes first: the page with this number.
    First(usize),
}

/// A decision as it stood: nothing in it was learned later.
#[derive(Debug)]
pub struct Question<'w> {
    /// The key of the decision.
    pub key: &'w Key,
    /// Its number on the walk, from 1.
    pub number: usize,
    /// When it was.
    pub at: Offset,
    /// The question.
    pub question: &'w Sentences,
    /// What could be done.
    pub options: &'w [DecisionOption],
    /// What was known by then.
    pub known: KnownThen,
}

impl Question<'_> {
    /// The option of a number.
    #[must_use]
    pub fn option(&self, number: OptionNumber) -> Option<&DecisionOption> {
        self.options.get(number.index())
    }

    /// The fingerprint of the question and its options. What was chosen is no part of it, so that it
    /// cannot be worked out from it.
    #[must_use]
    pub fn fingerprint(&self) -> Fingerprint {
        Fingerprint::of(&(self.key, self.question, self.options))
    }
}

/// A decision that the person has answered.
#[derive(Debug)]
pub struct Told<'w> {
    /// The question.
    pub question: Question<'w>,
    /// The decision with what was chosen and what followed.
    pub decision: &'w Decision,
    /// What the person chose on this walk.
    pub own: &'w Answer,
    /// What they chose the first time, when an earlier walk has it.
    pub first: Option<&'w Answer>,
    /// The lessons about this decision.
    pub lessons: Vec<&'w Row<Lesson>>,
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

fn of<'a>(answers: &'a [Answer], key: &Key) -> Option<&'a Answer> {
    answers.iter().find(|answer| answer.decision == *key)
}

impl<'c> Walk<'c> {
    /// The walk of a person through a case, as far as they have come.
    #[must_use]
    pub fn of(case: &'c StoredCase, answers: &'c Answers) -> Self {
        let stops = case
            .decisions
            .iter()
            .map(|row| &row.value)
            .filter(|decision| decision.options.len() >= OPTIONS_TO_CHOOSE)
            .map(|decision| Stop {
                decision,
                now: of(&answers.now, &decision.key),
                first: of(&answers.first, &decision.key),
            })
            .collect();
        Self { case, stops }
    }

    /// How many decisions there are on the way.
    #[must_use]
    pub fn len(&self) -> usize {
        self.stops.len()
    }

    /// Whether the case has no decision with something to choose.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        self.stops.is_empty()
    }

    /// The number of the first page that waits for an answer; the last page, when none does.
    #[must_use]
    pub fn ahead(&self) -> usize {
        self.stops.iter().position(|stop| stop.now.is_none()).unwrap_or(self.len()) + 1
    }

    /// Whether the person has answered anything on this walk.
    #[must_use]
    pub fn is_begun(&self) -> bool {
        self.stops.iter().any(|stop| stop.now.is_some())
    }

    /// Whether every question is answered.
    #[must_use]
    pub fn is_done(&self) -> bool {
        self.ahead() > self.len()
    }

    /// What the page of a number shows: from 1 the decisions, then the end; none beyond it.
    #[must_use]
    pub fn page(&self, number: usize) -> Option<Page<'_>> {
        if number == 0 || number > self.len() + 1 {
            return None;
        }
        let ahead = self.ahead();
        if number > ahead {
            return Some(Page::First(ahead));
        }
        let Some(stop) = self.stops.get(number - 1) else {
            return Some(Page::Open);
        };
        let question = self.question(number, stop.decision);
        Some(match stop.now {
            None => Page::Asked(Box::new(question)),
            Some(own) => Page::Told(Box::new(Told {
                question,
                decision: stop.decision,
                own,
                first: stop.first,
                lessons: self.lessons_about(&stop.decision.key),
            })),
        })
    }

    fn question<'w>(&self, number: usize, decision: &'w Decision) -> Question<'w> {
        let reading = Reading::of(&self.case.events, &self.case.complications);
        Question {
            key: &decision.key,
            number,
            at: decision.at,
            question: &decision.question,
            options: &decision.options,
            known: KnownThen::at_decision(self.case, &reading, decision),
        }
    }

    fn lessons_about(&self, key: &Key) -> Vec<&'c Row<Lesson>> {
        self.case.lessons.iter().filter(|row| row.value.decision.as_ref() == Some(key)).collect()
    }

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
fn alike(stops: &[bool], what: &str) -> Option<String> {
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

#[cfg(test)]
mod tests;
