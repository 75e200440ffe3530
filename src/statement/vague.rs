//! Rule 2: vague negative words, questioned and not banned.

mod words;

use super::finding::{Finding, Rule};
use super::links::Links;
use super::text::Text;
use words::{GROUPS, Group, INNOCENT};

/// Finds words that judge, where they are no term of the trade.
pub(super) fn check(text: &Text<'_>, links: &Links) -> Vec<Finding> {
    let found = (0..text.tokens.len()).filter_map(|at| {
        let (end, group) = GROUPS.iter().find_map(|group| Some((text.any_at(at, group.words)?, group)))?;
        let excused = INNOCENT.iter().any(|pattern| text.around(at, pattern))
            || (group.a_cause_excuses && links.cause_precedes(at));
        (!excused).then(|| finding(text, at..end, group))
    });
    found.collect()
}

fn finding(text: &Text<'_>, tokens: std::ops::Range<usize>, group: &Group) -> Finding {
    let why = format!("“{}” {}", text.phrase(tokens.clone()), group.why);
    text.finding(Rule::VagueWord, tokens, why, group.ask)
}
