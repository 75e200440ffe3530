//! How a case moves from recorded to closed, and the one thing to do next.

use super::readiness::{Check, Section, missing};
use crate::case::reading::words::{count, join, lower_first};
use crate::case::{ActionState, Stage, StoredCase};

/// At most so many missing things are named in a sentence.
const NAMED: usize = 3;

/// A move from the case's stage to another.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Move {
    /// Where to.
    pub to: Stage,
    /// What the button says.
    pub label: &'static str,
    /// A step back.
    pub back: bool,
    /// Whether it may be made; else a sentence that says what stands in the way.
    pub allowed: Result<(), String>,
}

/// What the case page says first: the state of the case and the one thing to do next.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NextStep {
    /// The state, in a sentence or two.
    pub sentence: String,
    /// What the button says.
    pub label: String,
    /// Where it leads, behind the address of the case: `#lessons`, `/summary`.
    pub href: String,
    /// The step is a move to this stage rather than a place to go.
    pub moves_to: Option<Stage>,
}

/// The moves that lead on and back from the case's stage, the one on first.
///
/// `signs` says whether the person who looks may sign lessons and close cases.
#[must_use]
pub fn moves(case: &StoredCase, signs: bool) -> Vec<Move> {
    let on = |to, label, allowed| Move { to, label, back: false, allowed };
    let back = |to, label, allowed| Move { to, label, back: true, allowed };
    match case.head.stage {
        Stage::Recorded => vec![on(Stage::InPreparation, "Start preparing", Ok(()))],
        Stage::InPreparation => vec![
            on(Stage::Ready, "Mark as ready", nothing_missing(case)),
            back(Stage::Recorded, "Back to recorded", Ok(())),
        ],
        Stage::Ready => vec![
            on(Stage::Presented, "Mark as presented", nothing_missing(case)),
            back(Stage::InPreparation, "Back to preparation", Ok(())),
        ],
        Stage::Presented => vec![
            on(Stage::Closed, "Close the case", may_close(case, signs)),
            back(Stage::Ready, "Back to ready", Ok(())),
        ],
        Stage::Closed => {
            let allowed = if signs { Ok(()) } else { Err("An attending reopens a closed case.".to_owned()) };
            vec![back(Stage::Presented, "Reopen the case", allowed)]
        }
    }
}

/// Whether the case may move to a stage.
///
/// # Errors
/// A sentence that says what stands in the way.
pub fn allowed(case: &StoredCase, to: Stage, signs: bool) -> Result<(), String> {
    moves(case, signs).into_iter().find(|step| step.to == to).map_or_else(
        || {
            let (from, to) = (case.head.stage.label().to_lowercase(), to.label().to_lowercase());
            Err(format!("This case is {from}. A case goes one step at a time, so it cannot become {to} now."))
        },
        |step| step.allowed,
    )
}

/// The state of the case, and the one thing to do next.
///
/// `signs` says whether the person who looks may sign lessons and close cases.
#[must_use]
pub fn next_step(case: &StoredCase, signs: bool) -> NextStep {
    let open = missing(case);
    match case.head.stage {
        Stage::Recorded => NextStep {
            sentence: "Recorded. It counts in the rates from now on; all else can come later, in any order."
                .to_owned(),
            label: "Start preparing".to_owned(),
            href: "#stage".to_owned(),
            moves_to: Some(Stage::InPreparation),
        },
        Stage::InPreparation if open.is_empty() => {
            move_to("In preparation, and nothing is missing.", "Mark as ready", Stage::Ready)
        }
        Stage::InPreparation => {
            let sentence = format!("In preparation. {}", what_is_missing(&open, "before it is ready"));
            first_to_do(sentence, &open, signs)
        }
        Stage::Ready if open.is_empty() => move_to(
            "Ready. After the conference, mark it as presented.",
            "Mark as presented",
            Stage::Presented,
        ),
        Stage::Ready => {
            let sentence = format!(
                "Ready, but no longer complete. {}",
                what_is_missing(&open, "before it is presented")
            );
            first_to_do(sentence, &open, signs)
        }
        Stage::Presented => after_the_conference(case, signs),
        Stage::Closed => read_summary("Closed.".to_owned()),
    }
}

fn nothing_missing(case: &StoredCase) -> Result<(), String> {
    let open = missing(case);
    if open.is_empty() { Ok(()) } else { Err(what_is_missing(&open, "first")) }
}

fn may_close(case: &StoredCase, signs: bool) -> Result<(), String> {
    match open_actions(case) {
        0 if signs => Ok(()),
        0 => Err("An attending closes a case.".to_owned()),
        open => Err(format!("{} still open. A case is closed when its actions are done.", actions_are(open))),
    }
}

fn open_actions(case: &StoredCase) -> usize {
    case.actions.iter().filter(|row| row.value.state == ActionState::Open).count()
}

fn actions_are(number: usize) -> String {
    let (noun, verb) = if number == 1 { ("action", "is") } else { ("actions", "are") };
    format!("{} {noun} {verb}", count(number))
}

/// `Two things are missing before it is ready: what time zero is, and a lesson.`
fn what_is_missing(open: &[Check], when: &str) -> String {
    let number = open.len();
    let (noun, verb) = if number == 1 { ("thing", "is") } else { ("things", "are") };
    let mut named: Vec<String> = open.iter().take(NAMED).map(|check| lower_first(&check.text)).collect();
    if number > NAMED {
        named.push(format!("{} more", lower_first(&count(number - NAMED))));
    }
    // Some names have an "and" of their own, so the parts are told apart by semicolons then.
    let parts = if named.iter().any(|name| name.contains(" and ") || name.contains(',')) {
        named.join("; ")
    } else {
        join(&named)
    };
    format!("{} {noun} {verb} missing {when}: {parts}.", count(number))
}

/// Leads to the first missing thing that the person who looks can do something about.
fn first_to_do(sentence: String, open: &[Check], signs: bool) -> NextStep {
    match open.iter().find(|check| signs || !check.takes_signer) {
        Some(check) => NextStep { sentence, label: check.ask.to_owned(), href: check.href(), moves_to: None },
        None => read_summary(format!("{sentence} The rest is an attending's to do.")),
    }
}

fn after_the_conference(case: &StoredCase, signs: bool) -> NextStep {
    let open = open_actions(case);
    if open > 0 {
        let due = case
            .actions
            .iter()
            .filter(|row| row.value.state == ActionState::Open)
            .map(|row| row.value.due)
            .min()
            .map_or_else(String::new, |day| format!("; the first is due on {}", day.in_words()));
        return NextStep {
            sentence: format!("Presented. {} open{due}.", actions_are(open)),
            label: "Follow the actions".to_owned(),
            href: format!("#{}", Section::Actions.anchor()),
            moves_to: None,
        };
    }
    let state = if case.actions.is_empty() {
        "Presented, without actions."
    } else {
        "Presented, and no action is open."
    };
    if signs {
        move_to(state, "Close the case", Stage::Closed)
    } else {
        read_summary(format!("{state} An attending closes it."))
    }
}

fn move_to(sentence: &str, label: &str, to: Stage) -> NextStep {
    NextStep {
        sentence: sentence.to_owned(),
        label: label.to_owned(),
        href: "#stage".to_owned(),
        moves_to: Some(to),
    }
}

fn read_summary(sentence: String) -> NextStep {
    NextStep {
        sentence,
        label: "Read the teaching summary".to_owned(),
        href: "/summary".to_owned(),
        moves_to: None,
    }
}
