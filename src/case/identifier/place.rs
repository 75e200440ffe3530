//! Where the words of a case stand: each text has an address, and can be written anew.

use std::fmt;
use std::str::FromStr;

use crate::case::record::Head;
use crate::case::remark::{PromptRemark, Says};
use crate::case::store::RowValue;
use crate::case::stored::{Row, StoredCase};
use crate::case::text::{Sentences, TextError};

/// A text of a decision point. Options and reasons count from 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[expect(missing_docs, reason = "the names say it")]
pub enum DecisionText {
    Question,
    ChosenBy,
    Followed,
    Option(usize),
    ReasonFor(usize, usize),
    ReasonAgainst(usize, usize),
}

/// A text of a case. Rows are named by their ids.
#[derive(Debug, Clone, PartialEq, Eq)]
#[expect(missing_docs, reason = "the names say it")]
pub enum Place {
    Title,
    Situation,
    /// A term of the patient's history, from 0.
    History(usize),
    Strategy,
    TimeZero,
    Event(i64),
    /// What a picture shows, for a reader who does not see it.
    Picture(i64),
    PictureCaption(i64),
    Observation(i64),
    Remark(i64),
    Cause(i64),
    Decision(i64, DecisionText),
    Lesson(i64),
    /// The words of a lesson that several cases share.
    Recurring(i64),
    Action(i64),
    ActionOwner(i64),
    ActionMeasure(i64),
    ActionTarget(i64),
    Discharge,
    Narrative,
}

/// What writing a text anew comes to.
#[derive(Debug, Clone, PartialEq)]
pub enum Change {
    /// The head as it is then.
    Head(Box<Head>),
    /// A row of a list as it is then.
    Row(i64, Box<RowValue>),
    /// A word on a prompt as it is then.
    Remark(PromptRemark),
    /// Words that several cases share, in all of them.
    #[expect(missing_docs, reason = "the names say it")]
    Recurring { from: Sentences, to: Sentences },
}

/// Why a text cannot be written anew.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum WriteError {
    /// There is no such text any more.
    #[error("That text is not there any more.")]
    Gone,
    /// The field does not hold the new text.
    #[error(transparent)]
    Text(#[from] TextError),
}

/// The free texts of a case with their places, in the order of the page.
#[must_use]
pub fn texts(case: &StoredCase) -> Vec<(Place, &str)> {
    let head = &case.head;
    let mut texts = vec![(Place::Title, head.title.as_str())];
    texts.extend(head.situation.iter().map(|text| (Place::Situation, text.as_str())));
    let history = head.patient.history.iter().enumerate();
    texts.extend(history.map(|(index, text)| (Place::History(index), text.as_str())));
    texts.extend(head.procedure.strategy.iter().map(|text| (Place::Strategy, text.as_str())));
    texts.extend(head.time_zero.iter().map(|text| (Place::TimeZero, text.as_str())));
    for Row { id, value } in &case.events {
        texts.extend(value.text.iter().map(|text| (Place::Event(*id), text.as_str())));
    }
    for Row { id, value } in &case.pictures {
        texts.extend(value.caption.iter().map(|text| (Place::PictureCaption(*id), text.as_str())));
        texts.push((Place::Picture(*id), value.shows.as_str()));
    }
    for Row { id, value } in &case.observations {
        texts.extend(value.label.iter().map(|text| (Place::Observation(*id), text.as_str())));
    }
    for Row { id, value } in &case.prompts {
        texts.extend(value.says.because().map(|text| (Place::Remark(*id), text.as_str())));
    }
    texts.extend(case.causes.iter().map(|row| (Place::Cause(row.id), row.value.statement.as_str())));
    for row in &case.decisions {
        texts.extend(of_decision(row));
    }
    for Row { id, value } in &case.lessons {
        texts.push((Place::Lesson(*id), value.text.as_str()));
        texts.extend(value.recurring.iter().map(|text| (Place::Recurring(*id), text.as_str())));
    }
    for Row { id, value } in &case.actions {
        texts.push((Place::Action(*id), value.what.as_str()));
        texts.push((Place::ActionOwner(*id), value.owner.as_str()));
        texts.extend(value.measure.iter().map(|text| (Place::ActionMeasure(*id), text.as_str())));
        texts.extend(value.target.iter().map(|text| (Place::ActionTarget(*id), text.as_str())));
    }
    texts.extend(head.outcome.discharge.iter().map(|text| (Place::Discharge, text.as_str())));
    texts.extend(head.narrative.iter().map(|text| (Place::Narrative, text.as_str())));
    texts
}

