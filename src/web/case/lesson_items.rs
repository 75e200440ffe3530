//! The lessons of a case with what hangs on them: what they rest on, the versions before, the other cases
//! that taught the same.

use super::items::{Button, Folded, Item, Link, Version};
use crate::accounts::Role;
use crate::case::reading::Reading;
use crate::case::reading::words::count;
use crate::case::recurring::one_of;
use crate::case::store::{EarlierLesson, Joined};
use crate::case::{Day, Fingerprint, Lesson, Row, StoredCase, Words};

/// What the lessons of a case do not hold themselves.
#[derive(Debug, Default)]
pub(super) struct LessonNotes {
    pub(super) earlier: Vec<EarlierLesson>,
    pub(super) joined: Vec<Joined>,
}

/// Who stands behind a lesson, a sentence.
pub(in crate::web) fn signed_by(name: &Words, on: Day) -> String {
    format!("Signed by {name}, {}.", on.in_words())
}

pub(super) fn lesson_items(
    case: &StoredCase,
    reading: &Reading,
    notes: &LessonNotes,
    role: Role,
) -> Vec<Item> {
    let signs = role.signs();
    case.lessons
        .iter()
        .map(|row| {
            let lesson = &row.value;
            let signed = lesson.signed_by.as_ref().zip(lesson.signed_on);
            Item {
                anchor: format!("lesson-{}", row.id),
                meta: comes_from(case, reading, lesson),
                text: lesson.text.to_string(),
                foot: match &signed {
                    Some((name, day)) => signed_by(name, *day),
                    None if signs => "Not signed yet.".to_owned(),
                    None => "Not signed yet. An attending signs it.".to_owned(),
                },
                button: (signed.is_none() && signs).then(|| Button {
                    action: format!("/cases/{}/lessons/{}/sign", case.code, row.id),
                    label: "Sign it",
                    name: "base",
                    value: Fingerprint::of(lesson).as_str().to_owned(),
                }),
                editable: signed.is_none() || signs,
                links: links(case, row, notes, role),
                folded: earlier_versions(notes, row.id),
                ..Item::new(row.id, lesson.kind.label())
            }
        })
        .collect()
}

/// The event that it comes from, and the decision that it is about.
fn comes_from(case: &StoredCase, reading: &Reading, lesson: &Lesson) -> String {
    let event = lesson.event.as_ref().and_then(|key| reading.number(key));
    let decision =
        lesson.decision.as_ref().and_then(|key| case.decisions.iter().find(|row| row.value.key == *key));
    let parts = [
        event.map(|number| format!("From event {number}")),
        decision.map(|row| format!("About the decision at {}", row.value.at)),
    ];
    parts.into_iter().flatten().collect::<Vec<_>>().join(" · ")
}

fn links(case: &StoredCase, row: &Row<Lesson>, notes: &LessonNotes, role: Role) -> Vec<Link> {
    let joined = notes.joined.iter().find(|joined| joined.lesson == row.id);
    let mut links = Vec::new();
    if let Some(reference) = &row.value.reference {
        links.push(Link::new(reference.address(), reference.to_string()));
    }
    if let Some(joined) = joined {
        links.push(Link::new(format!("/lessons/recurring/{}", joined.recurring), one_of(joined.cases)));
    }
    if role.writes() {
        let label = if joined.is_some() { "Change what it is joined with" } else { "Join with other cases" };
        links.push(Link::new(format!("/cases/{}/lessons/{}/recurring", case.code, row.id), label));
    }
    links
}

/// The lesson as it was signed before its words changed, the last one first.
fn earlier_versions(notes: &LessonNotes, id: i64) -> Option<Folded> {
    let versions: Vec<Version> = notes
        .earlier
        .iter()
        .rev()
        .filter(|earlier| earlier.lesson == id)
        .map(|earlier| Version {
            text: format!("{}. {}", earlier.kind.label(), earlier.text),
            foot: format!(
                "Version {}, signed by {}, {}.{}",
                earlier.version,
                earlier.signed_by,
                earlier.signed_on.in_words(),
                earlier.reference.as_ref().map(|reference| format!(" {reference}")).unwrap_or_default(),
            ),
        })
        .collect();
    let summary = match versions.len() {
        0 => return None,
        1 => "An earlier version".to_owned(),
        more => format!("{} earlier versions", count(more)),
    };
    Some(Folded { summary, versions })
}
