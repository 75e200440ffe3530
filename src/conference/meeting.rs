//! What is typed while a conference is held: notes, who came, what became of carried-over actions,
//! lessons and actions.

use serde::Serialize;

use super::{AgendaCase, Attendance, CasePlan, Conference, Notes};
use crate::case::reading::words::{lower_first, sentence};
use crate::case::{
    ActionState, CaseCode, Day, Harm, LessonKind, Paragraph, Sentences, Stage, Strength, Words,
};
use crate::vocabulary::MechanismSlug;

/// What a meeting said of an action of an earlier case.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Became {
    /// It is in place since this day.
    Done(Day),
    /// It is still open.
    StillOpen {
        /// When it is due now.
        due: Day,
        /// Why it is not done yet.
        why: Sentences,
    },
    /// It will not be done, because of this.
    Dropped(Sentences),
    /// The meeting ended before it was spoken of.
    NotReached,
}

impl Became {
    /// What was said, in a sentence.
    #[must_use]
    pub fn in_words(&self) -> String {
        match self {
            Self::Done(day) => format!("Done: in place since {}.", day.in_words()),
            Self::StillOpen { due, why } => {
                format!("Still open, now due {}: {}", due.in_words(), sentence(&lower_first(why.as_str())))
            }
            Self::Dropped(why) => format!("Dropped: {}", sentence(&lower_first(why.as_str()))),
            Self::NotReached => "Not reached; it stays open.".to_owned(),
        }
    }
}

/// An action as the meeting and its minutes show it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct ActionLine {
    /// Its id.
    pub id: i64,
    /// What will be different.
    pub what: Sentences,
    /// The role that owns it.
    pub owner: Words,
    /// When it is due.
    pub due: Day,
    /// How strong it is.
    pub strength: Strength,
    /// Its measure.
    pub measure: Option<Sentences>,
    /// Where it stands.
    pub state: ActionState,
    /// The day from which it was in place.
    pub done_on: Option<Day>,
}

impl ActionLine {
    /// Where it stands: `open`, `in place since 12 June 2026`, `dropped`.
    #[must_use]
    pub fn state_in_words(&self) -> String {
        match (self.state, self.done_on) {
            (ActionState::Open, _) => "open".to_owned(),
            (ActionState::Done, Some(day)) => format!("in place since {}", day.in_words()),
            (ActionState::Done, None) => "done".to_owned(),
            (ActionState::Dropped, _) => "dropped".to_owned(),
        }
    }
}

/// An action of an earlier case that opens a meeting.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CarriedAction {
    /// Its case.
    pub code: CaseCode,
    /// The action as it stands now.
    pub action: ActionLine,
    /// When it was due before the meeting spoke of it.
    pub due_before: Day,
    /// What the meeting said of it; none while it did not.
    pub became: Option<Became>,
}

impl CarriedAction {
    /// Whether it was overdue on a day, before the meeting spoke of it.
    #[must_use]
    pub fn was_overdue(&self, on: Day) -> bool {
        self.due_before < on
    }
}

/// A lesson as the meeting and its minutes show it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LessonLine {
    /// What it helps to do.
    pub kind: LessonKind,
    /// The lesson.
    pub text: Paragraph,
    /// Whether somebody stands behind it by name.
    pub signed: bool,
}

/// A line, and whether it was written in this meeting rather than before.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Written<T> {
    /// The line.
    pub line: T,
    /// Whether it was written in this meeting.
    pub here: bool,
}

/// A case of the agenda with what the meeting made of it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Discussed {
    /// The case.
    pub case: AgendaCase,
    /// Its mechanisms, the index harm first, each once.
    pub mechanisms: Vec<MechanismSlug>,
    /// The degree of harm, when it is recorded.
    pub harm: Option<Harm>,
    /// What was said.
    pub notes: Option<Notes>,
    /// Its lessons.
    pub lessons: Vec<Written<LessonLine>>,
    /// Its actions.
    pub actions: Vec<Written<ActionLine>>,
    /// How the room answered its stop points, a sentence each.
    pub votes: Vec<String>,
}

impl Discussed {
    /// Its time and its roles.
    #[must_use]
    pub const fn plan(&self) -> &CasePlan {
        &self.case.plan
    }
}

/// A conference with all that its meeting holds of the cases that the viewer sees.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Meeting {
    /// The conference.
    pub conference: Conference,
    /// What was said apart from the cases.
    pub notes: Option<Notes>,
    /// Who came, by role.
    pub attendance: Attendance,
    /// The actions of earlier cases, the one due first at the top.
    pub carried: Vec<CarriedAction>,
    /// The cases, in the order of the agenda.
    pub cases: Vec<Discussed>,
}

/// What happens to a case of the agenda when its meeting is ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub enum AtTheEnd {
    /// It is ready and becomes presented.
    IsPresented,
    /// It is not ready and stays as it is.
    Stays,
    /// It was presented before.
    WasPresented,
}

impl AtTheEnd {
    /// What happens to a case.
    #[must_use]
    pub const fn of(case: &AgendaCase) -> Self {
        match case.stage {
            Stage::Ready => Self::IsPresented,
            Stage::Recorded | Stage::InPreparation => Self::Stays,
            Stage::Presented | Stage::Closed => Self::WasPresented,
        }
    }
}

impl Meeting {
    /// How many cases of the agenda the viewer does not see.
    #[must_use]
    pub const fn hidden(&self) -> usize {
        self.conference.cases.len().saturating_sub(self.cases.len())
    }
}
