//! Yes, no and not known, and what has to be known before a rule can decide.

use super::facts::Input;
use crate::quantity::words;

words!(
    /// What is recorded on a question. Nothing recorded is "not known", never "no".
    #[derive(Default)]
    Answer, "an answer", {
        Yes = "yes", "yes";
        No = "no", "no";
        #[default]
        Unknown = "unknown", "not known";
    }
);

impl Answer {
    /// Yes or no.
    #[must_use]
    pub const fn of(holds: bool) -> Self {
        if holds { Self::Yes } else { Self::No }
    }

    /// Whether it is a plain yes.
    #[must_use]
    pub const fn is_yes(self) -> bool {
        matches!(self, Self::Yes)
    }

    /// Whether it is a plain no.
    #[must_use]
    pub const fn is_no(self) -> bool {
        matches!(self, Self::No)
    }

    /// Whether nothing is known.
    #[must_use]
    pub const fn is_unknown(self) -> bool {
        matches!(self, Self::Unknown)
    }
}

/// The outcome of one clause of a rule: an answer and, when it is not known, what would settle it.
///
/// The connectives are Kleene's three-valued logic: what is not known stays not known unless the
/// other side settles the matter.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Judgement {
    answer: Answer,
    missing: Missing,
    why: Vec<&'static str>,
}

impl Judgement {
    /// A clause that is settled.
    #[must_use]
    pub const fn known(holds: bool) -> Self {
        Self { answer: Answer::of(holds), missing: Missing::nothing(), why: Vec::new() }
    }

    /// A clause that one input would settle.
    #[must_use]
    pub const fn missing(input: &'static Input) -> Self {
        let missing = Missing { first: Some(input), rest: Vec::new() };
        Self { answer: Answer::Unknown, missing, why: Vec::new() }
    }

    /// A clause that several inputs together would settle.
    #[must_use]
    pub fn lacking(inputs: impl IntoIterator<Item = &'static Input>) -> Self {
        let mut missing = Missing::nothing();
        inputs.into_iter().for_each(|input| missing.add(input));
        Self { answer: Answer::Unknown, missing, why: Vec::new() }
    }

    /// A clause that the rule itself leaves open, with the reason as a sentence.
    #[must_use]
    pub fn open(why: &'static str) -> Self {
        Self { answer: Answer::Unknown, missing: Missing::nothing(), why: vec![why] }
    }

    /// A clause that is the answer to one question.
    #[must_use]
    pub fn of(input: &'static Input, answer: Answer) -> Self {
        match answer {
            Answer::Unknown => Self::missing(input),
            settled => Self::known(settled.is_yes()),
        }
    }

    /// A clause on a value that may be missing.
    #[must_use]
    pub fn test<T>(input: &'static Input, value: Option<T>, holds: impl FnOnce(T) -> bool) -> Self {
        value.map_or_else(|| Self::missing(input), |value| Self::known(holds(value)))
    }

    /// The answer.
    #[must_use]
    pub const fn answer(&self) -> Answer {
        self.answer
    }

    /// Whether it is a plain yes.
    #[must_use]
    pub const fn is_yes(&self) -> bool {
        self.answer.is_yes()
    }

    /// Whether it is a plain no.
    #[must_use]
    pub const fn is_no(&self) -> bool {
        self.answer.is_no()
    }

    /// Whether it is not settled.
    #[must_use]
    pub const fn is_unknown(&self) -> bool {
        self.answer.is_unknown()
    }

    /// What would settle it; empty when it is settled or the rule leaves it open.
    pub fn inputs(&self) -> impl Iterator<Item = &'static Input> {
        self.missing.iter()
    }

    /// Why the rule leaves it open, in sentences.
    #[must_use]
    pub fn reasons(&self) -> &[&'static str] {
        &self.why
    }

    /// The opposite; what is not known stays so.
    #[must_use]
    pub fn negated(mut self) -> Self {
        self.answer = match self.answer {
            Answer::Yes => Answer::No,
            Answer::No => Answer::Yes,
            Answer::Unknown => Answer::Unknown,
        };
        self
    }

    /// Yes when any is; no when all are.
    #[must_use]
    pub fn any(clauses: impl IntoIterator<Item = Self>) -> Self {
        Self::fold(clauses, Answer::Yes)
    }

    /// Yes when all are; no when any is.
    #[must_use]
    pub fn all(clauses: impl IntoIterator<Item = Self>) -> Self {
        Self::fold(clauses, Answer::No)
    }

    /// Both.
    #[must_use]
    pub fn and(self, other: Self) -> Self {
        Self::all([self, other])
    }

    /// Either.
    #[must_use]
    pub fn or(self, other: Self) -> Self {
        Self::any([self, other])
    }

    /// The settling answer when one clause has it, else not known when one is not, else the other.
    fn fold(clauses: impl IntoIterator<Item = Self>, settles: Answer) -> Self {
        let mut open = Self::known(!settles.is_yes());
        for clause in clauses {
            if clause.answer == settles {
                return clause;
            }
            if clause.is_unknown() {
                open.answer = Answer::Unknown;
                clause.missing.iter().for_each(|input| open.missing.add(input));
                for why in clause.why {
                    if !open.why.contains(&why) {
                        open.why.push(why);
                    }
                }
            }
        }
        open
    }
}

/// Inputs, each once. Most clauses ask for one, which needs no list.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Missing {
    first: Option<&'static Input>,
    rest: Vec<&'static Input>,
}

impl Missing {
    const fn nothing() -> Self {
        Self { first: None, rest: Vec::new() }
    }

    fn iter(&self) -> impl Iterator<Item = &'static Input> {
        self.first.into_iter().chain(self.rest.iter().copied())
    }

    fn add(&mut self, input: &'static Input) {
        match self.first {
            None => self.first = Some(input),
            Some(first) if *first == *input || self.rest.contains(&input) => {}
            Some(_) => self.rest.push(input),
        }
    }
}
