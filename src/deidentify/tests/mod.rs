//! Checks against the reference's table, prose that holds nothing, and any text at all.

mod properties;
mod prose;
mod put;
mod reference;
mod strings;

use super::{Kind, suspect};

/// Compares the kinds found with what a table says, for all rows at once.
fn hold(rows: &[(&str, &[Kind])]) {
    let mut wrong = Vec::new();
    for (text, expected) in rows {
        let found = suspect(text);
        if !found.iter().map(|suspicion| suspicion.kind).eq(expected.iter().copied()) {
            let found: Vec<_> = found.iter().map(|s| (s.kind, &text[s.span.clone()], s.confidence)).collect();
            wrong.push(format!("{text}\n  expected {expected:?}\n  found    {found:?}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
