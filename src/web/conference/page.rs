//! What the pages of conferences hold.

use askama::Template;

use super::links::{meeting_path, path_of, present_path};
use crate::accounts::{Role, User};
use crate::case::reading::words::{count, lower_first};
use crate::case::{Day, Sight};
use crate::conference::meeting::CarriedAction;
use crate::conference::{AgendaCase, Conference, Conferences, Confidentiality, Fit, Split, to_hold};
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

/// A conference: its plan and its agenda.
#[derive(Template)]
#[template(path = "conference/conference.html")]
pub(super) struct ConferencePage {
    frame: Frame,
    signs: bool,
    writes: bool,
    title: String,
    state: String,
    /// What is to be done before it can be held, or that it is ready; none when its meeting is over.
    to_hold: Option<String>,
    path: String,
    meeting_path: String,
    is_ended: bool,
    line: String,
    length: String,
    carried: String,
    moderator: Option<String>,
    fit: String,
    fits: bool,
    cases: Vec<AgendaPart>,
    hidden: Option<String>,
}

struct AgendaPart {
    code: String,
    title: String,
    stage: &'static str,
    mark: &'static str,
    href: String,
    present: String,
    /// Its box and its roles, in a sentence.
    plan: String,
    split: Option<String>,
    is_first: bool,
    is_last: bool,
}

impl ConferencesPage {
    pub(super) fn of(frame: Frame, conferences: &Conferences, today: Day, role: Role) -> Self {
        let signs = role.signs();
        let soonest = conferences.coming.first();
        let state = match soonest {
            Some(next) => {
                format!(
                    "The next one is on {}, {}.",
                    next.held_on().in_words(),
                    days_away(next.held_on(), today)
                )
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
            day: conference.held_on().in_words(),
            title: conference.plan.title.to_string(),
            cases: lower_first(&cases_in_words(conference.cases.len())),
        }
    }
}

impl ConferencePage {
    /// The page; `carried` are the actions that open the meeting, for who may see them.
    pub(super) fn of(
        frame: Frame,
        conference: &Conference,
        line: &Confidentiality,
        carried: Option<&[CarriedAction]>,
        (today, user): (Day, &User),
    ) -> Self {
        let (role, sight) = (user.role, Sight::of(user));
        let seen: Vec<&AgendaCase> = conference.cases.iter().filter(|case| case.is_in(sight)).collect();
        let hidden = hidden_in_words(conference.cases.len() - seen.len());
        let fit = Fit::of(conference);
        let last = seen.len().saturating_sub(1);
        let cases =
            (0_usize..).zip(seen).map(|(at, case)| AgendaPart::of(case, at == 0, at == last)).collect();
        Self {
            frame,
            signs: role.signs(),
            writes: role.writes(),
            title: conference.plan.title.to_string(),
            state: state(conference, today),
            to_hold: (role.writes() && !conference.is_ended()).then(|| what_is_missing(conference)),
            path: path_of(conference.id),
            meeting_path: meeting_path(conference.id),
            is_ended: conference.is_ended(),
            line: line.to_string(),
            length: conference.plan.length.in_words(),
            carried: carried_in_words(conference, carried),
            moderator: conference.plan.moderator.as_ref().map(ToString::to_string),
            fits: fit.fits(),
            fit: fit.in_words(),
            hidden,
            cases,
        }
    }
}

/// That there are cases which the viewer does not see yet; none when there are none.
pub(super) fn hidden_in_words(hidden: usize) -> Option<String> {
    (hidden > 0).then(|| {
        let verb = if hidden == 1 { "is" } else { "are" };
        format!(
            "{} on the agenda {verb} not presented yet. You see a case here once it was presented.",
            cases_in_words(hidden)
        )
    })
}

/// What is to be done before a conference can be held, or that it is ready.
pub(in crate::web) fn what_is_missing(conference: &Conference) -> String {
    let open = to_hold(conference);
    if open.is_empty() {
        return "Ready to be held.".to_owned();
    }
    format!("Before it can be held: {}.", open.join("; "))
}

/// The box of the carried-over actions and how many there are.
fn carried_in_words(conference: &Conference, carried: Option<&[CarriedAction]>) -> String {
    let time_box = conference
        .plan
        .carried
        .map_or_else(|| "no box".to_owned(), |minutes| format!("{} at the beginning", minutes.in_words()));
    let Some(carried) = carried.filter(|_| !conference.is_ended()) else {
        return time_box;
    };
    let overdue = carried.iter().filter(|one| one.was_overdue(conference.held_on())).count();
    let open = match carried.len() {
        0 => "none is open".to_owned(),
        1 => "one is open".to_owned(),
        some => format!("{} are open", lower_first(&count(some))),
    };
    let late = match overdue {
        0 => String::new(),
        1 => ", one of them overdue by then".to_owned(),
        some => format!(", {} of them overdue by then", lower_first(&count(some))),
    };
    format!("{time_box}; {open}{late}")
}

impl AgendaPart {
    fn of(case: &AgendaCase, is_first: bool, is_last: bool) -> Self {
        Self {
            code: case.code.to_string(),
            title: case.title.to_string(),
            stage: case.stage.label(),
            mark: if case.is_ready() { "" } else { "not ready yet" },
            href: format!("/cases/{}", case.code),
            present: present_path(case),
            plan: plan_in_words(case),
            split: Split::of(case.plan.time_box).map(Split::in_words),
            is_first,
            is_last,
        }
    }
}

/// `25 minutes. Presented by fellow on call, discussed by visiting surgeon.`
pub(super) fn plan_in_words(case: &AgendaCase) -> String {
    let plan = &case.plan;
    let presenter = plan
        .presenter
        .as_ref()
        .map_or_else(|| "Nobody is down to present it yet".to_owned(), |role| format!("Presented by {role}"));
    let discussant =
        plan.discussant.as_ref().map_or_else(String::new, |role| format!(", discussed by {role}"));
    format!("{}. {presenter}{discussant}.", plan.time_box.in_words())
}

/// `No cases`, `One case`, `Three cases`.
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
    let day = conference.held_on().in_words();
    let number = cases_in_words(conference.cases.len());
    if conference.held_on() < today || conference.is_ended() {
        let verb = if conference.cases.len() == 1 { "was" } else { "were" };
        let open = if conference.is_ended() { "" } else { " Its meeting was not ended." };
        return format!("Held on {day}. {number} {verb} on the agenda.{open}");
    }
    let waiting = conference.cases.iter().filter(|case| !case.is_ready()).count();
    let readiness = match (conference.cases.len(), waiting) {
        (0, _) => String::new(),
        (_, 0) => "; all is ready".to_owned(),
        (_, 1) => "; one is not ready yet".to_owned(),
        (_, some) => format!("; {} are not ready yet", lower_first(&count(some))),
    };
    format!("{day}, {}. {number} on the agenda{readiness}.", days_away(conference.held_on(), today))
}
