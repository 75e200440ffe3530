//! Minutes over a meeting that needs no database.

use super::*;
use crate::case::{ActionState, CaseCode, Harm, LessonKind, Stage, Strength};
use crate::conference::meeting::{ActionLine, Became, CarriedAction, Discussed, LessonLine, Written};
use crate::conference::{AgendaCase, Attendance, Attendee, CasePlan, Conference, Minutes, People, Plan};
use crate::document::Block;

fn of<T: std::str::FromStr<Err: std::fmt::Debug>>(text: &str) -> T {
    text.parse().unwrap()
}

fn action(what: &str, state: ActionState) -> ActionLine {
    ActionLine {
        id: 1,
        what: of(what),
        owner: of("Cath-lab lead nurse"),
        due: of("2026-09-30"),
        strength: Strength::Stronger,
        measure: None,
        state,
        done_on: None,
    }
}

fn carried(what: &str, due: &str, became: Option<Became>) -> CarriedAction {
    CarriedAction {
        code: CaseCode::new(2025, 7).unwrap(),
        action: action(what, ActionState::Open),
        due_before: of(due),
        became,
    }
}

fn inputs() -> Inputs {
    let plan =
        CasePlan { time_box: Minutes::USUAL_CASE, presenter: Some(of("fellow on call")), discussant: None };
    let case = AgendaCase {
        recorded_by: None,
        held: false,
        id: 1,
        code: CaseCode::new(2026, 4).unwrap(),
        title: of("Flow lost after a stent"),
        stage: Stage::Presented,
        plan,
    };
    let plan = Plan {
        held_on: of("2026-06-30"),
        title: of("Complication conference"),
        length: Minutes::USUAL_LENGTH,
        carried: Some(Minutes::USUAL_CARRIED),
        moderator: Some(of("head of the laboratory")),
    };
    let ended_at = Some(of("2026-06-30T16:00:00Z"));
    let conference = Conference { id: 1, plan, ended_at, cases: vec![case.clone()] };
    let lesson = |text: &str, signed| LessonLine { kind: LessonKind::Prevent, text: of(text), signed };
    let discussed = Discussed {
        case,
        mechanisms: vec![of("flow-no-reflow")],
        harm: Some(Harm::Severe),
        notes: Some(of("A second view was **asked for**.\n\n- Nobody had it ready.")),
        lessons: vec![
            Written { line: lesson("Take a second view", true), here: false },
            Written { line: lesson("Say the time aloud.", false), here: true },
        ],
        actions: vec![Written { line: action("A clock in the room", ActionState::Open), here: true }],
        votes: Vec::new(),
    };
    let people = |number: i64| People::try_from(number).unwrap();
    let attendance: Attendance =
        [(Attendee::Nurse, people(3)), (Attendee::Fellow, people(4))].into_iter().collect();
    let carried = vec![
        carried("Box of snares", "2026-05-31", Some(Became::Done(of("2026-06-12")))),
        carried(
            "Bench session",
            "2026-06-30",
            Some(Became::StillOpen { due: of("2026-10-31"), why: of("The bench is booked") }),
        ),
        carried("Alarm card", "2026-07-31", Some(Became::Dropped(of("The device does it now.")))),
        carried("Second console", "2026-08-31", Some(Became::NotReached)),
    ];
    let notes = Some(of("The room was too small."));
    let meeting = Meeting { conference, notes, attendance, carried, cases: vec![discussed] };
    let next = Some((of("2026-09-24"), of("Autumn conference")));
    Inputs { meeting, line: of("For this department alone."), next }
}

/// What a reader would read, line by line.
fn text(inputs: &Inputs) -> String {
    let document = minutes(inputs, &Vocabulary::default());
    let mut lines = vec![document.title().to_owned(), document.standing().unwrap_or_default().to_owned()];
    for block in document.blocks() {
        match block {
            Block::Heading(heading) => lines.push(format!("# {}", heading.text)),
            Block::Paragraph(phrase) | Block::Note(phrase) | Block::Caution(phrase) => {
                lines.push(phrase.to_text());
            }
            Block::List { items, .. } => lines.extend(items.iter().map(|item| item.to_text())),
            Block::Facts(facts) => {
                lines.extend(facts.iter().map(|fact| format!("{}: {}", fact.label, fact.value.to_text())));
            }
            Block::Markdown(text) => lines.push(text.clone()),
            Block::Missing(what) => lines.push(format!("Not recorded: {what}")),
            Block::Table(_) | Block::Figure(_) | Block::Picture(_) | Block::Details { .. } => {}
        }
    }
    lines.join("\n")
}

