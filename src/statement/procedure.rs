//! Rule 4: a procedure that was not followed has a cause that came before it.

use super::finding::{Finding, Rule};
use super::links::Links;
use super::text::Text;

/// A departure from what was agreed.
#[rustfmt::skip]
const DEPARTURES: &[&str] = &[
    "$procedure ..3 was|were|is|are|been|being not --1 followed|used|done|applied|completed|observed|kept|adhered|read|run|performed|carried|respected|consulted|met",
    "$procedure ..3 could|can not be --1 followed|used|applied|completed|kept",
    "$procedure --1 not followed|used|applied|completed|done|met",
    "$procedure was|were|been|is|are? --1 ignored|skipped|violated|breached|bypassed|broken|disregarded|omitted|circumvented|abandoned",
    "did|does|do not --1 follow|use|apply|complete|keep|respect|observe|adhere|comply to|with? ..3 $procedure",
    "not following|adhering|completing|using to? ..3 $procedure",
    "ignored|skipped|violated|breached|bypassed|broke|disregarded|omitted|circumvented|abandoned|ignoring|skipping|violating|bypassing|breaking --3 $procedure",
    "failed|failure|failing to follow|use|apply|complete|adhere|comply to|with? --3 $procedure",
    "deviated|departed|deviation|deviations|departure|departures from --3 $procedure",
    "breach|breaches|violation|violations of --3 $procedure",
    "non-compliance|noncompliance|non-adherence|nonadherence with|to --3 $procedure",
    "against|contrary to? --2 $procedure",
    "$procedure violation|violations|breach|breaches|deviation|deviations",
];

/// Finds departures with no cause before them.
pub(super) fn check(text: &Text<'_>, links: &Links) -> Vec<Finding> {
    let mut found = Vec::new();
    let mut at = 0;
    while at < text.tokens.len() {
        let departure = text.any_at(at, DEPARTURES);
        if let Some(end) = departure.filter(|_| !links.cause_precedes(at)) {
            let why =
                "A departure is where the story of a cause begins: people leave an agreed way for a reason.";
            let ask = "What made it hard to follow, or easy to leave, at that moment: the place, the time, the tools, the way it is written?";
            found.push(text.finding(Rule::BrokenProcedure, at..end, why.to_owned(), ask));
        }
        at = departure.unwrap_or(at + 1);
    }
    found
}
