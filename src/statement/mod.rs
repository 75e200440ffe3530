//! Advice on a causal statement (cause → effect → event) while it is typed.
//!
//! Five rules of causation, restated from RCA² (National Patient Safety Foundation 2015, from
//! memory): show the link, no vague negative words, an error has a cause, a broken procedure has a
//! cause, a failure to act counts where there was a duty. Two more are our own: no role is blamed
//! without the condition it worked in, and no hindsight.
//!
//! All of it is advice with a reason. Nothing here stops a statement from being kept: the check
//! reads words, not meaning, and the person who writes knows more. Names are not looked for.
//!
//! How it reads: `text` cuts the statement into words, `pattern` finds phrases among them,
//! `links` finds what leads to what; then each rule has its own file.

mod blame;
mod finding;
mod hindsight;
mod lapse;
mod links;
mod pattern;
mod procedure;
mod rule_one;
mod text;
mod vague;
mod word_lists;

#[cfg(test)]
mod tests;

pub use finding::{Finding, Rule};

use links::Links;
use text::Text;

/// What may be asked about a statement, in the order of its words.
///
/// A word belongs to one finding at most: where two rules meet, the more specific one speaks. Only
/// a finding about the link ([`Rule::CauseAndEffect`]) may span the whole statement, and with it others.
#[must_use]
pub fn check(text: &str) -> Vec<Finding> {
    let text = Text::read(text);
    let links = Links::find(&text);
    // From the most specific rule to the least.
    let mut found = procedure::check(&text, &links);
    found.extend(lapse::check(&text, &links));
    found.extend(hindsight::check(&text));
    found.extend(vague::check(&text, &links));
    let mut findings = one_for_each_word(found);
    let blamed = blame::check(&text, &links, &findings);
    findings = one_for_each_word(findings.into_iter().chain(blamed).collect());
    findings.extend(rule_one::check(&text, &links, &findings));
    findings.sort_by_key(|finding| (finding.span.start, std::cmp::Reverse(finding.span.end)));
    findings
}

/// Keeps the first finding of those that share a word.
fn one_for_each_word(found: Vec<Finding>) -> Vec<Finding> {
    let mut kept: Vec<Finding> = Vec::new();
    for finding in found {
        if !kept.iter().any(|other| finding.touches(&other.span)) {
            kept.push(finding);
        }
    }
    kept
}
