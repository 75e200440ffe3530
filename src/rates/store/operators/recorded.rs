//! What is recorded of operators: their procedures by month, and the operator of a case.

use crate::case::store::code_of;
use sqlx::{FromRow, QueryBuilder, Sqlite, SqliteConnection};

use crate::case::Month;
use crate::database::{StoreError, read};
use crate::rates::operators::{CaseOperator, OperatorProcedures};
use crate::rates::period::Period;
use crate::rates::store::count;

/// Rows a statement; SQLite takes 32,766 values in one.
const ROWS_AT_ONCE: usize = 4_000;

/// The counted cells of the operators' grid from one month to another, both included.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn procedures(
    conn: &mut SqliteConnection,
    (from, to): (Month, Month),
) -> Result<Vec<OperatorProcedures>, StoreError> {
    let rows: Vec<(String, i64, i64)> = sqlx::query_as(
        "select month, operator_id, procedures from operator_procedures
         where month between $1 and $2 order by month, operator_id",
    )
    .bind(from.to_string())
    .bind(to.to_string())
    .fetch_all(conn)
    .await?;
    rows.iter()
        .map(|(month, operator, procedures)| {
            let month = read("operator_procedures", month, month)?;
            let procedures = Some(count("operator_procedures", &format!("{month}"), *procedures)?);
            Ok(OperatorProcedures { month, operator: *operator, procedures })
        })
        .collect()
}

/// Writes cells of the operators' grid. `None` takes a cell away: not counted. A cell is named once.
///
/// # Errors
/// An operator that does not exist, and more than [`OperatorProcedures::MOST`], are refused by rules
/// of the schema; or what else the database says. Run it in a transaction.
pub async fn set_procedures(
    conn: &mut SqliteConnection,
    cells: &[OperatorProcedures],
) -> Result<(), StoreError> {
    let counted: Vec<(&OperatorProcedures, u32)> =
        cells.iter().filter_map(|cell| Some((cell, cell.procedures?))).collect();
    let not_counted: Vec<&OperatorProcedures> =
        cells.iter().filter(|cell| cell.procedures.is_none()).collect();
    for some in counted.chunks(ROWS_AT_ONCE) {
        QueryBuilder::<Sqlite>::new("insert into operator_procedures (month, operator_id, procedures) ")
            .push_values(some, |mut row, (cell, procedures)| {
                row.push_bind(cell.month.to_string()).push_bind(cell.operator).push_bind(*procedures);
            })
            .push(" on conflict (month, operator_id) do update set procedures = excluded.procedures")
            .build()
            .execute(&mut *conn)
            .await?;
    }
    for some in not_counted.chunks(ROWS_AT_ONCE) {
        QueryBuilder::<Sqlite>::new("delete from operator_procedures where (month, operator_id) in (")
            .push_values(some, |mut row, cell| {
                row.push_bind(cell.month.to_string()).push_bind(cell.operator);
            })
            .push(")")
            .build()
            .execute(&mut *conn)
            .await?;
    }
    Ok(())
}

#[derive(FromRow)]
struct CaseRow {
    id: i64,
    code_year: i64,
    code_number: i64,
    procedure_month: String,
    title: String,
    operator_id: Option<i64>,
}

const CASES: &str = "select cases.id, cases.code_year, cases.code_number, cases.procedure_month, cases.title,
            case_operators.operator_id
     from cases left join case_operators on case_operators.case_id = cases.id
     where cases.procedure_month between $1 and $2 order by cases.procedure_month, cases.id limit $3";

/// The cases of a period, of every stage, with their operators, in the order of their months; no
/// more than so many.
///
/// # Errors
/// What the database says, or a value in it that cannot be read.
pub async fn cases(
    conn: &mut SqliteConnection,
    period: Period,
    at_most: u32,
) -> Result<Vec<CaseOperator>, StoreError> {
    let rows: Vec<CaseRow> = sqlx::query_as(CASES)
        .bind(period.from().to_string())
        .bind(period.to().to_string())
        .bind(at_most)
        .fetch_all(conn)
        .await?;
    rows.into_iter()
        .map(|row| {
            let code = code_of("cases", row.code_year, row.code_number)?;
            Ok(CaseOperator {
                case_id: row.id,
                code,
                month: read("cases", code, &row.procedure_month)?,
                title: row.title,
                operator: row.operator_id,
            })
        })
        .collect()
}

/// Says who did the procedures of cases: ids of cases with ids of operators; `None` takes the
/// operator away. A case is named once.
///
/// # Errors
/// A case or an operator that does not exist is refused by rules of the schema; or what the database
/// says. Run it in a transaction.
pub async fn assign(conn: &mut SqliteConnection, cases: &[(i64, Option<i64>)]) -> Result<(), StoreError> {
    let given: Vec<(i64, i64)> =
        cases.iter().filter_map(|(case, operator)| Some((*case, (*operator)?))).collect();
    let taken: Vec<i64> =
        cases.iter().filter(|(_, operator)| operator.is_none()).map(|(case, _)| *case).collect();
    for some in given.chunks(ROWS_AT_ONCE) {
        QueryBuilder::<Sqlite>::new("insert into case_operators (case_id, operator_id) ")
            .push_values(some, |mut row, (case, operator)| {
                row.push_bind(*case).push_bind(*operator);
            })
            .push(" on conflict (case_id) do update set operator_id = excluded.operator_id")
            .build()
            .execute(&mut *conn)
            .await?;
    }
    for some in taken.chunks(ROWS_AT_ONCE) {
        QueryBuilder::<Sqlite>::new("delete from case_operators where case_id in (")
            .push_values(some, |mut row, case| {
                row.push_bind(*case);
            })
            .push(")")
            .build()
            .execute(&mut *conn)
            .await?;
    }
    Ok(())
}
