//! The forms of the meeting page: what each holds, and how it is read.

use crate::case::{
    Action, ActionState, Case, Day, Lesson, LessonKind, Paragraph, Sentences, Strength, Words, check,
};
use crate::choices;
use crate::conference::meeting::Became;
use crate::conference::{Attendance, Attendee, Notes, People};
use crate::vocabulary::Vocabulary;
use crate::web::conference::form::day_field;
use crate::web::conference::small_form::Group;
use crate::web::form::{Choice, Control, Field, FieldError, Reader, Values};

// ---- Who came ----

pub(super) fn attendance_values(attendance: &Attendance) -> Values {
    attendance.groups().fold(Values::new(), |values, (group, people)| values.with(group.slug(), people))
}

pub(super) fn attendance_groups() -> Vec<Group> {
    let fields = Attendee::ALL
        .iter()
        .map(|group| {
            let control = Control::Line { kind: "number", width: "w-short", unit: "" };
            Field::new(group.slug(), group.label(), control)
        })
        .collect();
    vec![Group { class: "people", ..Group::in_view(fields) }]
}

pub(super) fn read_attendance(values: &Values) -> Result<Attendance, Vec<FieldError>> {
    let mut reader = Reader::new(values);
    let mut came = Vec::new();
    for group in Attendee::ALL {
        match People::read(values.get(group.slug())) {
            Ok(people) => came.extend(people.map(|people| (*group, people))),
            Err(error) => reader.mark(group.slug(), error),
        }
    }
    reader.finish(Some(came.into_iter().collect()))
}

// ---- Notes apart from the cases ----

pub(super) fn notes_values(notes: Option<&Notes>) -> Values {
    Values::new().with_opt("notes", notes)
}

pub(super) fn notes_groups() -> Vec<Group> {
    let field = Field::lines("notes", "What else was said", 4)
        .hint("No names and no dates of patients. Markdown, when you like.")
        .optional();
    vec![Group::in_view(vec![field])]
}

pub(super) fn read_notes(values: &Values) -> Result<Option<Notes>, Vec<FieldError>> {
    let mut reader = Reader::new(values);
    let notes = reader.optional::<Notes>("notes");
    reader.finish(Some(notes))
}

// ---- A case: what was said, a lesson, an action ----

/// What the form of a case holds; the lesson and the action are new ones.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct OfCase {
    pub(super) notes: Option<Notes>,
    pub(super) lesson: Option<Lesson>,
    pub(super) action: Option<Action>,
}

const LESSON: [&str; 2] = ["kind", "lesson"];
const ACTION: [&str; 5] = ["action", "owner", "due", "strength", "measure"];

fn any(values: &Values, names: &[&str]) -> bool {
    names.iter().any(|name| !values.get(name).trim().is_empty())
}

/// The fields of a case; a folded group stands open when somebody typed into it.
pub(super) fn case_groups(values: &Values) -> Vec<Group> {
    let strengths = choices!(Strength);
    vec![
        Group::in_view(vec![
            Field::lines("notes", "What was said", 4)
                .hint("About processes and conditions, not persons. No names and no dates. Markdown, when you like.")
                .optional(),
        ]),
        Group::folded(
            "Write a lesson",
            any(values, &LESSON),
            vec![
                Field::words("kind", "It helps to", "no lesson", choices!(LessonKind)),
                Field::lines("lesson", "Lesson", 3).hint(
                    "One thing, said so that a colleague who was not there can do it. An attending signs it later.",
                ),
            ],
        ),
        Group::folded(
            "Write an action",
            any(values, &ACTION),
            vec![
                Field::lines("action", "What will be different", 2),
                Field::line("owner", "Owner’s role", "w-long").hint("A role, never a name: cath-lab lead nurse."),
                day_field("due", "Due", values).hint("Year, month and day, such as 2026-06-30."),
                Field::words("strength", "Strength", "no action", strengths).hint(
                    "Stronger changes equipment or place; intermediate is a checklist, redundancy or simulation; weaker is a policy, a warning or training once (RCA², National Patient Safety Foundation, 2015; from memory).",
                ),
                Field::lines("measure", "Measure", 2).hint("One number, a period and a target.").optional(),
            ],
        ),
    ]
}

pub(super) fn read_case(values: &Values) -> Result<OfCase, Vec<FieldError>> {
    let mut reader = Reader::new(values);
    let notes = reader.optional::<Notes>("notes");
    let lesson = if any(values, &LESSON) { read_lesson(&mut reader) } else { None };
    let action = if any(values, &ACTION) { read_action(&mut reader) } else { None };
    reader.finish(Some(OfCase { notes, lesson, action }))
}

fn read_lesson(reader: &mut Reader) -> Option<Lesson> {
    let kind = reader.required::<LessonKind>("kind", "Say what the lesson helps to do.");
    let text = reader.required::<Paragraph>("lesson", "Write the lesson, or choose “no lesson” above.");
    let (kind, text) = kind.zip(text)?;
    Some(Lesson {
        kind,
        text,
        event: None,
        decision: None,
        reference: None,
        recurring: None,
        signed_by: None,
        signed_on: None,
    })
}

