//! The SQL of decision points.

use std::collections::BTreeMap;

use sqlx::{FromRow, QueryBuilder, Sqlite, SqliteConnection};

use super::by_case::{ByCase, of_cases};
use crate::case::decision::{Decision, DecisionOption, OptionNumber};
use crate::case::stored::Row;
use crate::case::text::Line;
use crate::database::{StoreError, read, read_opt};
use crate::quantity::Offset;

const TABLE: &str = "decisions";
const FOR: &str = "for";
const AGAINST: &str = "against";

#[derive(FromRow)]
struct DecisionRow {
    case_id: i64,
    id: i64,
    key: String,
    offset_seconds: i64,
    question: String,
    chosen: Option<i64>,
    chosen_by: Option<String>,
    followed: Option<String>,
}

/// A number of an option as the database holds it.
fn option_number(id: i64, number: i64) -> Result<OptionNumber, StoreError> {
    OptionNumber::try_from(number).map_err(|error| corrupt(id, &error))
}

fn corrupt(id: i64, why: &impl ToString) -> StoreError {
    StoreError::Corrupt { table: TABLE, key: id.to_string(), why: why.to_string() }
}

pub(super) async fn list(conn: &mut SqliteConnection, cases: &[i64]) -> Result<ByCase<Decision>, StoreError> {
    let mut sql = of_cases(
        "select case_id, id, key, offset_seconds, question, chosen, chosen_by, followed
         from decisions where removed_at is null and case_id in ",
        cases,
        "order by offset_seconds, id",
    );
    let rows: Vec<DecisionRow> = sql.build_query_as().fetch_all(&mut *conn).await?;
    let mut options = if rows.is_empty() { BTreeMap::new() } else { options(conn, cases).await? };
    ByCase::of(rows.into_iter().map(|row| {
        let chosen = row.chosen.map(|number| option_number(row.id, number)).transpose()?;
        let value = Decision {
            key: read(TABLE, row.id, &row.key)?,
            at: Offset::from_seconds(row.offset_seconds).map_err(|error| corrupt(row.id, &error))?,
            question: read(TABLE, row.id, &row.question)?,
            options: options.remove(&row.id).unwrap_or_default(),
            chosen,
            chosen_by: read_opt(TABLE, row.id, row.chosen_by.as_ref())?,
            followed: read_opt(TABLE, row.id, row.followed.as_ref())?,
        };
        Ok((row.case_id, Row { id: row.id, value }))
    }))
}

/// The options of every decision of some cases, with their reasons.
async fn options(
    conn: &mut SqliteConnection,
    cases: &[i64],
) -> Result<BTreeMap<i64, Vec<DecisionOption>>, StoreError> {
    let mut sql = of_cases(
        "select decision_id, option_position, side, decision_reasons.text
         from decision_reasons join decisions on decisions.id = decision_id where case_id in ",
        cases,
        "order by decision_id, option_position, side, decision_reasons.position",
    );
    let reasons: Vec<(i64, i64, String, String)> = sql.build_query_as().fetch_all(&mut *conn).await?;
    let mut sides: BTreeMap<(i64, i64, bool), Vec<Line>> = BTreeMap::new();
    for (decision, option, side, text) in &reasons {
        let line = read(TABLE, *decision, text)?;
        sides.entry((*decision, *option, side == FOR)).or_default().push(line);
    }
    let mut sql = of_cases(
        "select decision_id, position, text from decision_options join decisions on decisions.id = decision_id
         where case_id in ",
        cases,
        "order by decision_id, position",
    );
    let rows: Vec<(i64, i64, String)> = sql.build_query_as().fetch_all(conn).await?;
    let mut options: BTreeMap<i64, Vec<DecisionOption>> = BTreeMap::new();
    for (decision, position, text) in &rows {
        let mut of_side = |side| sides.remove(&(*decision, *position, side)).unwrap_or_default();
        options.entry(*decision).or_default().push(DecisionOption {
            text: read(TABLE, *decision, text)?,
            reasons_for: of_side(true),
            reasons_against: of_side(false),
        });
    }
    Ok(options)
}

pub(super) async fn insert(
    conn: &mut SqliteConnection,
    case_id: i64,
    decision: &Decision,
) -> Result<i64, StoreError> {
    let (id,): (i64,) = sqlx::query_as(
        "insert into decisions (case_id, key, offset_seconds, question, chosen, chosen_by, followed)
         values ($1, $2, $3, $4, $5, $6, $7) returning id",
    )
    .bind(case_id)
    .bind(decision.key.as_str())
    .bind(decision.at.seconds())
    .bind(decision.question.as_str())
    .bind(decision.chosen.map(OptionNumber::number))
    .bind(decision.chosen_by.as_ref().map(|role| role.as_str()))
    .bind(decision.followed.as_ref().map(|text| text.as_str()))
    .fetch_one(&mut *conn)
    .await?;
    write_options(conn, id, decision).await?;
    Ok(id)
}

pub(super) async fn update(
    conn: &mut SqliteConnection,
    case_id: i64,
    id: i64,
    decision: &Decision,
) -> Result<(), StoreError> {
    sqlx::query(
        "update decisions set offset_seconds = $3, question = $4, chosen = $5, chosen_by = $6, followed = $7
         where case_id = $1 and id = $2",
    )
    .bind(case_id)
    .bind(id)
    .bind(decision.at.seconds())
    .bind(decision.question.as_str())
    .bind(decision.chosen.map(OptionNumber::number))
    .bind(decision.chosen_by.as_ref().map(|role| role.as_str()))
    .bind(decision.followed.as_ref().map(|text| text.as_str()))
    .execute(&mut *conn)
    .await?;
    for sql in [
        "delete from decision_reasons where decision_id = $1",
        "delete from decision_options where decision_id = $1",
    ] {
        sqlx::query(sql).bind(id).execute(&mut *conn).await?;
    }
    write_options(conn, id, decision).await
}

/// Writes all options in one statement, and all reasons in another.
async fn write_options(conn: &mut SqliteConnection, id: i64, decision: &Decision) -> Result<(), StoreError> {
    if decision.options.is_empty() {
        return Ok(());
    }
    let mut sql: QueryBuilder<Sqlite> =
        QueryBuilder::new("insert into decision_options (decision_id, position, text) ");
    sql.push_values((1_i64..).zip(&decision.options), |mut row, (position, option)| {
        row.push_bind(id).push_bind(position).push_bind(option.text.as_str().to_owned());
    });
    sql.build().execute(&mut *conn).await?;
    let reasons: Vec<(i64, &str, i64, &Line)> = (1_i64..)
        .zip(&decision.options)
        .flat_map(|(number, option)| {
            let side =
                move |side, lines| (1_i64..).zip(lines).map(move |(at, line)| (number, side, at, line));
            let lines: (&Vec<Line>, &Vec<Line>) = (&option.reasons_for, &option.reasons_against);
            side(FOR, lines.0).chain(side(AGAINST, lines.1))
        })
        .collect();
    if reasons.is_empty() {
        return Ok(());
    }
    let mut sql: QueryBuilder<Sqlite> = QueryBuilder::new(
        "insert into decision_reasons (decision_id, option_position, side, position, text) ",
    );
    sql.push_values(reasons, |mut row, (option, side, position, line)| {
        row.push_bind(id).push_bind(option).push_bind(side.to_owned()).push_bind(position);
        row.push_bind(line.as_str().to_owned());
    });
    sql.build().execute(conn).await?;
    Ok(())
}