fn of_decision(row: &Row<crate::case::Decision>) -> Vec<(Place, &str)> {
    use DecisionText::{ChosenBy, Followed, Option, Question, ReasonAgainst, ReasonFor};
    let at = |text| Place::Decision(row.id, text);
    let decision = &row.value;
    let mut texts = vec![(at(Question), decision.question.as_str())];
    for (index, option) in decision.options.iter().enumerate() {
        texts.push((at(Option(index)), option.text.as_str()));
        let reasons = option.reasons_for.iter().enumerate();
        texts.extend(reasons.map(|(reason, line)| (at(ReasonFor(index, reason)), line.as_str())));
        let reasons = option.reasons_against.iter().enumerate();
        texts.extend(reasons.map(|(reason, line)| (at(ReasonAgainst(index, reason)), line.as_str())));
    }
    texts.extend(decision.chosen_by.iter().map(|text| (at(ChosenBy), text.as_str())));
    texts.extend(decision.followed.iter().map(|text| (at(Followed), text.as_str())));
    texts
}

/// The row of a list with this id.
fn row<T: Clone>(rows: &[Row<T>], id: i64) -> Result<T, WriteError> {
    rows.iter().find(|row| row.id == id).map(|row| row.value.clone()).ok_or(WriteError::Gone)
}

/// Writes a text into what held one.
fn write<T: FromStr<Err = TextError>>(slot: Option<&mut T>, text: &str) -> Result<(), WriteError> {
    *slot.ok_or(WriteError::Gone)? = text.parse()?;
    Ok(())
}

/// What the case becomes with another text in a place.
///
/// # Errors
/// A text that is not there any more, and one that its field does not hold.
pub fn with_text(case: &StoredCase, place: &Place, text: &str) -> Result<Change, WriteError> {
    let mut head = case.head.clone();
    let slot_of_head = match place {
        Place::Title => write(Some(&mut head.title), text),
        Place::Situation => write(head.situation.as_mut(), text),
        Place::History(index) => write(head.patient.history.get_mut(*index), text),
        Place::Strategy => write(head.procedure.strategy.as_mut(), text),
        Place::TimeZero => write(head.time_zero.as_mut(), text),
        Place::Discharge => write(head.outcome.discharge.as_mut(), text),
        Place::Narrative => write(head.narrative.as_mut(), text),
        _ => return of_row(case, place, text),
    };
    slot_of_head.map(|()| Change::Head(Box::new(head)))
}

fn of_row(case: &StoredCase, place: &Place, text: &str) -> Result<Change, WriteError> {
    let changed = |id: i64, value: RowValue| Change::Row(id, Box::new(value));
    Ok(match *place {
        Place::Event(id) => {
            let mut event = row(&case.events, id)?;
            write(event.text.as_mut(), text)?;
            changed(id, RowValue::Event(event))
        }
        Place::Picture(id) => {
            let mut picture = row(&case.pictures, id)?;
            write(Some(&mut picture.shows), text)?;
            changed(id, RowValue::Picture(picture))
        }
        Place::PictureCaption(id) => {
            let mut picture = row(&case.pictures, id)?;
            write(picture.caption.as_mut(), text)?;
            changed(id, RowValue::Picture(picture))
        }
        Place::Observation(id) => {
            let mut observation = row(&case.observations, id)?;
            write(observation.label.as_mut(), text)?;
            changed(id, RowValue::Observation(observation))
        }
        Place::Remark(id) => {
            let mut remark = row(&case.prompts, id)?;
            let Says::DoesNotApply(because) = &mut remark.says else { return Err(WriteError::Gone) };
            write(Some(because), text)?;
            Change::Remark(remark)
        }
        Place::Cause(id) => {
            let mut cause = row(&case.causes, id)?;
            write(Some(&mut cause.statement), text)?;
            changed(id, RowValue::Cause(cause))
        }
        Place::Decision(id, which) => {
            let mut decision = row(&case.decisions, id)?;
            let options = &mut decision.options;
            match which {
                DecisionText::Question => write(Some(&mut decision.question), text)?,
                DecisionText::ChosenBy => write(decision.chosen_by.as_mut(), text)?,
                DecisionText::Followed => write(decision.followed.as_mut(), text)?,
                DecisionText::Option(index) => {
                    write(options.get_mut(index).map(|option| &mut option.text), text)?
                }
                DecisionText::ReasonFor(index, reason) => {
                    write(
                        options.get_mut(index).and_then(|option| option.reasons_for.get_mut(reason)),
                        text,
                    )?;
                }
                DecisionText::ReasonAgainst(index, reason) => {
                    write(
                        options.get_mut(index).and_then(|option| option.reasons_against.get_mut(reason)),
                        text,
                    )?;
                }
            }
            changed(id, RowValue::Decision(decision))
        }
        Place::Lesson(id) => {
            let mut lesson = row(&case.lessons, id)?;
            write(Some(&mut lesson.text), text)?;
            changed(id, RowValue::Lesson(lesson))
        }
        Place::Recurring(id) => {
            let from = row(&case.lessons, id)?.recurring.ok_or(WriteError::Gone)?;
            Change::Recurring { from, to: text.parse()? }
        }
        Place::Action(id) => of_action(case, id, |action| write(Some(&mut action.what), text))?,
        Place::ActionOwner(id) => of_action(case, id, |action| write(Some(&mut action.owner), text))?,
        Place::ActionMeasure(id) => of_action(case, id, |action| write(action.measure.as_mut(), text))?,
        Place::ActionTarget(id) => of_action(case, id, |action| write(action.target.as_mut(), text))?,
        Place::Title
        | Place::Situation
        | Place::History(_)
        | Place::Strategy
        | Place::TimeZero
        | Place::Discharge
        | Place::Narrative => return Err(WriteError::Gone),
    })
}

