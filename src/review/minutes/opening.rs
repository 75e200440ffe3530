//! When it was, how long it was planned, who came, and what comes next.

use super::Writing;
use crate::case::reading::words::{count, join, lower_first};
use crate::conference::meeting::Became;
use crate::conference::{Attendee, People};
use crate::document::{Document, Fact};

impl Writing<'_> {
    /// What the meeting came to, in a sentence or two.
    pub(super) fn opening(&self, document: &mut Document) {
        let plan = &self.meeting.conference.plan;
        let cases = self.meeting.conference.cases.len();
        let came = if self.meeting.attendance.is_empty() {
            String::new()
        } else {
            format!("{} met. ", self.meeting.attendance.total_in_words())
        };
        document.paragraph(format!(
            "{came}{} {} on the agenda. {}",
            things(cases, "case"),
            if cases == 1 { "was" } else { "were" },
            self.what_came_of_it()
        ));
        let hidden = self.meeting.hidden();
        if hidden > 0 {
            document.paragraph(format!(
                "{} not presented yet and {} left out here.",
                match hidden {
                    1 => "One case is".to_owned(),
                    some => format!("{} cases are", count(some)),
                },
                if hidden == 1 { "is" } else { "are" }
            ));
        }
        document.facts([
            Fact::new("Day", plan.held_on.in_words()),
            Fact::new("Planned length", plan.length.in_words()),
            Fact::or_missing("Moderator", plan.moderator.as_ref().map(|role| role.as_str())),
        ]);
    }

    fn what_came_of_it(&self) -> String {
        let lessons: usize =
            self.meeting.cases.iter().map(|case| case.lessons.iter().filter(|one| one.here).count()).sum();
        let actions: usize =
            self.meeting.cases.iter().map(|case| case.actions.iter().filter(|one| one.here).count()).sum();
        let spoken = self
            .meeting
            .carried
            .iter()
            .filter(|one| one.became.as_ref().is_some_and(|became| *became != Became::NotReached))
            .count();
        format!(
            "{} and {} were written in the meeting; {} {} spoken of.",
            things(lessons, "lesson"),
            lower_first(&things(actions, "action")),
            lower_first(&things(spoken, "carried-over action")),
            if spoken == 1 { "was" } else { "were" }
        )
    }

    pub(super) fn attendance(&self, document: &mut Document) {
        document.section("Attendance");
        if self.meeting.attendance.is_empty() {
            document.missing("who came, by role");
            return;
        }
        let groups: Vec<String> = self.meeting.attendance.groups().map(group).collect();
        document.paragraph(format!("{}: {}.", self.meeting.attendance.total_in_words(), join(&groups)));
    }

    pub(super) fn notes(&self, document: &mut Document) {
        if let Some(notes) = &self.meeting.notes {
            document.section("Notes").markdown(notes.as_str());
        }
    }

    pub(super) fn next(&self, document: &mut Document) {
        document.section("Next conference");
        match self.next {
            Some((day, title)) => document.paragraph(format!("{}: {title}.", day.in_words())),
            None => document.paragraph("None is set yet."),
        };
    }
}

/// `nurses 4`: the group and its number.
fn group((group, people): (Attendee, People)) -> String {
    format!("{}\u{a0}{people}", lower_first(group.label()))
}

/// `No lessons`, `One lesson`, `Three lessons`.
fn things(number: usize, one: &str) -> String {
    let s = if number == 1 { "" } else { "s" };
    format!("{} {one}{s}", count(number))
}
