//! What a revision changed in a case, in words.

mod words;

use std::collections::BTreeMap;

use serde_json::Value;

use self::words::{SILENT, in_words, label, noun};
use crate::history::{Change, Kind, RowName, Shown, State, Tracked, states_at};
use crate::vocabulary::Vocabulary;

/// A field that changed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FieldChange {
    /// The field.
    pub label: String,
    /// What it held; empty for nothing.
    pub old: String,
    /// What it holds since; empty for nothing.
    pub new: String,
}

/// A row that changed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RowChange {
    /// What it is, such as `Event e3`.
    pub row: String,
    /// What became of it.
    pub became: &'static str,
    /// Its fields that changed.
    pub fields: Vec<FieldChange>,
    /// Whether what it held was purged.
    pub purged: bool,
}

/// Whether a pair of values marks a row as taken out or put back.
fn became(kind: Kind, removed: Option<&(Value, Value)>) -> &'static str {
    match (kind, removed) {
        (Kind::Added, _) => "added",
        (Kind::Deleted, _) => "deleted",
        (Kind::Changed, Some((old, new))) if old.is_null() && !new.is_null() => "taken out",
        (Kind::Changed, Some((old, new))) if !old.is_null() && new.is_null() => "put back",
        (Kind::Changed, _) => "changed",
    }
}

/// Old and new values by field.
type Pairs = BTreeMap<String, (Value, Value)>;

/// One row's changes of a revision taken together: written anew with the same content, it did not change.
fn together(changes: &[&Change]) -> Option<(Kind, Pairs)> {
    let mut fields = Pairs::new();
    for change in changes {
        for (field, pair) in change.fields() {
            let side = |place: usize| pair.get(place).cloned().unwrap_or(Value::Null);
            fields.entry(field).and_modify(|(_, new)| *new = side(1)).or_insert_with(|| (side(0), side(1)));
        }
    }
    fields.retain(|_, (old, new)| old != new);
    let (first, last) = (changes.first()?.kind, changes.last()?.kind);
    let kind = match (first, last) {
        (Kind::Added, Kind::Deleted) => return None,
        (Kind::Added, _) => Kind::Added,
        (_, Kind::Deleted) => Kind::Deleted,
        _ => Kind::Changed,
    };
    let purged = changes.iter().any(|change| change.erased.is_some());
    (purged || !fields.is_empty()).then_some((kind, fields))
}

/// What each revision changed in a case, by revision: of all its changes, in their order. Closed judgements and
/// what only some may see are left out.
#[must_use]
pub fn told(changes: &[Change], vocabulary: &Vocabulary) -> BTreeMap<i64, Vec<RowChange>> {
    let (_, rows) = states_at(changes, i64::MAX);
    let shown = |change: &&Change| {
        Tracked::find(&change.table).is_some_and(|tracked| tracked.shown != Shown::Nowhere)
    };
    let mut order: Vec<(i64, &str, &str)> = Vec::new();
    let mut by_row: BTreeMap<(i64, &str, &str), Vec<&Change>> = BTreeMap::new();
    for change in changes.iter().filter(shown) {
        let name = (change.revision, change.table.as_str(), change.row_key.as_str());
        let held = by_row.entry(name).or_default();
        if held.is_empty() {
            order.push(name);
        }
        held.push(change);
    }
    let mut told: BTreeMap<i64, Vec<RowChange>> = BTreeMap::new();
    for name in order {
        if let Some(row) = row_change(&by_row[&name], &rows, vocabulary) {
            told.entry(name.0).or_default().push(row);
        }
    }
    told
}