fn of_action(
    case: &StoredCase,
    id: i64,
    write: impl FnOnce(&mut crate::case::Action) -> Result<(), WriteError>,
) -> Result<Change, WriteError> {
    let mut action = row(&case.actions, id)?;
    write(&mut action)?;
    Ok(Change::Row(id, Box::new(RowValue::Action(action))))
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Title => f.write_str("title"),
            Self::Situation => f.write_str("situation"),
            Self::History(index) => write!(f, "history.{index}"),
            Self::Strategy => f.write_str("strategy"),
            Self::TimeZero => f.write_str("time_zero"),
            Self::Event(id) => write!(f, "event.{id}"),
            Self::Picture(id) => write!(f, "picture.{id}"),
            Self::PictureCaption(id) => write!(f, "picture_caption.{id}"),
            Self::Observation(id) => write!(f, "observation.{id}"),
            Self::Remark(id) => write!(f, "remark.{id}"),
            Self::Cause(id) => write!(f, "cause.{id}"),
            Self::Decision(id, DecisionText::Question) => write!(f, "decision.{id}.question"),
            Self::Decision(id, DecisionText::ChosenBy) => write!(f, "decision.{id}.chosen_by"),
            Self::Decision(id, DecisionText::Followed) => write!(f, "decision.{id}.followed"),
            Self::Decision(id, DecisionText::Option(option)) => write!(f, "decision.{id}.option.{option}"),
            Self::Decision(id, DecisionText::ReasonFor(option, line)) => {
                write!(f, "decision.{id}.for.{option}.{line}")
            }
            Self::Decision(id, DecisionText::ReasonAgainst(option, line)) => {
                write!(f, "decision.{id}.against.{option}.{line}")
            }
            Self::Lesson(id) => write!(f, "lesson.{id}"),
            Self::Recurring(id) => write!(f, "recurring.{id}"),
            Self::Action(id) => write!(f, "action.{id}"),
            Self::ActionOwner(id) => write!(f, "action_owner.{id}"),
            Self::ActionMeasure(id) => write!(f, "action_measure.{id}"),
            Self::ActionTarget(id) => write!(f, "action_target.{id}"),
            Self::Discharge => f.write_str("discharge"),
            Self::Narrative => f.write_str("narrative"),
        }
    }
}

/// An address that leads to no text.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("that is no place of a text")]
pub struct NoPlace;

impl FromStr for Place {
    type Err = NoPlace;
    fn from_str(text: &str) -> Result<Self, NoPlace> {
        fn number<T: FromStr>(text: &str) -> Result<T, NoPlace> {
            text.parse().map_err(|_| NoPlace)
        }
        let parts: Vec<&str> = text.split('.').collect();
        Ok(match parts.as_slice() {
            ["title"] => Self::Title,
            ["situation"] => Self::Situation,
            ["history", index] => Self::History(number(index)?),
            ["strategy"] => Self::Strategy,
            ["time_zero"] => Self::TimeZero,
            ["event", id] => Self::Event(number(id)?),
            ["picture", id] => Self::Picture(number(id)?),
            ["picture_caption", id] => Self::PictureCaption(number(id)?),
            ["observation", id] => Self::Observation(number(id)?),
            ["remark", id] => Self::Remark(number(id)?),
            ["cause", id] => Self::Cause(number(id)?),
            ["decision", id, rest @ ..] => Self::Decision(
                number(id)?,
                match rest {
                    ["question"] => DecisionText::Question,
                    ["chosen_by"] => DecisionText::ChosenBy,
                    ["followed"] => DecisionText::Followed,
                    ["option", option] => DecisionText::Option(number(option)?),
                    ["for", option, line] => DecisionText::ReasonFor(number(option)?, number(line)?),
                    ["against", option, line] => DecisionText::ReasonAgainst(number(option)?, number(line)?),
                    _ => return Err(NoPlace),
                },
            ),
            ["lesson", id] => Self::Lesson(number(id)?),
            ["recurring", id] => Self::Recurring(number(id)?),
            ["action", id] => Self::Action(number(id)?),
            ["action_owner", id] => Self::ActionOwner(number(id)?),
            ["action_measure", id] => Self::ActionMeasure(number(id)?),
            ["action_target", id] => Self::ActionTarget(number(id)?),
            ["discharge"] => Self::Discharge,
            ["narrative"] => Self::Narrative,
            _ => return Err(NoPlace),
        })
    }
}
