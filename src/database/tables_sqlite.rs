//! Tables as they are, row by row: for the export that leaves nobody locked in.

use serde_json::Value;
use sqlx::{
    AssertSqlSafe, Column as _, Decode as _, Row as _, SqliteConnection, TypeInfo as _, ValueRef as _,
};

use super::StoreError;

/// A table with its rows.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Rows {
    /// The names of its columns.
    pub columns: Vec<String>,
    /// Each row, a value for each column.
    pub rows: Vec<Vec<Value>>,
}

/// The tables of the database, those of full-text indexes too, without what SQLite keeps for itself.
///
/// # Errors
/// What the database says.
pub async fn names(conn: &mut SqliteConnection) -> Result<Vec<String>, StoreError> {
    Ok(sqlx::query_scalar(
        "select name from pragma_table_list
         where schema = 'main' and type in ('table', 'virtual') and name not like 'sqlite\\_%' escape '\\'
         order by name",
    )
    .fetch_all(conn)
    .await?)
}

/// Every row of a table in the order in which it holds them; with `columns`, these alone.
///
/// # Errors
/// What the database says.
pub async fn rows(
    conn: &mut SqliteConnection,
    table: &str,
    columns: Option<&[&str]>,
) -> Result<Rows, StoreError> {
    let quoted = |name: &str| format!("\"{}\"", name.replace('"', "\"\""));
    let wanted = columns.map_or_else(
        || "*".to_owned(),
        |columns| columns.iter().map(|name| quoted(name)).collect::<Vec<_>>().join(", "),
    );
    // Names of the schema, quoted as names; no value is in it.
    let sql = format!("select {wanted} from {}", quoted(table));
    let found = sqlx::query(AssertSqlSafe(sql)).fetch_all(&mut *conn).await?;
    let columns: Vec<String> = match found.first() {
        Some(row) => row.columns().iter().map(|column| column.name().to_owned()).collect(),
        None => match columns {
            Some(columns) => columns.iter().map(|name| (*name).to_owned()).collect(),
            None => {
                sqlx::query_scalar("select name from pragma_table_info($1)")
                    .bind(table)
                    .fetch_all(conn)
                    .await?
            }
        },
    };
    let rows = found
        .iter()
        .map(|row| (0..columns.len()).map(|place| value(row, place)).collect::<Result<Vec<_>, _>>())
        .collect::<Result<Vec<_>, sqlx::Error>>()?;
    Ok(Rows { columns, rows })
}

/// A value as JSON has it. Bytes, which no table of the record holds, become hexadecimal digits.
fn value(row: &sqlx::sqlite::SqliteRow, place: usize) -> Result<Value, sqlx::Error> {
    let raw = row.try_get_raw(place)?;
    if raw.is_null() {
        return Ok(Value::Null);
    }
    let kind = raw.type_info().name().to_owned();
    let read = |error| sqlx::Error::Decode(error);
    Ok(match kind.as_str() {
        "INTEGER" | "BOOLEAN" => Value::from(i64::decode(raw).map_err(read)?),
        "REAL" => Value::from(f64::decode(raw).map_err(read)?),
        "BLOB" => {
            let bytes = <&[u8]>::decode(raw).map_err(read)?;
            Value::from(bytes.iter().map(|byte| format!("{byte:02x}")).collect::<String>())
        }
        _ => Value::from(String::decode(raw).map_err(read)?),
    })
}
