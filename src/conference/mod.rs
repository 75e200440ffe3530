//! Conferences: the dated meetings of the department, each with an agenda of cases.
//!
//! - [`Minutes`], [`Split`] and [`Fit`]: time boxes, and whether they fit;
//! - [`to_hold`]: what is missing before a conference can be held;
//! - [`worth`]: why a case is worth the time;
//! - [`meeting`]: what is typed while it is held;
//! - [`Confidentiality`]: the line that stands over agenda, meeting and minutes.

mod attendance;
mod confidentiality;
mod time_box;
mod to_hold;

pub mod meeting;
pub mod store;
pub mod votes;
pub mod worth;

#[cfg(test)]
mod samples;

pub use attendance::{Attendance, Attendee, People, PeopleError};
pub use confidentiality::Confidentiality;
pub use time_box::{Fit, Minutes, MinutesError, Split};
pub use to_hold::to_hold;

use crate::case::{CaseCode, Day, Sight, Stage, Text, Title, Words};

/// The most cases that one conference discusses.
pub const MOST_CASES: i64 = 12;

/// What was said, as somebody typed it in the meeting; Markdown.
pub type Notes = Text<6_000>;

/// How long a case has, and who tells and discusses it. Roles are words such as "fellow on call",
/// never names.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct CasePlan {
    /// Its time box.
    pub time_box: Minutes,
    /// The role that presents it.
    pub presenter: Option<Words>,
    /// The role that discusses it.
    pub discussant: Option<Words>,
}

/// A case on an agenda.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct AgendaCase {
    /// Its id.
    pub id: i64,
    /// Its code.
    pub code: CaseCode,
    /// Its title.
    pub title: Title,
    /// How far it has come.
    pub stage: Stage,
    /// The account that recorded it, when it was not imported.
    pub recorded_by: Option<i64>,
    /// Whether it is held back, because it may hold identifiers.
    pub held: bool,
    /// Its time and its roles.
    pub plan: CasePlan,
}

impl AgendaCase {
    /// Whether it is among the cases that somebody sees.
    #[must_use]
    pub fn is_in(&self, sight: Sight) -> bool {
        sight.sees(self.stage, self.recorded_by, self.held)
    }

    /// Whether it is prepared far enough to be shown.
    #[must_use]
    pub const fn is_ready(&self) -> bool {
        match self.stage {
            Stage::Recorded | Stage::InPreparation => false,
            Stage::Ready | Stage::Presented | Stage::Closed => true,
        }
    }
}

/// When a conference is, what it is called, and how its time is spent.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Plan {
    /// The day.
    pub held_on: Day,
    /// What it is called.
    pub title: Title,
    /// How long it is.
    pub length: Minutes,
    /// The box of the carried-over actions that open it; none when it begins with a case.
    pub carried: Option<Minutes>,
    /// The role that moderates it, never a name.
    pub moderator: Option<Words>,
}

/// A dated meeting with an agenda of cases. A day has at most one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Conference {
    /// Its id.
    pub id: i64,
    /// When it is and how its time is spent.
    pub plan: Plan,
    /// When its meeting was ended; none while it was not.
    pub ended_at: Option<jiff::Timestamp>,
    /// Its cases, in the order they are discussed.
    pub cases: Vec<AgendaCase>,
}

impl Conference {
    /// The day.
    #[must_use]
    pub const fn held_on(&self) -> Day {
        self.plan.held_on
    }

    /// Whether its meeting was ended.
    #[must_use]
    pub const fn is_ended(&self) -> bool {
        self.ended_at.is_some()
    }

    /// Its case of this code, when it is on the agenda.
    #[must_use]
    pub fn case(&self, code: CaseCode) -> Option<&AgendaCase> {
        self.cases.iter().find(|case| case.code == code)
    }
}

/// Every conference, by whether it is still to come.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Conferences {
    /// Today's and later ones that were not ended, the soonest first.
    pub coming: Vec<Conference>,
    /// Earlier ones and those that were ended, the latest first.
    pub past: Vec<Conference>,
}

/// What became of a case that was to go on an agenda.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Added {
    /// It is on the agenda now, last.
    Added,
    /// It was there before; its place is unchanged.
    AlreadyThere,
    /// The agenda holds [`MOST_CASES`] already.
    Full,
}

/// Which way a case moves on an agenda.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Way {
    /// Before the one before it.
    Up,
    /// Behind the one behind it.
    Down,
}
