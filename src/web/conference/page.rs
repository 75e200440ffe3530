//! What the pages of conferences hold.

use askama::Template;

use super::path_of;
use crate::accounts::Role;
use crate::case::reading::words::{count, lower_first};
use crate::case::{Day, Stage, store::readers_see};
use crate::conference::{AgendaCase, Conference, Conferences};
use crate::web::frame::Frame;

/// The list of conferences.
#[derive(Template)]
#[template(path = "conference/conferences.html")]
pub(super) struct ConferencesPage {
    frame: Frame,
    signs: bool,
    state: String,
    next: Option<(String, &'static str)>,
    coming: Vec<ConferenceRow>,
    past: Vec<ConferenceRow>,
}

struct ConferenceRow {
    href: String,
    day: String,
    title: String,
    cases: String,
}

/// A conference and its agenda.
#[derive(Template)]
#[template(path = "conference/conference.html")]
pub(super) struct ConferencePage {
    frame: Frame,
    signs: bool,
    title: String,
    state: String,
    path: String,
    cases: Vec<AgendaPart>,
    hidden: Option<String>,
}

struct AgendaPart {
    code: String,
    title: String,
    stage: &'static str,
    mark: &'static str,
    href: String,
}

impl ConferencesPage {
    pub(super) fn of(frame: Frame, conferences: &Conferences, today: Day, role: Role) -> Self {
        let signs = role.signs();
        let soonest = conferences.coming.first();
        let state = match soonest {
            Some(next) => {
                format!("The next one is on {}, {}.", next.held_on.in_words(), days_away(next.held_on, today))
            }
            None if conferences.past.is_empty() => "None is set yet.".to_owned(),
            None => "None is to come.".to_owned(),
        };
        let next = match soonest {
            Some(next) => Some((path_of(next.id), "Open its agenda")),
            None if signs => Some(("/conferences/new".to_owned(), "Set a conference")),
            None => None,
        };
        let rows = |list: &[Conference]| list.iter().map(ConferenceRow::of).collect();
        Self { frame, signs, state, next, coming: rows(&conferences.coming), past: rows(&conferences.past) }
    }
}

impl ConferenceRow {
    fn of(conference: &Conference) -> Self {
        Self {
            href: path_of(conference.id),
            day: conference.held_on.in_words(),
            title: conference.title.to_string(),
            cases: lower_first(&cases_in_words(conference.cases.len())),
        }
    }
}

impl ConferencePage {
    pub(super) fn of(frame: Frame, conference: &Conference, today: Day, role: Role) -> Self {
        let sees = |case: &&AgendaCase| role.writes() || readers_see(case.stage);
        let cases: Vec<AgendaPart> = conference.cases.iter().filter(sees).map(AgendaPart::of).collect();
        let hidden = conference.cases.len() - cases.len();
        Self {
            frame,
            signs: role.signs(),
            title: conference.title.to_string(),
            state: state(conference, today),
            path: path_of(conference.id),
            hidden: (hidden > 0).then(|| {
                let verb = if hidden == 1 { "is" } else { "are" };
                format!(
                    "{} on the agenda {verb} not presented yet. You see a case here once it was presented.",
                    cases_in_words(hidden)
                )
            }),
            cases,
        }
    }
}

impl AgendaPart {
    fn of(case: &AgendaCase) -> Self {
        Self {
            code: case.code.to_string(),
            title: case.title.to_string(),
            stage: case.stage.label(),
            mark: match case.stage {
                Stage::Recorded | Stage::InPreparation => "not ready yet",
                Stage::Ready | Stage::Presented | Stage::Closed => "",
            },
            href: format!("/cases/{}", case.code),
        }
    }
}

/// `No case`, `One case`, `Three cases`.
fn cases_in_words(number: usize) -> String {
    let noun = if number == 1 { "case" } else { "cases" };
    format!("{} {noun}", count(number))
}

/// `in 8 days`, `tomorrow`, `today`; empty for a day that is past.
pub(in crate::web) fn days_away(day: Day, today: Day) -> String {
    let days = (day.date() - today.date()).get_days();
    match days {
        0 => "today".to_owned(),
        1 => "tomorrow".to_owned(),
        2.. => format!("in {days} days"),
        _ => String::new(),
    }
}

fn state(conference: &Conference, today: Day) -> String {
    let day = conference.held_on.in_words();
    let number = cases_in_words(conference.cases.len());
    if conference.held_on < today {
        let verb = if conference.cases.len() == 1 { "was" } else { "were" };
        return format!("Held on {day}. {number} {verb} on the agenda.");
    }
    let waiting = conference
        .cases
        .iter()
        .filter(|case| matches!(case.stage, Stage::Recorded | Stage::InPreparation))
        .count();
    let readiness = match (conference.cases.len(), waiting) {
        (0, _) => String::new(),
        (_, 0) => "; all is ready".to_owned(),
        (_, 1) => "; one is not ready yet".to_owned(),
        (_, some) => format!("; {} are not ready yet", lower_first(&count(some))),
    };
    format!("{day}, {}. {number} on the agenda{readiness}.", days_away(conference.held_on, today))
}
