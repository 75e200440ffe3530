//! The page on which a conference is held, as it is shown.

use askama::Template;

use super::forms::{
    attendance_groups, attendance_values, carried_groups, carried_values, case_groups, notes_groups,
    notes_values,
};
use super::{Sent, Typed};
use crate::accounts::Role;
use crate::case::reading::words::{lower_first, sentence, upper_first};
use crate::case::{Day, Fingerprint};
use crate::conference::meeting::{ActionLine, Became, CarriedAction, Discussed, LessonLine, Meeting};
use crate::conference::{Confidentiality, Minutes, Notes, Split};
use crate::export::html::markdown_to_html_below;
use crate::vocabulary::Vocabulary;
use crate::web::conference::links::{meeting_path, path_of, present_path};
use crate::web::conference::page::{hidden_in_words, plan_in_words};
use crate::web::conference::small_form::{Group, SmallForm};
use crate::web::form::{Control, Values};
use crate::web::frame::Frame;

/// The page.
#[derive(Template)]
#[template(path = "conference/meeting.html")]
pub(super) struct MeetingPage {
    frame: Frame,
    signs: bool,
    title: String,
    state: String,
    path: String,
    is_ended: bool,
    line: String,
    came: String,
    attendance: Option<SmallForm>,
    /// The box of the carried-over actions.
    opening: String,
    carried: Vec<CarriedPart>,
    cases: Vec<CasePart>,
    hidden: Option<String>,
    /// What was said apart from the cases, as HTML that is safe on a page. Where a form holds it, it is
    /// for paper alone.
    notes_said: String,
    notes: Option<SmallForm>,
}

struct CarriedPart {
    anchor: String,
    what: String,
    code: String,
    href: String,
    owner: String,
    due: String,
    overdue: bool,
    /// What the meeting said of it; empty while it did not.
    became: String,
    form: Option<SmallForm>,
    open: bool,
}

struct CasePart {
    anchor: String,
    number: usize,
    title: String,
    href: String,
    present: String,
    meta: String,
    mark: &'static str,
    /// From which minute to which, its box and its roles.
    plan: String,
    split: Option<String>,
    lessons: Vec<LinePart>,
    actions: Vec<LinePart>,
    notes_said: String,
    form: Option<SmallForm>,
}

struct LinePart {
    lead: String,
    text: String,
    foot: String,
}

/// Who looks at the page, and when.
#[derive(Clone, Copy)]
pub(super) struct Looks {
    pub(super) role: Role,
    pub(super) today: Day,
}

/// What every form of the page is made with.
struct Forms<'a> {
    path: String,
    is_ended: bool,
    typed: Option<&'a Typed>,
}

impl Forms<'_> {
    /// A form over what is saved, or as it was typed when it is the one that was sent. A meeting that is
    /// over has no other.
    fn form(
        &self,
        sent: Sent,
        (anchor, address, save): (String, String, &'static str),
        saved: Values,
        base: &Fingerprint,
        groups: impl Fn(&Values) -> Vec<Group>,
    ) -> Option<SmallForm> {
        let action = format!("{}/{address}", self.path);
        let form = |values: Values, base: &str| SmallForm {
            anchor,
            action,
            save,
            groups: groups(&values),
            values,
            errors: Vec::new(),
            base: base.to_owned(),
            meanwhile: None,
        };
        match self.typed.filter(|typed| typed.sent == sent) {
            Some(typed) => {
                // What was saved meanwhile is shown now, so saving again is over that.
                let base = if typed.meanwhile.is_some() { base.as_str() } else { typed.values.get("base") };
                Some(SmallForm {
                    errors: typed.errors.clone(),
                    meanwhile: typed.meanwhile.clone(),
                    ..form(typed.values.clone(), base)
                })
            }
            None if self.is_ended => None,
            None => Some(form(saved, base.as_str())),
        }
    }
}

impl MeetingPage {
    pub(super) fn of(
        frame: Frame,
        meeting: &Meeting,
        line: &Confidentiality,
        vocabulary: &Vocabulary,
        looks: Looks,
        typed: Option<&Typed>,
    ) -> Self {
        let conference = &meeting.conference;
        let forms = Forms { path: meeting_path(conference.id), is_ended: conference.is_ended(), typed };
        let mut begins = conference.plan.carried.map_or(0, Minutes::get);
        // A case out of sight keeps its number and its minutes.
        let cases = (1_usize..)
            .zip(&conference.cases)
            .filter_map(|(number, planned)| {
                let from = begins;
                begins += planned.plan.time_box.get();
                let case = meeting.cases.iter().find(|one| one.case.id == planned.id)?;
                Some(CasePart::of(&forms, (number, case), (from, begins), vocabulary))
            })
            .collect();
        Self {
            frame,
            signs: looks.role.signs(),
            title: conference.plan.title.to_string(),
            state: state(meeting, looks.today),
            path: path_of(conference.id),
            is_ended: conference.is_ended(),
            line: line.to_string(),
            came: came(meeting),
            attendance: forms.form(
                Sent::Attendance,
                ("attendance".to_owned(), "attendance".to_owned(), "Save who came"),
                attendance_values(&meeting.attendance),
                &Fingerprint::of(&meeting.attendance),
                |_| attendance_groups(),
            ),
            opening: conference
                .plan
                .carried
                .map_or_else(String::new, |minutes| format!("The first {}.", minutes.in_words())),
            carried: meeting.carried.iter().map(|one| CarriedPart::of(&forms, meeting, one)).collect(),
            cases,
            hidden: hidden_in_words(meeting.hidden()),
            notes_said: said(meeting.notes.as_ref(), 2),
            notes: forms.form(
                Sent::Notes,
                ("notes".to_owned(), "notes".to_owned(), "Save the notes"),
                notes_values(meeting.notes.as_ref()),
                &super::fingerprint(meeting.notes.as_ref()),
                |_| notes_groups(),
            ),
        }
    }
}

