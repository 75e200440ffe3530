//! From changes to rows: what the record was after a revision.

use std::collections::BTreeMap;

use serde_json::{Map, Value};

use super::change::{Change, Kind};

/// The name of a row: its table and its primary key.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct RowName {
    /// The table.
    pub table: String,
    /// The primary key, as a JSON array.
    pub key: String,
}

/// A row: its fields by name. A field that is not here is empty, or is younger than the row's history.
pub type Row = Map<String, Value>;

/// The rows that were there.
pub type State = BTreeMap<RowName, Row>;

/// The rows after a revision and the rows after all changes. The changes are in their order.
#[must_use]
pub fn states_at(changes: &[Change], revision: i64) -> (State, State) {
    let split = changes.partition_point(|change| change.revision <= revision);
    let mut then = State::new();
    changes[..split].iter().for_each(|change| apply(&mut then, change));
    let mut now = then.clone();
    changes[split..].iter().for_each(|change| apply(&mut now, change));
    (then, now)
}

/// Adds a change to the rows.
pub(super) fn apply(state: &mut State, change: &Change) {
    let name = RowName { table: change.table.clone(), key: change.row_key.clone() };
    if change.kind == Kind::Deleted {
        state.remove(&name);
        return;
    }
    let row = state.entry(name).or_default();
    for (field, pair) in change.fields() {
        let new = pair.get(1).cloned().unwrap_or(Value::Null);
        row.insert(field, new);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn change(revision: i64, key: &str, kind: Kind, fields: &str) -> Change {
        Change {
            id: revision,
            revision,
            case_id: None,
            table: "events".to_owned(),
            row_key: key.to_owned(),
            kind,
            fields: Some(fields.to_owned()),
            salt: None,
            erased: None,
        }
    }

    fn row(state: &State, key: &str) -> Option<String> {
        let name = RowName { table: "events".to_owned(), key: key.to_owned() };
        state.get(&name).map(|row| Value::Object(row.clone()).to_string())
    }

    #[test]
    fn rows_come_change_and_go() {
        let changes = [
            change(1, "[1]", Kind::Added, r#"{"text":[null,"a"],"kind":[null,"k"]}"#),
            change(2, "[2]", Kind::Added, r#"{"text":[null,"b"]}"#),
            change(2, "[1]", Kind::Changed, r#"{"text":["a","c"]}"#),
            change(3, "[1]", Kind::Deleted, r#"{"text":["c",null]}"#),
            change(4, "[2]", Kind::Changed, r#"{"text":["b",null]}"#),
        ];
        let (then, now) = states_at(&changes, 1);
        assert_eq!(row(&then, "[1]").unwrap(), r#"{"kind":"k","text":"a"}"#);
        assert_eq!(row(&then, "[2]"), None);
        assert_eq!(row(&now, "[1]"), None);
        assert_eq!(row(&now, "[2]").unwrap(), r#"{"text":null}"#);
        let (second, _) = states_at(&changes, 2);
        assert_eq!(row(&second, "[1]").unwrap(), r#"{"kind":"k","text":"c"}"#);
        let (before, _) = states_at(&changes, 0);
        assert!(before.is_empty());
    }
}
