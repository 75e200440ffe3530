//! The demo's conferences: one that was held, with its minutes, and one to come.

use std::path::PathBuf;

use jiff::{Span, Timestamp};
use sqlx::SqliteConnection;

use crate::case::{Case, Day, Stage, store as cases};
use crate::conference::meeting::Became;
use crate::conference::{Attendee, CasePlan, Minutes, People, Plan, store};

/// The day of the conference that was held: that on which a lesson of its second case was signed.
const HELD_ON: &str = "2026-02-12";
/// When its meeting was ended.
const ENDED_AT: &str = "2026-02-12T16:04:00Z";
const TITLE: &str = "Complication conference";
const MODERATOR: &str = "head of the catheter laboratory";
/// How many cases that are ready lie before the next conference, and who tells and discusses each.
const NEXT: [(&str, &str); 2] =
    [("fellow on call", "anaesthetist"), ("fellow of the ward", "visiting cardiac surgeon")];

/// A case of the conference that was held.
struct Told {
    code: &'static str,
    presenter: &'static str,
    discussant: &'static str,
    notes: &'static str,
    /// Which of its lessons and actions, counted from 1, were written in the meeting.
    lesson: Option<usize>,
    action: Option<usize>,
}

const TOLD: [Told; 2] = [
    Told {
        code: "2025-006",
        presenter: "fellow on call",
        discussant: "lead for calcified lesions",
        notes: "The room went through the speed log. What made the drop easy to miss:\n\n- the display shows the speed, not its fall;\n- nine atherectomies in a quarter, shared by four people.\n\nTwo trained people at the table cost a list a month; the room took that until volume rises.",
        lesson: None,
        action: Some(2),
    },
    Told {
        code: "2025-007",
        presenter: "fellow of the ward",
        discussant: "interventional attending who was not there",
        notes: "At the first stop point most of the room would have taken a second view; nobody had one that was free of the spine. The talk was about the arm board and not about the wire.\n\nAfter the closure the room was divided between a new wire from above and a re-entry balloon. Both were on the shelf.\n\nThe diagonal: the question had been asked as a choice already made. Asking *who would wire this, and why* was tried at once and worked.",
        lesson: Some(3),
        action: Some(3),
    },
];

const CAME: [(Attendee, i64); 6] = [
    (Attendee::Interventional, 5),
    (Attendee::Cardiologist, 3),
    (Attendee::Fellow, 6),
    (Attendee::Anaesthetist, 1),
    (Attendee::Nurse, 4),
    (Attendee::Radiographer, 2),
];

const NOTES: &str = "The hour began seven minutes late because the room was in use. From the next time on the screen is tried ten minutes before.";

/// What became of an action of an earlier case: its case, its place there from 1, when it had been due, and
/// whether it was dropped for a reason rather than done.
const CARRIED: [(&str, usize, &str, Option<&str>); 2] = [
    ("2025-003", 3, "2025-12-15", None),
    (
        "2025-004",
        3,
        "2025-12-31",
        Some("the room kept the long curves for wide roots; the trace in its own window guards their use"),
    ),
];

/// Holds a conference in the past: roles, boxes, who came, what was said, what became of carried-over actions.
pub(super) async fn hold_one(conn: &mut SqliteConnection, now: Timestamp) -> anyhow::Result<()> {
    let (held_on, ended_at): (Day, Timestamp) = (HELD_ON.parse()?, ENDED_AT.parse()?);
    let id = store::insert(conn, held_on, &TITLE.parse()?).await?;
    set_plan(conn, id, held_on).await?;
    for told in &TOLD {
        tell(conn, id, told).await?;
    }
    let people = CAME.iter().map(|(group, number)| Ok((*group, People::try_from(*number)?)));
    let came = people.collect::<Result<_, crate::conference::PeopleError>>()?;
    store::set_attendance(conn, id, &came).await?;
    store::set_notes(conn, id, Some(&NOTES.parse()?)).await?;
    for (code, place, due, dropped) in &CARRIED {
        carry_over(conn, id, (code, *place, due, *dropped), held_on).await?;
    }
    // Its cases were presented, and what is open today was not carried over then.
    Ok(store::set_ended(conn, id, ended_at.min(now)).await?)
}

async fn set_plan(conn: &mut SqliteConnection, id: i64, held_on: Day) -> anyhow::Result<()> {
    let plan = Plan {
        held_on,
        title: TITLE.parse()?,
        length: Minutes::USUAL_LENGTH,
        carried: Some(Minutes::USUAL_CARRIED),
        moderator: Some(MODERATOR.parse()?),
    };
    Ok(store::set_plan(conn, id, &plan).await?)
}

async fn put_on(
    conn: &mut SqliteConnection,
    id: i64,
    case_id: i64,
    (presenter, discussant): (&str, &str),
) -> anyhow::Result<()> {
    store::add_case(conn, id, case_id).await?;
    let plan = CasePlan {
        time_box: Minutes::USUAL_CASE,
        presenter: Some(presenter.parse()?),
        discussant: Some(discussant.parse()?),
    };
    Ok(store::set_case_plan(conn, id, case_id, &plan).await?)
}

async fn tell(conn: &mut SqliteConnection, id: i64, told: &Told) -> anyhow::Result<()> {
    let Some(case) = cases::find(conn, told.code.parse()?).await? else {
        return Ok(());
    };
    put_on(conn, id, case.id, (told.presenter, told.discussant)).await?;
    store::set_case_notes(conn, id, case.id, Some(&told.notes.parse()?)).await?;
    if let Some(lesson) = told.lesson.and_then(|place| case.lessons.get(place - 1)) {
        store::mark_lesson(conn, id, lesson.id).await?;
    }
    if let Some(action) = told.action.and_then(|place| case.actions.get(place - 1)) {
        store::mark_action(conn, id, action.id).await?;
    }
    Ok(())
}

async fn carry_over(
    conn: &mut SqliteConnection,
    id: i64,
    (code, place, due, dropped): (&str, usize, &str, Option<&str>),
    held_on: Day,
) -> anyhow::Result<()> {
    let Some(case) = cases::find(conn, code.parse()?).await? else {
        return Ok(());
    };
    let Some(row) = case.actions.get(place - 1) else {
        return Ok(());
    };
    let became = match dropped {
        Some(why) => Became::Dropped(why.parse()?),
        None => Became::Done(row.value.done_on.unwrap_or(held_on)),
    };
    Ok(store::remark(conn, id, (row.id, due.parse()?), &became, held_on).await?)
}

/// Puts the first cases that are ready on the agenda of a conference a week from now.
pub(super) async fn announce_one(
    conn: &mut SqliteConnection,
    cases: &[(PathBuf, Case)],
    now: Timestamp,
) -> anyhow::Result<()> {
    let today = now.to_zoned(jiff::tz::TimeZone::system()).date();
    let day = Day::from(today.checked_add(Span::new().days(7))?);
    let id = store::insert(conn, day, &TITLE.parse()?).await?;
    set_plan(conn, id, day).await?;
    let ready = cases.iter().filter(|(_, case)| case.stage == Stage::Ready).filter_map(|(_, case)| case.code);
    for (code, roles) in ready.zip(NEXT) {
        if let Some(case_id) = cases::find_id(conn, code).await? {
            put_on(conn, id, case_id, roles).await?;
        }
    }
    Ok(())
}