#[test]
fn minutes_say_when_who_by_role_and_what_came_of_it() {
    let text = text(&inputs());
    for line in [
        "Minutes: Complication conference, 30 June 2026",
        "For this department alone.",
        "7 people met. One case was on the agenda. One lesson and one action were written in the meeting; three carried-over actions were spoken of.",
        "Planned length: 60 minutes",
        "Moderator: head of the laboratory",
        "7 people: fellows and trainees\u{a0}4 and nurses\u{a0}3.",
        "# Case 1\nFlow lost after a stent",
        "Code: 2026-004",
        "What it was: flow-no-reflow; severe harm",
        "Time box: 25 minutes",
        "Presented by: fellow on call",
        "Discussed by: not recorded",
        "A second view was **asked for**.",
        "Prevent. Take a second view. Signed.",
        "Prevent. Say the time aloud. Not signed yet. Written in this meeting.",
        "Cath-lab lead nurse, by 30 September 2026: a clock in the room. Measure not recorded. Stronger action, open. Written in this meeting.",
        "# Notes",
        "The room was too small.",
        "24 September 2026: Autumn conference.",
        CAUTION,
    ] {
        assert!(text.contains(line), "{line}\nis not in\n{text}");
    }
    assert!(!text.contains("Draft"), "{text}");
}

#[test]
fn each_carried_over_action_says_what_became_of_it_and_whether_it_was_late() {
    let text = text(&inputs());
    for line in [
        "Box of snares. Done: in place since 12 June 2026. Case 2025-007. Owner: cath-lab lead nurse. It was overdue since 31 May 2026.",
        "Bench session. Still open, now due 31 October 2026: the bench is booked. Case 2025-007. Owner: cath-lab lead nurse. It was due 30 June 2026.",
        "Alarm card. Dropped: the device does it now.",
        "Second console. Not reached; it stays open.",
    ] {
        assert!(text.contains(line), "{line}\nis not in\n{text}");
    }
}

#[test]
fn what_is_missing_is_said_where_it_would_stand() {
    let mut inputs = inputs();
    inputs.meeting.conference.ended_at = None;
    inputs.meeting.conference.plan.moderator = None;
    inputs.meeting.attendance = Attendance::default();
    inputs.meeting.carried.clear();
    inputs.meeting.notes = None;
    inputs.next = None;
    let case = &mut inputs.meeting.cases[0];
    case.case.stage = Stage::InPreparation;
    case.mechanisms.clear();
    (case.harm, case.notes) = (None, None);
    case.lessons.clear();
    case.actions.clear();
    case.votes = vec!["Second view: 9 of 12 would take it.".to_owned()];
    let text = text(&inputs);
    for line in [
        "For this department alone. Draft: the meeting is not ended.",
        "One case was on the agenda. No lessons and no actions were written in the meeting; no carried-over actions were spoken of.",
        "Moderator: not recorded",
        "Not recorded: who came, by role",
        "No action of an earlier case was open.",
        "What it was: not recorded",
        "Not recorded: what was said",
        "Not recorded: a lesson",
        "Not recorded: an action",
        "# How the room answered\nSecond view: 9 of 12 would take it.",
        "The case is not ready yet.",
        "None is set yet.",
    ] {
        assert!(text.contains(line), "{line}\nis not in\n{text}");
    }
    assert!(!text.contains("# Notes"), "{text}");
}

#[test]
fn a_case_that_was_not_ready_was_not_presented_once_the_meeting_is_ended() {
    let mut inputs = inputs();
    inputs.meeting.cases[0].case.stage = Stage::InPreparation;
    assert!(text(&inputs).contains("The case was not ready, so it was not presented."));
}

#[test]
fn a_meeting_without_a_case_has_minutes_too() {
    let mut inputs = inputs();
    inputs.meeting.cases.clear();
    inputs.meeting.conference.cases.clear();
    assert!(text(&inputs).contains("No cases were on the agenda."));
}
