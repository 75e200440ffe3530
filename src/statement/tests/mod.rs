//! Checks against the reference's table, sentences of our own, and any text at all.

mod own;
mod properties;
mod reference;

use super::{Rule, check};

/// The findings on a statement as rule and phrase, in their order.
fn found(statement: &str) -> Vec<(Rule, String)> {
    check(statement).into_iter().map(|finding| (finding.rule, finding.phrase)).collect()
}

/// Compares what was found with what a table says, for all rows at once.
fn hold(rows: &[(&str, &[(Rule, &str)])]) {
    let mut wrong = Vec::new();
    for (statement, expected) in rows {
        let found = found(statement);
        if !found.iter().map(|(rule, phrase)| (*rule, phrase.as_str())).eq(expected.iter().copied()) {
            wrong.push(format!("{statement}\n  expected {expected:?}\n  found    {found:?}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// Holds that nothing is asked about any of some statements.
fn pass(statements: &[&str]) {
    let rows: Vec<(&str, &[(Rule, &str)])> =
        statements.iter().map(|statement| (*statement, &[][..])).collect();
    hold(&rows);
}
