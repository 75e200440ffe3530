//! What a person says about a response prompt: where a step was done, why it does not apply, or
//! how a question is answered. It stands before what the events seem to show.

use schemars::JsonSchema;
use serde::{Deserialize, Serialize};

use super::code::Key;
use super::text::Sentences;
use crate::quantity::words;

words!(
    /// The answer to a question that decides which steps apply.
    YesNo, "an answer", {
        Yes = "yes", "Yes";
        No = "no", "No";
    }
);

/// What is said of a step, or of a question.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Says {
    /// The step was done at this event.
    DoneAt(Key),
    /// The step does not apply, because of this.
    DoesNotApply(Sentences),
    /// The question is answered.
    Answer(YesNo),
}

/// A person's word on one step or question of one list, for one complication.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize, JsonSchema)]
#[serde(try_from = "RemarkText", into = "RemarkText")]
#[schemars(with = "RemarkText")]
pub struct PromptRemark {
    /// The complication.
    pub complication: Key,
    /// The list.
    pub list: Key,
    /// The step or the question.
    pub step: Key,
    /// What is said.
    pub says: Says,
}

/// Why a remark cannot be kept.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("A remark on a prompt has one of done_at, because and answer.")]
pub struct NotOne;

impl Says {
    /// The one of the three that is given.
    ///
    /// # Errors
    /// When none is given, or more than one.
    pub fn one_of(
        done_at: Option<Key>,
        because: Option<Sentences>,
        answer: Option<YesNo>,
    ) -> Result<Self, NotOne> {
        match (done_at, because, answer) {
            (Some(event), None, None) => Ok(Self::DoneAt(event)),
            (None, Some(because), None) => Ok(Self::DoesNotApply(because)),
            (None, None, Some(answer)) => Ok(Self::Answer(answer)),
            _ => Err(NotOne),
        }
    }

    /// The event where the step was done.
    #[must_use]
    pub const fn done_at(&self) -> Option<&Key> {
        if let Self::DoneAt(event) = self { Some(event) } else { None }
    }

    /// Why the step does not apply.
    #[must_use]
    pub const fn because(&self) -> Option<&Sentences> {
        if let Self::DoesNotApply(because) = self { Some(because) } else { None }
    }

    /// The answer to the question.
    #[must_use]
    pub const fn answer(&self) -> Option<YesNo> {
        if let Self::Answer(answer) = self { Some(*answer) } else { None }
    }
}

/// A remark as a file holds it.
#[derive(Debug, Clone, Serialize, Deserialize, JsonSchema)]
#[serde(deny_unknown_fields)]
#[schemars(rename = "PromptRemark")]
struct RemarkText {
    /// The key of the complication.
    complication: Key,
    /// The list of prompts.
    list: Key,
    /// The step or the question.
    step: Key,
    /// The key of the event where the step was done.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    done_at: Option<Key>,
    /// Why the step does not apply.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    because: Option<Sentences>,
    /// The answer to the question.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    answer: Option<YesNo>,
}

impl TryFrom<RemarkText> for PromptRemark {
    type Error = NotOne;
    fn try_from(text: RemarkText) -> Result<Self, NotOne> {
        let says = Says::one_of(text.done_at, text.because, text.answer)?;
        Ok(Self { complication: text.complication, list: text.list, step: text.step, says })
    }
}

impl From<PromptRemark> for RemarkText {
    fn from(remark: PromptRemark) -> Self {
        Self {
            done_at: remark.says.done_at().cloned(),
            because: remark.says.because().cloned(),
            answer: remark.says.answer(),
            complication: remark.complication,
            list: remark.list,
            step: remark.step,
        }
    }
}
