//! Questions, and the branch that their answers lead to.

use super::follow::{Course, Occurrence, Said, Set, set_for};
use super::list::{Answer, Condition, PromptList, Question};
use super::matching::Matches;
use super::slug::Slug;

/// Who or what answered a question.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SettledBy {
    /// A person.
    Person,
    /// The mechanism of the complication.
    Mechanism,
    /// The event at this place.
    Event {
        /// The first that says so.
        at: usize,
    },
}

/// What is known of a question.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum QuestionState {
    /// It is answered.
    Settled {
        /// The answer.
        answer: Answer,
        /// Who or what gave it.
        by: SettledBy,
    },
    /// A person has to answer it: nothing says yes or no, or something says yes and something no.
    Open,
    /// It comes up only when an earlier question is answered its way, and that one is open.
    NotYet {
        /// The first question that is open.
        question: Slug,
    },
    /// It does not come up.
    NotAsked {
        /// The earlier question that decided so.
        question: Slug,
        /// The answer to that one.
        answer: Answer,
    },
}

/// A question and what is known of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct QuestionResult<'l> {
    /// The question.
    pub question: &'l Question,
    /// What is known of it.
    pub state: QuestionState,
}

/// Tells of every question of a list, in its order, how the case answers it.
///
/// What a person said wins. Else the mechanism and the events answer when they all say the same; an
/// event that fits a sign for yes beside one that fits a sign for no leaves the question open.
#[must_use]
pub fn answers<'l>(
    list: &'l PromptList,
    course: Course,
    events: &[Occurrence],
    said: &[Said],
) -> Vec<QuestionResult<'l>> {
    let matches = Matches::of(list, course, events, said);
    let state = |question: &Question| {
        let own = settle(question, &matches, said);
        match (branch(list, question.only_if.as_ref(), &matches, said), own) {
            (Branch::Other { question, answer }, _) => {
                QuestionState::NotAsked { question: question.clone(), answer }
            }
            (_, Some((answer, by))) => QuestionState::Settled { answer, by },
            (Branch::Applies, None) => QuestionState::Open,
            (Branch::Open { question }, None) => QuestionState::NotYet { question: question.clone() },
        }
    };
    list.questions.iter().map(|question| QuestionResult { question, state: state(question) }).collect()
}

/// Whether the case takes the branch that a condition names.
pub(super) enum Branch<'l> {
    Applies,
    /// It does not, by the answer to this question.
    Other {
        question: &'l Slug,
        answer: Answer,
    },
    /// It is not known before this question is answered.
    Open {
        question: &'l Slug,
    },
}

/// Follows a condition up to the first question. One answer against it decides, whatever is open.
pub(super) fn branch<'l>(
    list: &'l PromptList,
    condition: Option<&'l Condition>,
    matches: &Matches,
    said: &[Said],
) -> Branch<'l> {
    let mut found = Branch::Applies;
    let mut next = condition;
    while let Some(condition) = next {
        // A question that is not in the list answers nothing; reading a list refuses such a condition.
        let question = list.question(&condition.question);
        match question.and_then(|question| settle(question, matches, said)) {
            Some((answer, _)) if answer == condition.answer => {}
            Some((answer, _)) => found = Branch::Other { question: &condition.question, answer },
            None if matches!(found, Branch::Other { .. }) => {}
            None => found = Branch::Open { question: &condition.question },
        }
        next = question.and_then(|question| question.only_if.as_ref());
    }
    found
}

fn settle(question: &Question, matches: &Matches, said: &[Said]) -> Option<(Answer, SettledBy)> {
    match set_for(said, &question.slug, |set| matches!(set, Set::Yes | Set::No)) {
        Some(Set::Yes) => return Some((Answer::Yes, SettledBy::Person)),
        Some(_) => return Some((Answer::No, SettledBy::Person)),
        None => {}
    }
    let says = |mechanisms: &[Slug], signs| {
        if mechanisms.iter().any(|own| own == matches.mechanism()) {
            Some(SettledBy::Mechanism)
        } else {
            matches.settling(signs).map(|at| SettledBy::Event { at })
        }
    };
    let yes = says(&question.yes_mechanisms, &question.yes_signs);
    let no = says(&question.no_mechanisms, &question.no_signs);
    match (yes, no) {
        (Some(by), None) => Some((Answer::Yes, by)),
        (None, Some(by)) => Some((Answer::No, by)),
        _ => None,
    }
}
