//! What the room is asked, and what a show of hands counted.

use std::str::FromStr;

/// The most options that a question has.
pub const MOST_OPTIONS: usize = 6;

/// The most hands that are counted for an option.
const MOST_HANDS: u16 = 999;

/// A question with two to six options, as the room sees it: nothing of what followed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Ballot {
    question: String,
    options: Vec<String>,
}

/// Why a decision point cannot be put to the room.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum BallotError {
    /// There is no question.
    #[error("This decision point has no question yet. Write it, then ask the room.")]
    NoQuestion,
    /// Too few or too many options.
    #[error("A vote needs two to six options; this decision point has {0}.")]
    Options(usize),
    /// An option without words.
    #[error("One of the options is empty. Write it or take it out, then ask the room.")]
    EmptyOption,
}

impl Ballot {
    /// A question with its options in their order.
    ///
    /// # Errors
    /// When the question or an option is empty, or there are not two to six options.
    pub fn new(question: &str, options: &[String]) -> Result<Self, BallotError> {
        let question = question.trim();
        let options: Vec<String> = options.iter().map(|option| option.trim().to_owned()).collect();
        if question.is_empty() {
            return Err(BallotError::NoQuestion);
        }
        if !(2..=MOST_OPTIONS).contains(&options.len()) {
            return Err(BallotError::Options(options.len()));
        }
        if options.iter().any(String::is_empty) {
            return Err(BallotError::EmptyOption);
        }
        Ok(Self { question: question.to_owned(), options })
    }

    /// The question.
    #[must_use]
    pub fn question(&self) -> &str {
        &self.question
    }

    /// The options, each with its place.
    pub fn options(&self) -> impl Iterator<Item = (Position, &str)> {
        (1..).map(Position).zip(self.options.iter().map(String::as_str))
    }
}

/// Why a text is no count of a show of hands.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum CountError {
    /// Not a place among the options.
    #[error("Options are numbered from 1 to 6.")]
    Position,
    /// Not a number of hands.
    #[error("A show of hands is a whole number from 0 to 999.")]
    Hands,
}

/// The place of an option in its question: 1 to 6.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Position(u8);

impl Position {
    /// The place as a number, 1 for the first.
    #[must_use]
    pub const fn number(self) -> u8 {
        self.0
    }

    /// Where the option stands in a list that starts at 0.
    #[must_use]
    pub const fn index(self) -> usize {
        self.0 as usize - 1
    }
}

impl TryFrom<i64> for Position {
    type Error = CountError;
    fn try_from(number: i64) -> Result<Self, Self::Error> {
        match u8::try_from(number) {
            Ok(number @ 1..=6) => Ok(Self(number)),
            _ => Err(CountError::Position),
        }
    }
}

impl FromStr for Position {
    type Err = CountError;
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        text.trim().parse::<i64>().map_err(|_| CountError::Position)?.try_into()
    }
}

/// Hands that were up for an option: 0 to 999.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Hands(u16);

impl Hands {
    /// How many.
    #[must_use]
    pub const fn count(self) -> u16 {
        self.0
    }
}

impl TryFrom<i64> for Hands {
    type Error = CountError;
    fn try_from(count: i64) -> Result<Self, Self::Error> {
        match u16::try_from(count) {
            Ok(count) if count <= MOST_HANDS => Ok(Self(count)),
            _ => Err(CountError::Hands),
        }
    }
}

impl FromStr for Hands {
    type Err = CountError;
    fn from_str(text: &str) -> Result<Self, Self::Err> {
        text.trim().parse::<i64>().map_err(|_| CountError::Hands)?.try_into()
    }
}

/// A show of hands, option by option; none where no count was taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct HandCounts([Option<Hands>; MOST_OPTIONS]);

impl HandCounts {
    /// Notes the hands that were up for an option.
    pub const fn set(&mut self, position: Position, hands: Hands) {
        self.0[position.index()] = Some(hands);
    }

    /// The counts by place.
    #[must_use]
    pub const fn by_position(&self) -> &[Option<Hands>; MOST_OPTIONS] {
        &self.0
    }

    /// How many options a question must have for these counts to fit; 0 when there is no count.
    #[must_use]
    pub fn options_needed(&self) -> usize {
        self.0.iter().rposition(Option::is_some).map_or(0, |last| last + 1)
    }
}

#[cfg(test)]
mod tests {
    use super::{Ballot, BallotError, HandCounts, Hands, Position};

    fn options(count: usize) -> Vec<String> {
        (1..=count).map(|number| format!("Option {number}")).collect()
    }

    #[test]
    fn a_ballot_has_a_question_and_two_to_six_options_with_words() {
        let error = |question: &str, options: &[String]| Ballot::new(question, options).err();
        for count in 2..=6 {
            assert_eq!(error("What now?", &options(count)), None);
        }
        for count in [0, 1, 7] {
            assert_eq!(error("What now?", &options(count)), Some(BallotError::Options(count)));
        }
        assert_eq!(error(" ", &options(2)), Some(BallotError::NoQuestion));
        let with_an_empty_one = ["Stop".to_owned(), " ".to_owned()];
        assert_eq!(error("What now?", &with_an_empty_one), Some(BallotError::EmptyOption));
    }

    #[test]
    fn places_and_hands_keep_to_their_ranges() {
        for (text, good) in
            [("1", true), (" 6 ", true), ("0", false), ("7", false), ("-1", false), ("a", false)]
        {
            assert_eq!(text.parse::<Position>().is_ok(), good, "{text}");
        }
        for (text, good) in
            [("0", true), ("999", true), ("1000", false), ("-1", false), ("1.5", false), ("", false)]
        {
            assert_eq!(text.parse::<Hands>().is_ok(), good, "{text}");
        }
    }

    #[test]
    fn counts_need_as_many_options_as_the_last_that_was_counted() {
        let mut counts = HandCounts::default();
        assert_eq!(counts.options_needed(), 0);
        counts.set(Position(3), Hands(0));
        assert_eq!(counts.options_needed(), 3);
        counts.set(Position(1), Hands(4));
        assert_eq!(counts.options_needed(), 3);
    }
}
