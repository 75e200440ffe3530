//! Conferences: the dated meetings of the department, each with an agenda of cases.

pub mod store;
pub mod votes;

use crate::case::{CaseCode, Day, Stage, Title};

/// The most cases that one conference discusses.
pub const MOST_CASES: i64 = 12;

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
}

/// A dated meeting with an agenda of cases. A day has at most one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Conference {
    /// Its id.
    pub id: i64,
    /// The day.
    pub held_on: Day,
    /// What it is called.
    pub title: Title,
    /// Its cases, in the order they are discussed.
    pub cases: Vec<AgendaCase>,
}

/// Every conference, by whether it is still to come.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Conferences {
    /// Today's and later ones, the soonest first.
    pub coming: Vec<Conference>,
    /// Earlier ones, the latest first.
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