fn row_change(changes: &[&Change], rows: &State, vocabulary: &Vocabulary) -> Option<RowChange> {
    let (kind, fields) = together(changes)?;
    let first = changes.first()?;
    let key = fields.get("key").map(|(old, new)| if new.is_null() { old.clone() } else { new.clone() });
    let held = rows
        .get(&RowName { table: first.table.clone(), key: first.row_key.clone() })
        .and_then(|row| row.get("key").cloned());
    let name = key.or(held).and_then(|key| key.as_str().map(ToOwned::to_owned));
    let purged = changes.iter().any(|change| change.erased.is_some());
    let became = became(kind, fields.get("removed_at"));
    let fields: Vec<FieldChange> = fields
        .iter()
        .filter(|(column, _)| !SILENT.contains(&column.as_str()) && column.as_str() != "key")
        // The month of a harm is that of its case.
        .filter(|(column, _)| first.table != "complications" || column.as_str() != "procedure_month")
        .map(|(column, (old, new))| FieldChange {
            label: label(column),
            old: in_words((&first.table, column), old, rows, vocabulary),
            new: in_words((&first.table, column), new, rows, vocabulary),
        })
        .collect();
    let says_something = purged || became != "changed" || !fields.is_empty();
    says_something.then(|| RowChange {
        row: name
            .map_or_else(|| noun(&first.table).to_owned(), |key| format!("{} {key}", noun(&first.table))),
        became,
        fields,
        purged,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn change(id: i64, revision: i64, table: &str, key: &str, kind: Kind, fields: &str) -> Change {
        Change {
            id,
            revision,
            case_id: Some(1),
            table: table.to_owned(),
            row_key: key.to_owned(),
            kind,
            fields: Some(fields.to_owned()),
            salt: None,
            erased: None,
        }
    }

    #[test]
    fn a_change_is_told_with_old_and_new() {
        let changes = [
            change(
                1,
                1,
                "events",
                "[4]",
                Kind::Added,
                r#"{"id":[null,4],"key":[null,"e1"],"text":[null,"a"]}"#,
            ),
            change(2, 2, "events", "[4]", Kind::Changed, r#"{"text":["a","b"],"offset_seconds":[0,90]}"#),
        ];
        let told = told(&changes, &Vocabulary::default());
        assert_eq!(told[&1][0].became, "added");
        let row = &told[&2][0];
        assert_eq!((row.row.as_str(), row.became), ("Event e1", "changed"));
        let time = row.fields.iter().find(|field| field.label == "time").unwrap();
        assert_eq!((time.old.as_str(), time.new.as_str()), ("+0:00", "+1:30"));
        let text = row.fields.iter().find(|field| field.label == "text").unwrap();
        assert_eq!((text.old.as_str(), text.new.as_str()), ("a", "b"));
    }

    #[test]
    fn a_list_written_anew_with_the_same_content_did_not_change() {
        let held = r#"{"case_id":[null,1],"position":[null,0],"access":[null,"radial"]}"#;
        let gone = r#"{"case_id":[1,null],"position":[0,null],"access":["radial",null]}"#;
        let other = r#"{"case_id":[null,1],"position":[null,0],"access":[null,"femoral"]}"#;
        let changes = [
            change(1, 1, "case_accesses", "[1,0]", Kind::Added, held),
            change(2, 2, "case_accesses", "[1,0]", Kind::Deleted, gone),
            change(3, 2, "case_accesses", "[1,0]", Kind::Added, held),
            change(4, 3, "case_accesses", "[1,0]", Kind::Deleted, gone),
            change(5, 3, "case_accesses", "[1,0]", Kind::Added, other),
        ];
        let told = told(&changes, &Vocabulary::default());
        assert!(!told.contains_key(&2));
        assert_eq!(told[&3][0].became, "changed");
        assert_eq!(told[&3][0].fields[0].old, "Radial");
        assert_eq!(told[&3][0].fields[0].new, "Femoral");
    }

    #[test]
    fn taking_out_and_putting_back_are_named() {
        let changes = [
            change(1, 1, "lesions", "[1]", Kind::Changed, r#"{"removed_at":[null,"2026-01-01"]}"#),
            change(2, 2, "lesions", "[1]", Kind::Changed, r#"{"removed_at":["2026-01-01",null]}"#),
        ];
        let told = told(&changes, &Vocabulary::default());
        assert_eq!(told[&1][0].became, "taken out");
        assert_eq!(told[&2][0].became, "put back");
    }

    #[test]
    fn pointers_are_told_by_the_key_of_their_row() {
        let changes = [
            change(1, 1, "events", "[4]", Kind::Added, r#"{"key":[null,"e7"]}"#),
            change(2, 2, "complications", "[1]", Kind::Changed, r#"{"began_event":[null,4]}"#),
        ];
        let told = told(&changes, &Vocabulary::default());
        assert_eq!(
            told[&2][0].fields[0],
            FieldChange { label: "began".to_owned(), old: String::new(), new: "e7".to_owned() }
        );
    }

    #[test]
    fn the_trade_s_words_are_told_as_it_says_them_and_a_text_is_told_as_it_was_typed() {
        let changes = [change(
            1,
            1,
            "events",
            "[1]",
            Kind::Added,
            r#"{"kind":[null,"flow"],"segment":[null,"lad-mid"],"text":[null,"lad-mid"]}"#,
        )];
        let told = told(&changes, &Vocabulary::default());
        let of = |label: &str| &told[&1][0].fields.iter().find(|field| field.label == label).unwrap().new;
        assert_eq!((of("kind").as_str(), of("text").as_str()), ("Flow change", "lad-mid"));
        assert_ne!(of("segment"), "lad-mid");
    }

    #[test]
    fn closed_judgements_and_operators_are_told_nowhere() {
        let changes = [
            change(1, 1, "case_judgements", "[1,2,\"own\"]", Kind::Added, r#"{"care":[null,3]}"#),
            change(2, 1, "option_judgements", "[1,2]", Kind::Added, r#"{"option_text":[null,"x"]}"#),
            change(3, 1, "case_operators", "[1]", Kind::Added, r#"{"operator_id":[null,3]}"#),
        ];
        assert!(told(&changes, &Vocabulary::default()).is_empty());
    }

    #[test]
    fn every_table_that_is_shown_has_a_noun() {
        for tracked in crate::history::TRACKED.iter().filter(|tracked| tracked.shown != Shown::Nowhere) {
            assert!(words::NOUNS.iter().any(|(table, _)| *table == tracked.table), "{}", tracked.table);
        }
    }
}
