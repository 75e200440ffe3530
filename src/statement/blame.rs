//! A role that carries the cause without the condition that it worked in.

use super::finding::{Finding, Rule};
use super::links::Links;
use super::text::Text;

/// A role and what is laid at its door. A role that is counted ("one nurse covered two rooms"),
/// asked, told or waiting is not blamed.
#[rustfmt::skip]
const BLAMES: &[&str] = &[
    "$role --2 $done", "$role --1 was|were|is|being|seemed|became too? --1 $trait", "$role 's --1 $trait",
    "$role ..1 failed|fails to --1 $mechanical", "$role --1 lacked|lacks",
];

/// What is told about a role without a reproach; the star is on the role.
#[rustfmt::skip]
const INNOCENT: &[&str] = &[
    // What went on at the same time is a circumstance.
    "while the|a|an|our --1 *$role", "while *$role",
    // To leave the room is no act on the patient.
    "*$role left at|for|early|before|after|when|#", "*$role left the room|laboratory|lab|table|ward",
];

/// The same with the role at the end; the star is on the role.
#[rustfmt::skip]
const BLAMED_BY: &[&str] = &[
    "$done --2 by a|an|the|our --1 *$role", "$done --2 by *$role",
    "due|owing|down to the *$role", "due|owing|down to *$role", "because of the *$role", "fault|mistake|error of the *$role",
];

/// States that carry their condition with them: "tired after a night on call".
const STATE_WITH_CONDITION: &str =
    "tired|distracted|rushed|unaware|unprepared|slow|confused after|by|following|from|at";

/// Finds roles that are blamed, unless another finding already asks about what they did.
pub(super) fn check(text: &Text<'_>, links: &Links, others: &[Finding]) -> Vec<Finding> {
    let asked = |tokens: std::ops::Range<usize>| {
        let words = text.tokens[tokens].iter();
        let mut asked = words.filter(|word| {
            others.iter().any(|other| other.rule != Rule::VagueWord && other.touches(&word.span))
        });
        asked.next().is_some()
    };
    let found = (0..text.tokens.len()).filter(|&at| {
        let innocent = || INNOCENT.iter().any(|pattern| text.around(at, pattern));
        if text.phrase_at(at, "$role").is_none() || links.cause_precedes(at) || innocent() {
            return false;
        }
        match text.any_at(at, BLAMES) {
            Some(end) => {
                let state = text.contains(end - 1..end, STATE_WITH_CONDITION);
                !state && !asked(at..end)
            }
            None => BLAMED_BY.iter().any(|pattern| text.around(at, pattern)) && !asked(at..at + 1),
        }
    });
    found.map(|at| finding(text, at)).collect()
}

fn finding(text: &Text<'_>, at: usize) -> Finding {
    let role = text.phrase(at..at + 1);
    let why = format!(
        "“{role}” carries the cause alone. Somebody else in that place could have come to the same point."
    );
    let ask =
        "Which condition (view, noise, hour, tool, plan, help at hand) made this the natural thing to do?";
    text.finding(Rule::RoleBlamed, at..at + 1, why, ask)
}