fn read_action(reader: &mut Reader) -> Option<Action> {
    let what = reader.required::<Sentences>("action", "Say what will be different.");
    let owner = reader.required::<Words>("owner", "Say which role owns it.");
    let due = reader.required::<Day>("due", "Say when it is due.");
    let strength = reader.required::<Strength>("strength", "Say how strong it is.");
    let measure = reader.optional::<Sentences>("measure");
    let ((what, owner), (due, strength)) = what.zip(owner).zip(due.zip(strength))?;
    // What it answers and what sort of change it is are told on the case, after the meeting.
    Some(Action {
        what,
        owner,
        due,
        strength,
        kind: None,
        for_cause: None,
        for_mechanism: None,
        measure,
        target: None,
        state: ActionState::Open,
        done_on: None,
    })
}

/// The problems that the case would have with the new lesson and the new action, and has not without.
pub(super) fn problems(case: &Case, new: &OfCase, vocabulary: &Vocabulary) -> Vec<FieldError> {
    let mut with = case.clone();
    with.lessons.extend(new.lesson.clone());
    with.actions.extend(new.action.clone());
    let before = check(case, vocabulary);
    let after = check(&with, vocabulary).into_iter().filter(|problem| !before.contains(problem));
    after
        .map(|problem| {
            let name = match problem.place.list {
                "lessons" => "lesson",
                "actions" => "action",
                _ => "",
            };
            FieldError { name: name.to_owned(), message: problem.message }
        })
        .collect()
}

// ---- A carried-over action ----

const DONE: &str = "done";
const STILL_OPEN: &str = "still-open";
const DROPPED: &str = "dropped";

pub(super) fn carried_values(became: Option<&Became>) -> Values {
    match became {
        None | Some(Became::NotReached) => Values::new(),
        Some(Became::Done(day)) => Values::new().with("became", DONE).with("done-on", day),
        Some(Became::StillOpen { due, why }) => {
            Values::new().with("became", STILL_OPEN).with("due", due).with("why", why)
        }
        Some(Became::Dropped(why)) => Values::new().with("became", DROPPED).with("why", why),
    }
}

pub(super) fn carried_groups(values: &Values) -> Vec<Group> {
    let became = vec![
        Choice::new(DONE, "Done").explained("say since when it is in place"),
        Choice::new(STILL_OPEN, "Still open").explained("say when it is due now, and why it is not done yet"),
        Choice::new(DROPPED, "Dropped").explained("say why it will not be done"),
    ];
    vec![Group::in_view(vec![
        Field::new("became", "What became of it", Control::Radios(became)),
        day_field("done-on", "In place since", values).hint("When it is done."),
        day_field("due", "Due now", values).hint("When it is still open."),
        Field::lines("why", "Reason", 2)
            .hint("When it is still open or dropped. About conditions, not persons."),
    ])]
}

/// Reads what became of an action; `held_on` is the day of the conference.
pub(super) fn read_carried(values: &Values, held_on: Day, today: Day) -> Result<Became, Vec<FieldError>> {
    let mut reader = Reader::new(values);
    let given = |name: &str| !values.get(name).trim().is_empty();
    let only = |reader: &mut Reader, name: &str, sentence: &str| {
        if given(name) {
            reader.mark(name, sentence);
        }
    };
    const NO_DONE: &str = "Only an action that is done has this day. Leave it empty, or choose “Done”.";
    const NO_DUE: &str =
        "Only an action that is still open has a new day. Leave it empty, or choose “Still open”.";
    const NO_WHY: &str = "An action that is done needs no reason. Leave it empty, or choose another.";
    let became = match values.get("became") {
        DONE => {
            only(&mut reader, "due", NO_DUE);
            only(&mut reader, "why", NO_WHY);
            let day = reader.required::<Day>("done-on", "Say since when it is in place.");
            if day.is_some_and(|day| day > today) {
                reader.mark("done-on", "This day is still to come. Say since when it is in place.");
            }
            day.map(Became::Done)
        }
        STILL_OPEN => {
            only(&mut reader, "done-on", NO_DONE);
            let due = reader.required::<Day>("due", "Say when it is due now.");
            if due.is_some_and(|due| due < held_on) {
                reader.mark("due", "This is before the conference. Choose a day that can still be kept.");
            }
            let why = reader.required::<Sentences>("why", "Say in a few words why it is not done yet.");
            due.zip(why).map(|(due, why)| Became::StillOpen { due, why })
        }
        DROPPED => {
            only(&mut reader, "done-on", NO_DONE);
            only(&mut reader, "due", NO_DUE);
            reader.required::<Sentences>("why", "Say why it will not be done.").map(Became::Dropped)
        }
        _ => {
            reader.mark("became", "Say what became of it: done, still open or dropped.");
            None
        }
    };
    reader.finish(became)
}

/// An action as it stands once a meeting said this of it.
pub(super) fn as_said(action: &Action, became: &Became) -> Action {
    let action = action.clone();
    match became {
        Became::Done(day) => Action { state: ActionState::Done, done_on: Some(*day), ..action },
        Became::StillOpen { due, .. } => {
            Action { state: ActionState::Open, done_on: None, due: *due, ..action }
        }
        Became::Dropped(_) => Action { state: ActionState::Dropped, done_on: None, ..action },
        Became::NotReached => action,
    }
}