/// Notes as HTML below a heading of this level; empty when there are none.
fn said(notes: Option<&Notes>, level: u8) -> String {
    notes.map_or_else(String::new, |notes| markdown_to_html_below(notes.as_str(), level))
}

fn state(meeting: &Meeting, today: Day) -> String {
    let conference = &meeting.conference;
    let day = conference.held_on().in_words();
    if conference.is_ended() {
        return format!("{day}. The meeting is ended, and its minutes are made.");
    }
    let when = match conference.held_on().cmp(&today) {
        std::cmp::Ordering::Less => "The meeting was not ended.".to_owned(),
        std::cmp::Ordering::Equal => "The meeting is today.".to_owned(),
        std::cmp::Ordering::Greater => {
            "The meeting is still to come; the page is here to be prepared.".to_owned()
        }
    };
    format!("{day}. {when} What you save here stands in the record at once.")
}

fn came(meeting: &Meeting) -> String {
    if meeting.attendance.is_empty() {
        return "Nobody is counted yet.".to_owned();
    }
    format!("{}. {}.", meeting.attendance.total_in_words(), meeting.attendance.in_words())
}

impl CarriedPart {
    fn of(forms: &Forms, meeting: &Meeting, carried: &CarriedAction) -> Self {
        let action = &carried.action;
        let sent = Sent::Carried(action.id);
        let anchor = format!("carried-{}", action.id);
        let form = forms.form(
            sent,
            (anchor.clone(), format!("actions/{}", action.id), "Save what became of it"),
            carried_values(carried.became.as_ref()),
            &super::fingerprint_of_carried(carried),
            carried_groups,
        );
        Self {
            anchor,
            what: action.what.to_string(),
            code: carried.code.to_string(),
            href: format!("/cases/{}#actions", carried.code),
            owner: upper_first(action.owner.as_str()),
            due: carried.due_before.in_words(),
            overdue: carried.was_overdue(meeting.conference.held_on()),
            became: carried.became.as_ref().map_or_else(String::new, Became::in_words),
            open: form.as_ref().is_some_and(|form| !form.errors.is_empty()),
            form,
        }
    }
}

/// How an action stands and what was said of it, for whoever is to look at it again.
pub(super) fn stands(carried: &CarriedAction) -> String {
    let action = &carried.action;
    let stands = format!(
        "{} It is {}, due {}.",
        sentence(action.what.as_str()),
        action.state_in_words(),
        action.due.in_words()
    );
    match &carried.became {
        Some(became) => format!("{stands} Said of it: {}", lower_first(&became.in_words())),
        None => stands,
    }
}

impl CasePart {
    fn of(
        forms: &Forms,
        (number, discussed): (usize, &Discussed),
        (from, to): (u32, u32),
        vocabulary: &Vocabulary,
    ) -> Self {
        let case = &discussed.case;
        let anchor = format!("case-{}", case.code);
        let form = forms.form(
            Sent::Case(case.code),
            (anchor.clone(), format!("cases/{}", case.code), "Save this case"),
            notes_values(discussed.notes.as_ref()),
            &super::fingerprint(discussed.notes.as_ref()),
            case_groups,
        );
        let meta: Vec<String> = [case.code.to_string(), case.stage.label().to_owned()]
            .into_iter()
            .chain(discussed.mechanisms.iter().map(|slug| vocabulary.mechanism_label(slug)))
            .collect();
        Self {
            anchor,
            number,
            title: case.title.to_string(),
            href: format!("/cases/{}", case.code),
            present: present_path(case),
            meta: meta.join(" · "),
            mark: if case.is_ready() {
                ""
            } else {
                "Not ready: it stays where it is when the meeting is ended."
            },
            plan: format!("Minutes {from} to {to}: {}", plan_in_words(case)),
            split: Split::of(case.plan.time_box).map(Split::in_words),
            lessons: discussed.lessons.iter().map(|one| lesson_line(&one.line, one.here)).collect(),
            actions: discussed.actions.iter().map(|one| action_part(&one.line, one.here)).collect(),
            notes_said: said(discussed.notes.as_ref(), 3),
            form,
        }
    }
}

const HERE: &str = " Written in this meeting.";

fn lesson_line(lesson: &LessonLine, here: bool) -> LinePart {
    let signed = if lesson.signed { "Signed." } else { "Not signed yet." };
    LinePart {
        lead: format!("{}.", lesson.kind.label()),
        text: sentence(lesson.text.as_str()),
        foot: format!("{signed}{}", if here { HERE } else { "" }),
    }
}

fn action_part(action: &ActionLine, here: bool) -> LinePart {
    LinePart {
        lead: format!("{}, by {}:", upper_first(action.owner.as_str()), action.due.in_words()),
        text: sentence(&lower_first(action.what.as_str())),
        foot: format!(
            "{} action, {}.{}",
            action.strength.label(),
            action.state_in_words(),
            if here { HERE } else { "" }
        ),
    }
}
