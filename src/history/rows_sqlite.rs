//! Rows as objects, read and written by the names of their columns: what only SQLite knows.

use std::collections::BTreeMap;

use sqlx::{AssertSqlSafe, SqliteConnection};

use super::fold::Row;
use super::tracked::Tracked;
use super::triggers_sqlite::columns;

/// Every row of a table by its primary key, with the columns that the history keeps.
pub(super) async fn rows(
    conn: &mut SqliteConnection,
    tracked: &Tracked,
) -> Result<Vec<(String, Row)>, sqlx::Error> {
    let columns = columns(conn, tracked).await?;
    let fields: Vec<String> = columns.kept.iter().map(|name| format!("'{name}', {name}")).collect();
    let sql = format!(
        "select json_array({}), json_object({}) from {} order by 1",
        columns.key.join(", "),
        fields.join(", "),
        tracked.table
    );
    let rows: Vec<(String, String)> = sqlx::query_as(AssertSqlSafe(sql)).fetch_all(conn).await?;
    Ok(rows.into_iter().map(|(key, text)| (key, serde_json::from_str(&text).unwrap_or_default())).collect())
}

/// What has to be done in a table so that it holds other rows.
#[derive(Debug, Default)]
pub struct TablePlan {
    /// Rows to be put in.
    pub insert: Vec<Row>,
    /// Rows to be written over, found by their primary key.
    pub update: Vec<Row>,
    /// Primary keys of rows to be taken away, as JSON arrays.
    pub delete: Vec<String>,
}

/// Lets foreign keys wait until the transaction ends, so that rows may come in any order.
///
/// # Errors
/// What the database says.
pub async fn let_foreign_keys_wait(conn: &mut SqliteConnection) -> Result<(), sqlx::Error> {
    sqlx::query("pragma defer_foreign_keys = on").execute(conn).await?;
    Ok(())
}

/// Brings a table to a plan. A row that can be marked as removed is marked so with `now`, and stays for
/// what points to it; `stays` names columns that are never written over.
///
/// # Errors
/// What the database says.
pub async fn bring(
    conn: &mut SqliteConnection,
    tracked: &Tracked,
    plan: &TablePlan,
    (stays, now): (&[&str], &str),
) -> Result<(), sqlx::Error> {
    let columns = columns(conn, tracked).await?;
    let table = tracked.table;
    let of = |name: &str| format!("json_extract(told.value, '$.{name}')");
    let value = |name: &String| {
        if columns.filled.contains(name) {
            format!("coalesce({}, {table}.{name})", of(name))
        } else {
            of(name)
        }
    };
    let by_key: Vec<String> =
        columns.key.iter().map(|name| format!("{table}.{name} = {}", of(name))).collect();
    if !plan.update.is_empty() {
        let changes = |name: &&String| !columns.key.contains(name) && !stays.contains(&name.as_str());
        let set: Vec<String> =
            columns.kept.iter().filter(changes).map(|name| format!("{name} = {}", value(name))).collect();
        let sql = format!(
            "update {table} set {} from json_each($1) as told where {}",
            set.join(", "),
            by_key.join(" and ")
        );
        run(conn, sql, &plan.update).await?;
    }
    if !plan.insert.is_empty() {
        let values: Vec<String> = columns.kept.iter().map(|name| of(name)).collect();
        let sql = format!(
            "insert into {table} ({}) select {} from json_each($1) as told",
            columns.kept.join(", "),
            values.join(", ")
        );
        run(conn, sql, &plan.insert).await?;
    }
    if !plan.delete.is_empty() {
        let key = format!("json_array({})", columns.key.join(", "));
        let gone = format!("{key} in (select told.value from json_each($1) as told)");
        let sql = if columns.kept.iter().any(|name| name == "removed_at") {
            format!("update {table} set removed_at = '{now}' where removed_at is null and {gone}")
        } else {
            format!("delete from {table} where {gone}")
        };
        run(conn, sql, &plan.delete).await?;
    }
    Ok(())
}

async fn run(
    conn: &mut SqliteConnection,
    sql: String,
    told: &impl serde::Serialize,
) -> Result<(), sqlx::Error> {
    let text = serde_json::to_string(told).unwrap_or_else(|_| "[]".to_owned());
    sqlx::query(AssertSqlSafe(sql)).bind(text).execute(conn).await?;
    Ok(())
}

/// Puts a digest in the place of what each of these changes holds.
pub(super) async fn erase(
    conn: &mut SqliteConnection,
    digests: &BTreeMap<String, String>,
) -> Result<(), sqlx::Error> {
    let text = serde_json::to_string(digests).unwrap_or_else(|_| "{}".to_owned());
    sqlx::query(
        "update history_changes set fields = null, salt = null, erased = told.digest
         from (select cast(key as integer) as id, value as digest from json_each($1)) as told
         where history_changes.id = told.id",
    )
    .bind(text)
    .execute(conn)
    .await?;
    Ok(())
}
