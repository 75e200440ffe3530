//! Earlier versions of a case: its rows as they were after a revision.

use std::collections::{BTreeMap, BTreeSet};

use sqlx::SqliteConnection;

use super::rows::touch;
use crate::database::StoreError;
use crate::history::{
    Change, Row, RowName, Shown, State, TRACKED, TablePlan, Tracked, bring, let_foreign_keys_wait, states_at,
    store,
};

/// What stays as it is when an earlier version comes back: who recorded the case and how far it has come.
const STAYS: &[&str] = &[
    "code_year",
    "code_number",
    "stage",
    "recorded_by",
    "created_at",
    "updated_at",
    "withdrawn_at",
    "withdrawn_by",
    "withdrawn_because",
];

/// The tables of what a version of a case is made of.
pub fn tables_of() -> impl DoubleEndedIterator<Item = &'static Tracked> {
    TRACKED.iter().filter(|tracked| tracked.shown == Shown::Content)
}

/// The rows without what stays.
fn without_what_stays(mut rows: State) -> State {
    for (name, row) in &mut rows {
        if name.table == "case_records" {
            row.retain(|field, _| !STAYS.contains(&field.as_str()));
        }
        // Whether a field was never filled or was emptied again makes no version.
        row.retain(|_, value| !value.is_null());
    }
    rows
}

fn is_removed(row: &Row) -> bool {
    row.contains_key("removed_at")
}

/// What has to be done, table by table, to come from some rows to others; only tables with something to do.
fn plans(then: &State, now: &State) -> BTreeMap<String, TablePlan> {
    let names: BTreeSet<&RowName> = then.keys().chain(now.keys()).collect();
    let mut plans: BTreeMap<String, TablePlan> = BTreeMap::new();
    for name in names {
        let (before, after) = (now.get(name), then.get(name));
        let mut found = TablePlan::default();
        match (after, before) {
            (Some(row), None) => found.insert.push(row.clone()),
            (Some(row), Some(other)) if is_removed(row) && is_removed(other) => continue,
            (Some(row), Some(other)) if row != other => found.update.push(row.clone()),
            (None, Some(other)) if !is_removed(other) => found.delete.push(name.key.clone()),
            _ => continue,
        }
        let plan = plans.entry(name.table.clone()).or_default();
        plan.insert.extend(found.insert);
        plan.update.extend(found.update);
        plan.delete.extend(found.delete);
    }
    plans
}

/// Brings a case back to what it was after a revision: its head, and the rows of its lists. Its stage, its
/// lessons, actions and judgements, and what the room answered, stay. Says whether anything changed.
///
/// # Errors
/// What the database says.
pub async fn restore(
    conn: &mut SqliteConnection,
    case_id: i64,
    revision: i64,
    now: jiff::Timestamp,
) -> Result<bool, StoreError> {
    let mut changes: Vec<Change> = store::changes_of_case(conn, case_id).await?;
    changes.retain(|change| tables_of().any(|tracked| tracked.table == change.table));
    let (then, is) = states_at(&changes, revision);
    let plans = plans(&without_what_stays(then), &without_what_stays(is));
    if plans.is_empty() {
        return Ok(false);
    }
    let_foreign_keys_wait(conn).await?;
    let at = (STAYS, now.to_string());
    let empty = TablePlan::default();
    // What points to a row goes before the row goes, and comes after it has come.
    for tracked in tables_of().collect::<Vec<_>>().into_iter().rev() {
        let plan = plans.get(tracked.table).unwrap_or(&empty);
        let gone = TablePlan { delete: plan.delete.clone(), ..TablePlan::default() };
        bring(conn, tracked, &gone, (at.0, &at.1)).await?;
    }
    for tracked in tables_of() {
        if let Some(plan) = plans.get(tracked.table) {
            let there =
                TablePlan { insert: plan.insert.clone(), update: plan.update.clone(), delete: Vec::new() };
            bring(conn, tracked, &there, (at.0, &at.1)).await?;
        }
    }
    touch(conn, case_id, now).await?;
    Ok(true)
}
